"""What stands around every page about one ticket: the power strip and the title block."""

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from server.records.evidence import EntryRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.gate import PowerLimits, PowerNow, connection_of, power_now
from server.trade.power import POWERED, Power
from server.web.site.filters import Clock
from server.web.site.page import PowerStrip
from server.web.site.parts import TitleBlock, TitleCell
from server.work.port_map.facts import facts_of

NO_POWER = "No power is connected."
NOT_KNOWN = "The server’s clock was moved. Look at the craft: unplug it, or look at its propellers."


def strip_of(head: TicketHead, profile: ShopRow, now: datetime) -> PowerStrip:
    """The strip as it holds now: a state that is older than the shop allows counts as cold."""
    return strip_from(head, profile, now, power_of(head, profile, now))


def power_of(head: TicketHead, profile: ShopRow, now: datetime) -> PowerNow:
    """The power as it holds now."""
    return power_now(
        head, PowerLimits(power=profile.power_minutes, props=profile.props_minutes), now
    )


def strip_from(head: TicketHead, profile: ShopRow, now: datetime, power: PowerNow) -> PowerStrip:
    """The strip of what the gate knows of the power."""
    if not power.known:
        under = connection_of(head)
        return _strip(head, power.state, now, says=NOT_KNOWN, under=under, known=False)
    if power.state is Power.COLD:
        limit = profile.power_minutes
        lapsed = f"Older than {limit} min, so it counts as cold. Look, then connect."
        says = lapsed if power.lapsed else NO_POWER
        return _strip(head, Power.COLD, now, says=says, under=str(Power.COLD))
    under, ends = connection_of(head), power.ends or now
    if power.state not in POWERED:
        says = "No battery is connected."
        return _strip(head, power.state, now, says=says, under=under, until=ends)
    props, says, until = _look(head, profile, now, power)
    return _strip(
        head, power.state, now, props=props, says=says, under=under, until=min(until, ends)
    )


def _strip(head: TicketHead, state: Power, now: datetime, **more: Any) -> PowerStrip:
    return PowerStrip(head.number, state, f"/tickets/{head.number}/power", at=now, **more)


def _look(
    head: TicketHead, profile: ShopRow, now: datetime, power: PowerNow
) -> tuple[str, str, datetime]:
    clock, seen, until = Clock(ZoneInfo(profile.zone)), head.props_seen_at, power.look_ends
    if seen is None or until is None:
        return "Look at the propellers again", "nothing powered is recorded before.", now
    says = (
        f"seen by {head.props_by} at {clock.clock(seen)}."
        f" Ends when the state changes, or at {clock.clock(until)}."
    )
    return "0 propellers on the craft", says, until


def arrived(entry: EntryRow, clock: Clock) -> str:
    """'arrived 14:36:20', of an entry that a tablet kept for a while; else nothing."""
    waited = entry.at - entry.made_at >= timedelta(seconds=1)
    return f"arrived {clock.seconds(entry.at)}" if waited else ""


def stamped(entry: EntryRow, clock: Clock) -> str:
    """When it was made, and when it arrived where that was later."""
    return ", ".join(filter(None, (clock.seconds(entry.made_at), arrived(entry, clock))))


def title_block(head: TicketHead, profile: ShopRow) -> TitleBlock:
    """Ticket, craft, board, map revision, promise, and on whose bench it is."""
    clock = Clock(ZoneInfo(profile.zone))
    promised = head.promised_at
    cells = (
        TitleCell("Craft", head.craft, _craft_note(head)),
        TitleCell("Board", head.board_model or "not entered", _board_note(head)),
        TitleCell(
            "Map",
            f"Revision {head.revision}" if head.revision else "none yet",
            clock.when(head.saved_at) if head.saved_at else "",
        ),
        TitleCell(
            "Promised",
            clock.day(promised) if promised else "no date",
            clock.clock(promised) if promised else "",
        ),
        TitleCell("On the bench", head.holder or "nobody", head.bench),
    )
    return TitleBlock(head.number, cells)


def _craft_note(head: TicketHead) -> str:
    if head.sheet is None:
        return head.customer
    sheet = facts_of(head.sheet).sheet
    size = f"{sheet.craft.size_in.normalize():f} in, " if sheet.craft.size_in else ""
    return f"{size}{sheet.battery.cells}S {sheet.battery.chemistry}, {sheet.craft.props}"


def _board_note(head: TicketHead) -> str:
    return ", ".join(word for word in (head.board_maker, head.mcu) if word)

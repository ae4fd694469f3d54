"""What stands around every page about one ticket: the power strip and the title block."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.power import POWERED, Power
from server.web.filters import Clock
from server.web.page import PowerStrip
from server.web.parts import Cell, TitleBlock
from server.work.facts import facts_of

NO_POWER = "No power is connected."


def strip_of(head: TicketHead, profile: ShopRow, now: datetime) -> PowerStrip:
    """The strip as it holds now: a state that is older than the shop allows counts as cold."""
    address = f"/tickets/{head.number}/power"
    state, clock = Power(head.power), Clock(ZoneInfo(profile.zone))
    ends = head.power_since and head.power_since + timedelta(minutes=profile.power_minutes)
    if state is Power.COLD or not ends:
        return PowerStrip(head.number, Power.COLD, address, says=NO_POWER)
    if now > ends:
        says = f"Older than {profile.power_minutes} min, so it counts as cold. Look, then connect."
        return PowerStrip(head.number, Power.COLD, address, says=says)
    if state not in POWERED:
        return PowerStrip(head.number, state, address, says="No battery is connected.")
    props, says = _look(head, profile, now, clock)
    return PowerStrip(head.number, state, address, props=props, says=says)


def _look(head: TicketHead, profile: ShopRow, now: datetime, clock: Clock) -> tuple[str, str]:
    until = head.props_seen_at and head.props_seen_at + timedelta(minutes=profile.props_minutes)
    if not head.props_seen_at or not until or now > until:
        return "Look at the propellers again", "nothing powered is recorded before."
    seen, ends = clock.clock(head.props_seen_at), clock.clock(until)
    says = f"seen by {head.props_by} at {seen}. Ends when the state changes, or at {ends}."
    return "0 propellers on the craft", says


def title_block(head: TicketHead, profile: ShopRow) -> TitleBlock:
    """Ticket, craft, board, map revision, promise, and on whose bench it is."""
    clock = Clock(ZoneInfo(profile.zone))
    promised = head.promised_at
    cells = (
        Cell("Craft", head.craft, _craft_note(head)),
        Cell("Board", head.board_model or "not entered", _board_note(head)),
        Cell("Map", f"Revision {head.revision}" if head.revision else "none yet",
             clock.when(head.saved_at) if head.saved_at else ""),
        Cell("Promised", clock.day(promised) if promised else "no date",
             clock.clock(promised) if promised else ""),
        Cell("On the bench", head.holder or "nobody", head.bench),
    )  # fmt: skip
    return TitleBlock(head.number, cells)


def _craft_note(head: TicketHead) -> str:
    if head.sheet is None:
        return head.customer
    sheet = facts_of(head.sheet).sheet
    size = f"{sheet.craft.size_in.normalize():f} in, " if sheet.craft.size_in else ""
    return f"{size}{sheet.battery.cells}S {sheet.battery.chemistry}, {sheet.craft.props}"


def _board_note(head: TicketHead) -> str:
    return ", ".join(word for word in (head.board_maker, head.mcu) if word)

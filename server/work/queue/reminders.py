"""The shop's own reminders: held too long, a promise about to break, not collected.

Nothing is sent: there is a text to copy, and a note that the customer was told.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from statistics import median
from zoneinfo import ZoneInfo

from sqlalchemy import Connection
from sqlmodel import select

from server.records import past_work
from server.records import reminders as rows
from server.records.engine import writing
from server.records.people import ShopRow
from server.records.reminders import OpenRow
from server.records.tables import ShopMessage, Ticket
from server.records.tables.leaving import MESSAGES
from server.trade.events import Event
from server.trade.messages import OURS, filled, unknown_gaps
from server.trade.opening import Opening
from server.trade.promise import LEAST
from server.trade.ticket import State
from server.trade.written import Clock, many
from server.work import phones
from server.work.booking import promise
from server.work.errors import Missing, Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import shared

REMIND = "remind customers"
LONGEST = 600
_STATES = {
    State.WAITING: "waiting for a free bench",
    State.BENCH: "on the bench",
    State.ON_HOLD: "on hold",
    State.TO_SIGN: "tested and about to be signed",
    State.READY: "ready to collect",
}


@dataclass(frozen=True)
class Reminder:
    """One ticket to tell of: why, what to say, by which telephone, and when it was last done."""

    number: int
    craft: str
    customer: str
    phone: str
    why: str
    says: str
    told_at: datetime | None


@dataclass(frozen=True)
class Moment:
    """What the reminders are reckoned against. `usual` is the open minutes that a craft takes
    here; `known` whether the shop's own past says so, or one opening day stands in."""

    profile: ShopRow
    now: datetime
    opening: Opening
    usual: float
    known: bool
    last: Mapping[tuple[int, str], datetime]
    words: Mapping[str, str]

    @property
    def clock(self) -> Clock:
        """Times in the shop's zone."""
        return Clock(ZoneInfo(self.profile.zone))


def reminders(
    connection: Connection, by: Person, profile: ShopRow, now: datetime
) -> dict[str, tuple[Reminder, ...]]:
    """By kind, who should be told. Raises NotAllowed."""
    require(by, REMIND)
    opening = promise.opening_of(profile)
    past = promise.past(connection, past_work.signed(connection), opening)
    known = len(past) >= LEAST
    usual = median(job.minutes for job in past) if known else opening.minutes_a_day
    at = Moment(
        profile, now, opening, usual, known, rows.last_events(connection), messages(connection)
    )
    found: dict[str, list[Reminder]] = {kind: [] for kind in MESSAGES}
    for row in rows.open_tickets(connection):
        for kind, why, days in _due(row, at):
            found[kind].append(_reminder(row, at, kind, why, days))
    return {kind: tuple(told) for kind, told in found.items()}


def messages(connection: Connection) -> dict[str, str]:
    """What is said by kind: the shop's own words, else ours."""
    return OURS | rows.messages(connection)


def note_told(shop: Shop, by: Person, number: int, *, kind: str, act_key: str) -> Ticket:
    """Write down that the customer was told; the same form twice is one note."""
    require(by, REMIND)
    if kind not in MESSAGES:
        raise Missing("There is no such reminder.", "Open the reminders again.")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if shared.done_before(session, ticket, act_key, Event.TOLD):
            return ticket
        shared.require_open(ticket)
        what = _SHORT[kind]
        shared.note(session, ticket, by, shop.now(), Event.TOLD, act_key=act_key, what=what)
        return ticket


_SHORT = {
    "held": "the ticket is on hold",
    "late": "the promise may not hold",
    "ready": "it is ready",
}


def put_messages(shop: Shop, by: Person, words: Mapping[str, str]) -> None:
    """Keep the shop's own words by kind; an empty text brings ours back.

    Raises NotAllowed, and Unfit for a text that is too long or has a gap that nothing fills.
    """
    require(by, "run the office")
    for kind, said in words.items():
        if strange := unknown_gaps(said):
            raise Unfit(kind, f"Nothing fills {strange[0]}.", "Use the gaps that are listed.")
        if len(said) > LONGEST:
            raise Unfit(kind, f"Write at most {LONGEST} characters.")
    with writing(shop.engine) as session:
        for kind, said in words.items():
            kept = session.exec(select(ShopMessage).where(ShopMessage.kind == kind)).one_or_none()
            said = said.strip()
            if kept is not None and said in ("", OURS[kind]):
                session.delete(kept)
            elif kept is not None:
                kept.words = said
            elif said not in ("", OURS[kind]):
                session.add(ShopMessage(kind=kind, words=said))


def _due(row: OpenRow, at: Moment) -> Iterator[tuple[str, str, int]]:
    """Each kind of reminder that a ticket asks for, why, and for how many days."""
    held, ready = (_days(row, at, kind) for kind in (Event.HELD, Event.SIGNED))
    if row.state == State.ON_HOLD and held >= at.profile.held_days:
        yield "held", f"On hold for {many(held, 'day')}: {row.hold_reason}", held
    if row.state == State.READY and ready >= at.profile.ready_days:
        yield "ready", f"Ready for {many(ready, 'day')}", ready
    if row.state != State.READY and row.promised_at and (why := _at_risk(row, row.promised_at, at)):
        yield "late", why, max(0, (at.now - row.promised_at).days)


def _days(row: OpenRow, at: Moment, event: Event) -> int:
    """Whole days since the last such event; -1 where there was none."""
    last = at.last.get((row.id, event))
    return (at.now - last).days if last else -1


def _at_risk(row: OpenRow, promised: datetime, at: Moment) -> str:
    """Why the promise will hardly be kept; empty where it may."""
    if promised <= at.now:
        return f"Promised for {at.clock.when(promised)}, which is past"
    left = at.opening.between(at.now, promised)
    share = row.steps_done / row.steps_total if row.steps_total else 0.0
    need = at.usual * (1 - share)
    if row.state == State.TO_SIGN or left >= need:
        return ""
    usual = "such work usually takes here" if at.known else "one opening day"
    return f"Promised for {at.clock.when(promised)}, and less is left than {usual}"


def _reminder(row: OpenRow, at: Moment, kind: str, why: str, days: int) -> Reminder:
    profile = at.profile
    told = {
        "name": (row.customer.split() or [""])[0],
        "craft": row.craft,
        "ticket": f"{row.number:04d}",
        "state": _STATES[State(row.state)],
        "reason": row.hold_reason or "an answer",
        "days": many(days, "day"),
        "promised": at.clock.when(row.promised_at) if row.promised_at else "no day",
        "shop": profile.name,
        "phone": profile.phone or "at the counter",
    }
    return Reminder(
        row.number,
        row.craft,
        row.customer,
        phones.shown(row.phone, profile.country),
        why,
        filled(at.words[kind], told),
        at.last.get((row.id, Event.TOLD)),
    )

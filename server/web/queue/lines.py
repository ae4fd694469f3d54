"""The queue's lines in words: who, what is wrong, how far, when due, and the one act."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from server.records.tickets import QueueRow
from server.trade.choices import SYMPTOMS
from server.trade.roles import Role
from server.trade.ticket import OPEN, STATE_WORDS, State
from server.web.site.filters import Clock
from server.web.site.parts import QueueLine
from server.work.shop import Person

SHOWN: dict[str, str] = {
    "all": "All",
    "mine": "Mine",
} | {state: STATE_WORDS[state].capitalize() for state in State if state in OPEN}


@dataclass(frozen=True)
class QueueGroup:
    """Lines that are due alike."""

    title: str
    lines: tuple[QueueLine, ...]


@dataclass(frozen=True)
class Today:
    """What the lines are told against: the moment, the shop's zone, who looks, the symptoms."""

    now: datetime
    zone: str
    person: Person
    symptoms: Mapping[int, list[str]]

    @property
    def clock(self) -> Clock:
        """Times in the shop's zone."""
        return Clock(ZoneInfo(self.zone))

    @property
    def date(self) -> date:
        """The shop's own day."""
        return self.clock.here(self.now).date()


def shown(rows: Iterable[QueueRow], which: str, person: Person) -> list[QueueRow]:
    """The rows that a filter of the queue lets through."""
    if which == "mine":
        return [row for row in rows if row.holder_id == person.id]
    return [row for row in rows if which in ("all", row.state)]


def groups(rows: Iterable[QueueRow], today: Today) -> tuple[QueueGroup, ...]:
    """Late, due today, later, ready; groups without lines are left out."""
    clock = today.clock
    heads = ("Late", f"Due today, {clock.day(today.now)}", "Later", "Ready to collect")
    sorted_rows: dict[str, list[QueueLine]] = {title: [] for title in heads}
    for row in rows:
        sorted_rows[heads[_group(row, today)]].append(line(row, today))
    return tuple(QueueGroup(title, tuple(lines)) for title, lines in sorted_rows.items() if lines)


def line(row: QueueRow, today: Today) -> QueueLine:
    """One ticket as a line."""
    due, due_says, late = _due(row, today)
    act, href, posts = _act(row, today.person)
    board = f", {row.board}" if row.board else ""
    return QueueLine(
        number=row.number,
        href=f"/tickets/{row.number}",
        craft=row.craft,
        owner=f"{row.customer}{board}",
        trouble="; ".join(SYMPTOMS[code] for code in today.symptoms.get(row.id, ())),
        state=row.state,
        state_says=_state_says(row, today),
        due=due,
        due_says=due_says,
        act=act,
        act_href=href,
        posts=posts,
        late=late,
    )


def next_free(rows: Iterable[QueueRow]) -> QueueRow | None:
    """The first waiting ticket that nobody has."""
    return next((row for row in rows if row.state == State.WAITING and row.holder_id is None), None)


def _group(row: QueueRow, today: Today) -> int:
    if row.state == State.READY:
        return 3
    if row.promised_at is None:
        return 2
    due = today.clock.here(row.promised_at).date()
    if row.promised_at < today.now:
        return 0
    return 1 if due == today.date else 2


def _due(row: QueueRow, today: Today) -> tuple[str, str, bool]:
    if row.state == State.READY:
        return "to collect", f"since {today.clock.when(row.changed_at)}", False
    if row.promised_at is None:
        return "no date", "nothing was promised", False
    clock, at = today.clock, row.promised_at
    when = clock.when(at)
    if at < today.now:
        days = (today.date - clock.here(at).date()).days
        late = f"{days} day{'s' if days != 1 else ''} late" if days else "late"
        return late, f"was {when}", True
    again = f"{row.steps_again} to do again" if row.steps_again else ""
    if clock.here(at).date() == today.date:
        return f"today {clock.clock(at)}", again, False
    return when, again, False


def _state_says(row: QueueRow, today: Today) -> str:
    if row.state == State.ON_HOLD:
        return row.hold_reason
    if row.state == State.READY:
        return ""
    if row.holder is None:
        return f"since {today.clock.when(row.changed_at)}"
    who = "you" if row.holder_id == today.person.id else row.holder
    steps = f", {row.steps_done} of {row.steps_total} steps" if row.steps_total else ", no map yet"
    return f"{who}{steps}"


def _act(row: QueueRow, person: Person) -> tuple[str, str, bool]:
    here = f"/tickets/{row.number}"
    if row.state == State.READY:
        return "Hand over", f"{here}/collection", False
    if person.role == Role.COUNTER:
        return "Open", here, False
    if row.state == State.TO_SIGN:
        return "Read", f"{here}/signature", False
    if row.state == State.WAITING and row.holder_id is None:
        return "Take", f"{here}/holder", True
    if row.holder_id == person.id and row.state == State.BENCH:
        return "Go on", f"{here}/card", False
    return "Open", here, False

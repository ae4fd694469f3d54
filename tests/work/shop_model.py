"""A shop under test: acts are done through it, and it keeps its own account of what must hold.

The account is kept from what was acknowledged alone. It asks none of the code that it checks: which
connection is on, since when, and when somebody last saw no propeller, it knows from the acts.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import text

from server.ledger.keylist import KeyList, ListedKey
from server.ledger.parts import Jwk, moment
from server.records import logs
from server.records.columns import core
from server.records.engine import reading
from server.records.tables import (
    Acceptance,
    Build,
    Evidence,
    KeyRecord,
    LogRecord,
    MapDraft,
    Payment,
    StepRecord,
    Ticket,
    TicketEvent,
)
from server.trade.power import Act
from server.trade.roles import Role
from server.trade.ticket import CLOSED, MOVES, ON_A_BENCH, State, TicketAct
from server.work.errors import Refused
from server.work.shop import Person, Shop
from tests.ledger.rows import verify_chain

# docs/design: the shop's own settings as a new shop has them.
PROPS_FOR, POWER_FOR = timedelta(minutes=30), timedelta(minutes=60)
BATTERIES = ("limited", "battery")
PLUGGED = {Act.PLUG_USB: "usb", Act.PLUG_LIMITER: "limited", Act.PLUG_BATTERY: "battery"}


def _reach(act: TicketAct, *then: TicketAct) -> set[tuple[str, str]]:
    """The moves of an act by the shop's table, and those that may follow in the same act."""
    found: set[tuple[str, str]] = {(str(a), str(b)) for a, b in MOVES[act].items()}
    for each in then:
        found |= {(a, str(MOVES[each][State(b)])) for a, b in found if State(b) in MOVES[each]}
    return {(a, b) for a, b in found if a != b}


# What each act may do to a ticket's state; an act that is not here changes none.
MAY_MOVE = {
    "take": _reach(TicketAct.TAKE, TicketAct.COMPLETE),
    "put back": _reach(TicketAct.PUT_BACK),
    "hold": _reach(TicketAct.HOLD),
    "end hold": _reach(TicketAct.END_HOLD, TicketAct.TAKE, TicketAct.COMPLETE),
    "hand on": _reach(TicketAct.PASS_ON, TicketAct.COMPLETE),
    "record": _reach(TicketAct.COMPLETE) | _reach(TicketAct.REOPEN),
    "save map": _reach(TicketAct.COMPLETE) | _reach(TicketAct.REOPEN),
    "sign": _reach(TicketAct.SIGN),
    "collect": _reach(TicketAct.COLLECT),
    "return": _reach(TicketAct.RETURN),
    "cancel": _reach(TicketAct.CANCEL),
}
UNPLUGS = {"put back", "hold", "hand on", "save map"}
FIRST_POWER = "motors/first-power"
# What a step of the whole check looks at once more has to have been right once. Typed here, and not
# read from the card.
SET = (
    "ports/stuck",
    "motors/stuck",
    "level/faces",
    "radio/ends",
    "radio/loss",
    "switches/alone",
    "battery/warnings",
)
TURNED = (*SET, "motors/spins", "battery/volts", "check/again")
COMES_AFTER = {
    "motors/spins": (FIRST_POWER, "motors/order"),
    "check/again": (*SET, "motors/spins", "battery/volts"),
    "check/no-radio": TURNED,
    "check/spins": TURNED,
    "check/radio-off": (*TURNED, "check/no-radio", "check/spins"),
    "check/saved": (*TURNED, "check/no-radio", "check/spins", "check/radio-off"),
}
KEPT = (
    Evidence,
    Ticket,
    TicketEvent,
    Payment,
    Acceptance,
    Build,
    MapDraft,
    LogRecord,
    StepRecord,
    KeyRecord,
)
ROWS = text(
    "SELECT e.act_key, t.number, s.key, e.answer, e.by_id, e.power, e.at, e.verdict, e.id,"
    " p.kind, p.ticket_id = e.ticket_id, p.at, p.power, p.says"
    " FROM evidence e JOIN ticket t ON t.id = e.ticket_id JOIN step s ON s.id = e.step_id"
    " LEFT JOIN ticket_event p ON p.id = e.props_event_id ORDER BY e.id"
)


@dataclass
class Connection:
    """A source of power as the acts told of it; `looked`: when no propeller was seen on it."""

    power: str
    since: datetime
    looked: datetime | None


@dataclass(frozen=True)
class Done:
    """An acknowledged act that is done again just as it was sent."""

    name: str
    act: Callable[[], Any]
    result: Any


@dataclass
class Yard:
    """The shop, and what was acknowledged in it."""

    shop: Shop
    now: Callable[[], datetime]  # a look at the clock that does not move it
    entries: dict[str, tuple[Any, ...]] = field(default_factory=dict)
    keyed: list[Done] = field(default_factory=list)
    connected: dict[int, Connection] = field(default_factory=dict)
    logs: list[bytes] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)
    stood: dict[int, dict[str, Any]] = field(default_factory=dict)
    wiring: dict[int, Any] = field(default_factory=dict)
    current_read: set[int] = field(default_factory=set)
    verdicts: dict[int, dict[str, str]] = field(default_factory=dict)

    def do(self, name: str, number: int, act: Callable[[], Any], *, keyed: bool = False) -> Any:
        """Do an act: its result, or the refusal. Either way the ticket moved as it may."""
        before = self.stood or self.tickets()
        result: Any
        try:
            result = act()
        except Refused as no:
            result = no
            self._count(f"{name} refused: {type(no).__name__}")
        else:
            self._count(name)
            if keyed:
                self.keyed.append(Done(name, act, result))
        self.stood = self.tickets()
        self._moved(name, number, before, self.stood, result)
        return result

    def recorded(
        self, number: int, by: Person, key: str, answer: Any, act_key: str, result: Any
    ) -> None:
        """Keep the account of an acknowledged piece of evidence."""
        if isinstance(result, Refused):
            return
        self.entries[act_key] = (number, key, answer, by.id)
        passed = self.verdicts.setdefault(number, {})
        for before in COMES_AFTER.get(key, ()):
            assert passed.get(before) == "pass", f"{key} recorded before {before} was right"
        passed[key] = result.verdict
        if key == FIRST_POWER:
            assert result.power == "limited"
            (self.current_read.add if result.verdict == "pass" else self.current_read.discard)(
                number
            )
        if result.power in BATTERIES:
            assert key == FIRST_POWER or number in self.current_read, (
                f"{key} recorded on {result.power}, and no current was read on this wiring"
            )
            self._count("record under battery")
            live = self.connected.get(number)
            assert live, f"{key} recorded on {result.power} and nothing is connected"
            assert live.power == result.power
            assert result.at - live.since <= POWER_FOR, "the connection was too old"
            assert live.looked, "nobody looked at the propellers"
            assert result.at - live.looked <= PROPS_FOR, "the look was too old"

    def plugged(self, number: int, act: Act, propellers: int | None, result: Any) -> None:
        """Keep the account of a change of power."""
        if isinstance(result, Refused):
            return
        at = self.now()
        self.connected.pop(number, None)
        if act is not Act.UNPLUG:
            seen = at if propellers == 0 else None
            self.connected[number] = Connection(PLUGGED[act], at, seen)
            assert PLUGGED[act] not in BATTERIES or propellers == 0
            assert PLUGGED[act] != "battery" or number in self.current_read, (
                "a battery direct, and no current was read on this wiring"
            )

    def soldered(self, number: int, saved: Any) -> None:
        """Keep the account of the wires: on other ones no current was read, nor on these again."""
        if isinstance(saved, Refused):
            return
        document = json.loads(saved.sheet)
        wires = sorted((w["device"], w["lead"], w["pad"]) for w in document["wires"])
        wiring = (wires, sorted(document["esc"]["outputs"].items()))
        if self.wiring.get(number) != wiring:
            self.current_read.discard(number)
            self._count("wires moved")
        self.wiring[number] = wiring

    def looked(self, number: int, propellers: int, result: Any) -> None:
        """Keep the account of a further look at the propellers."""
        if propellers:
            assert isinstance(result, Refused)
            self.connected.pop(number, None)
        elif not isinstance(result, Refused):
            self.connected[number].looked = self.now()

    def ended(self, number: int) -> None:
        """Nothing is connected any more."""
        self.connected.pop(number, None)

    def again(self, done: Done) -> None:
        """The same act once more, as a bad network sends it: the same result, and no change."""
        self._count("again")
        before = self.everything()
        result = done.act()
        assert self.everything() == before, f"{done.name} was done twice"
        assert getattr(result, "id", None) == getattr(done.result, "id", None)

    def everything(self) -> list[list[Any]]:
        """All that is kept of the work, row by row."""
        with reading(self.shop.engine) as connection:
            tables = [core(model) for model in KEPT]
            orders = [list(table.primary_key.columns) for table in tables]
            return [
                [tuple(row) for row in connection.execute(table.select().order_by(*order))]
                for table, order in zip(tables, orders, strict=True)
            ]

    def tickets(self) -> dict[int, dict[str, Any]]:
        """Every ticket by its number."""
        with reading(self.shop.engine) as connection:
            rows = connection.execute(core(Ticket).select()).mappings()
            return {row["number"]: dict(row) for row in rows}

    def check(self) -> None:
        """Everything that holds at any time."""
        self.check_entries()
        for ticket in self.tickets().values():
            check_ticket(ticket)
        self.check_logs()

    def check_entries(self) -> None:
        """Whatever was acknowledged is there, once and as it was told, and nothing else."""
        with reading(self.shop.engine) as connection:
            rows = connection.execute(ROWS).all()
        assert len({row[0] for row in rows}) == len(rows), "an entry is there twice"
        assert self.all_entries() == self.entries
        for row in rows:
            if row[5] in BATTERIES:
                _, _, _, _, power, at, _, _, kind, same, seen_at, seen_on, says = row[1:]
                assert (kind, bool(same), seen_on) == ("props", True, power)
                assert says.startswith("0 propellers")
                assert _moment(at) - _moment(seen_at) <= PROPS_FOR

    def all_entries(self) -> dict[str, tuple[Any, ...]]:
        """What is kept, in the account's own form."""
        with reading(self.shop.engine) as connection:
            rows = connection.execute(ROWS).all()
        return {row[0]: (row[1], row[2], json.loads(row[3]), row[4]) for row in rows}

    def check_logs(self) -> None:
        """No log is changed or gone; a new one is sound, and the chain is whole."""
        with reading(self.shop.engine) as connection:
            chain, rows = logs.chain(connection), logs.keys(connection)
        assert chain[: len(self.logs)] == self.logs
        if len(chain) == len(self.logs):
            return
        for data in chain[len(self.logs) :]:
            check_log(json.loads(data)["log"])
        report = verify_chain(chain, key_list(rows))
        assert report.ok, (report.problems, [log.problems for log in report.logs])
        assert report.size == len(chain)
        self.logs = chain

    def old(self, number: int) -> bool:
        """Whether what was connected has been so for longer than the shop allows."""
        live = self.connected.get(number)
        return live is not None and self.now() - live.since > POWER_FOR

    def _count(self, what: str) -> None:
        self.counts[what] = self.counts.get(what, 0) + 1

    def _moved(self, name: str, number: int, before: Any, after: Any, result: Any) -> None:
        refused = isinstance(result, Refused)
        for each, ticket in after.items():
            was = before.get(each)
            if was is None or was == ticket:
                continue
            assert each == number, f"{name} of {number} changed {each}"
            assert was["state"] == ticket["state"] or (
                not refused and (was["state"], ticket["state"]) in MAY_MOVE.get(name, ())
            ), f"{name}: {was['state']} became {ticket['state']}"
            if refused:
                # It may end a connection: propellers were seen on it, or it was too old.
                assert was["power"] == ticket["power"] or (
                    ticket["power"] == "cold" and (name == "look again" or self.old(each))
                ), name
                assert was["revision"] == ticket["revision"]
        if not refused and name in UNPLUGS:
            self.ended(number)


def check_ticket(ticket: dict[str, Any]) -> None:
    """What fits together on one ticket."""
    state, held_by = ticket["state"], ticket["holder_id"]
    if state in ON_A_BENCH:
        assert held_by is not None
    if state in CLOSED | {State.WAITING, State.READY}:
        assert held_by is None, f"{state} and on somebody's bench"
        assert ticket["power"] == "cold", f"{state} and on {ticket['power']}"
    if state == State.ON_HOLD:
        assert ticket["hold_reason"]
        assert ticket["power"] == "cold"
    if ticket["steps_total"] and state in ON_A_BENCH:
        done = ticket["steps_done"] == ticket["steps_total"]
        assert done or state == State.BENCH, "to sign with open steps"


def check_log(log: dict[str, Any]) -> None:
    """No stop, no caution without its reason, and every step passed on its present target."""
    for finding in log["findings"]:
        settled = finding["settled"]
        assert settled or finding["severity"] == "note", finding
        assert finding["severity"] != "stop" or settled["how"] == "cleared", finding
    for step in (step for stage in log["stages"] for step in stage["steps"]):
        present = [entry for entry in step["evidence"] if not entry["stale"]]
        assert present, f"{step['key']} has no evidence"
        assert present[-1]["verdict"] == "pass", f"{step['key']}: {present[-1]}"
        for entry in step["evidence"]:
            assert (entry["power"] in BATTERIES) == (entry["props_off"] is not None)


def key_list(rows: list[logs.KeyRow]) -> KeyList:
    """Every key that anybody had, with its dates."""
    keys = tuple(
        ListedKey(
            owner=row.owner,
            initials=row.initials,
            lead=row.role == Role.SUPERVISOR,
            key=Jwk(**{k: v for k, v in json.loads(row.public_jwk).items() if k != "kid"}),
            since=moment(row.created_at),
            until=moment(row.closed_at) if row.closed_at else None,
        )
        for row in rows
    )
    return KeyList(
        kind="quadwright key list",
        version=1,
        shop="Plover Street Multirotor Repair",
        made_at="2030-03-04T09:00:00Z",
        signed_by=keys[0].kid,
        keys=keys,
    )


def _moment(at: Any) -> datetime:
    return at if isinstance(at, datetime) else datetime.fromisoformat(at)

"""The gate: what keeps something from being recorded, connected or signed, and in which words."""

import itertools
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import pytest

from server.trade.finding import Bars, Finding, Severity
from server.trade.gate import (
    Blocked,
    Opens,
    PowerLimits,
    PowerNow,
    Situation,
    StepRef,
    Task,
    barring_source,
    connected,
    connection_of,
    current_first,
    is_complete,
    may_connect,
    may_record,
    may_sign,
    may_work,
    power_now,
    propellers_on,
    propellers_still_on,
    same_cold,
    same_connection,
    states_now,
)
from server.trade.power import POWERED, Power

SETTING = frozenset({Power.USB, Power.LIMITED})
EVERY = [frozenset(states) for n in range(1, 5) for states in itertools.combinations(Power, n)]
FIRST = StepRef("motors/first-power", "7.6")
NOON = datetime(2031, 5, 1, 12, tzinfo=UTC)
LIMITS = PowerLimits(power=60, props=30)


@dataclass(frozen=True)
class Row:
    """What a ticket has on record of its power."""

    power: str
    power_since: datetime | None = None
    props_seen_at: datetime | None = None


def minutes(count):
    return timedelta(minutes=count)


def on(state, *, looked=True):
    return PowerNow(state, ends=NOON, looked=looked and state in POWERED)


def at(state=Power.COLD, *, looked=True, findings=(), first=None, ticket="bench"):
    return Situation(7, ticket, "a part", on(state, looked=looked), findings, first)


def finding(bars, severity=Severity.STOP):
    return Finding(
        code="made-up",
        severity=severity,
        bars=bars,
        subject="T1",
        says="T1 is on the wrong pad.",
        do="Move it to R1.",
        source="common practice, no source",
    )


def opens(blocked):
    return blocked and blocked.opens


@pytest.mark.parametrize(("states", "state"), [*itertools.product(EVERY, sorted(POWERED))])
def test_nothing_is_recorded_on_a_battery_before_its_current(states, state):
    task = Task("Step 3.1", states)
    assert state not in states_now(task, FIRST)
    assert may_record(task, at(state, first=FIRST))


@pytest.mark.parametrize(("states", "state"), [*itertools.product(EVERY, Power)])
def test_after_first_power_nothing_is_kept_back(states, state):
    task = Task("Step 3.1", states)
    assert states_now(task, None) == states
    assert current_first(task, at(state)) is None
    assert (may_record(task, at(state)) is None) == (state in states)


@pytest.mark.parametrize(("states", "state"), [*itertools.product(EVERY, Power)])
def test_what_reads_the_current_is_not_kept_back(states, state):
    task = Task("Step 7.6", states, reads_current=True)
    assert states_now(task, FIRST) == states
    assert (may_record(task, at(state, first=FIRST)) is None) == (state in states)


@pytest.mark.parametrize(("states", "state"), [*itertools.product(EVERY, Power)])
def test_what_needs_no_battery_is_kept_from_nothing_without_one(states, state):
    task = Task("Step 3.1", states)
    if state not in POWERED and not states <= POWERED:
        assert states_now(task, FIRST) == states - POWERED
        assert current_first(task, at(state, first=FIRST)) is None


def test_the_reason_names_the_step_to_do_first():
    blocked = may_record(Task("Step 3.1", SETTING), at(Power.LIMITED, first=FIRST))
    assert blocked is not None
    assert "First power has not passed for this wiring" in blocked.says
    assert blocked.do == "Do step 7.6 first: read the current through the limiter."
    assert (blocked.opens, blocked.step) == (Opens.STEP, FIRST)


def test_a_step_waits_for_those_before_it():
    after = tuple(StepRef(f"ports/{n}", f"4.{n}") for n in range(1, 6))
    blocked = may_record(Task("Step 4.6", SETTING, after), at(Power.USB))
    assert blocked == Blocked(
        "Step 4.6 comes after 4.1, 4.2, 4.3 and 2 more.",
        "Do 4.1 first.",
        Opens.STEP,
        after[0],
        "Opens after 4.1, 4.2, 4.3 and 2 more.",
    )


@pytest.mark.parametrize("state", sorted(POWERED))
def test_on_a_battery_nothing_is_recorded_without_a_live_look(state):
    task = Task("Step 7.7", frozenset(Power))
    assert may_record(task, at(state)) is None
    assert opens(may_record(task, at(state, looked=False))) is Opens.PROPELLERS


def test_power_that_is_not_known_shuts_every_step():
    now = replace(at(), power=PowerNow(Power.USB, known=False))
    blocked = may_record(Task("Step 3.1", frozenset(Power)), now)
    assert blocked is not None
    assert blocked.says == "It is not known what is connected to the craft; it was usb."
    assert opens(connected(now.power, "Unplug it.")) is Opens.CRAFT


@pytest.mark.parametrize(
    ("state", "where"),
    [
        ("waiting", Opens.TAKING),
        ("on-hold", Opens.HOLD),
        ("ready", Opens.TICKET),
        ("collected", Opens.TICKET),
        ("returned", Opens.TICKET),
    ],
)
def test_off_the_bench_nothing_is_done(state, where):
    now = at(ticket=state)
    blocked = may_work(now)
    assert opens(blocked) is where
    assert may_record(Task("Step 1.1", frozenset(Power)), now) == blocked
    assert may_connect(Power.USB, now) == blocked
    assert may_sign(now, ()) == blocked


@pytest.mark.parametrize("state", ["bench", "to-sign"])
def test_on_a_bench_it_is_worked_on(state):
    assert may_work(at(ticket=state)) is None


# The contract of the sheet: `power` refuses the USB lead too, `battery` any battery, the others
# neither.
REFUSED = {
    Bars.POWER: {Power.USB, Power.LIMITED, Power.BATTERY},
    Bars.BATTERY: {Power.LIMITED, Power.BATTERY},
    Bars.SIGNING: set(),
    Bars.NOTHING: set(),
}


@pytest.mark.parametrize(("bars", "to"), [*itertools.product(Bars, Power)])
def test_a_finding_bars_what_it_says(bars, to):
    now = at(findings=(finding(bars),))
    assert bool(barring_source(to, now.findings)) == (to in REFUSED[bars])
    blocked = may_connect(to, now)
    assert bool(blocked) == (to in REFUSED[bars])
    if blocked:
        assert blocked.says == "The map has 1 finding at stop: T1 is on the wrong pad."
        assert blocked.do.startswith("Move it to R1.")


@pytest.mark.parametrize(("bars", "state"), [*itertools.product(Bars, Power)])
def test_nothing_is_recorded_on_what_a_finding_bars(bars, state):
    now = at(state, findings=(finding(bars),))
    blocked = may_record(Task("Step 1.1", frozenset(Power)), now)
    assert bool(blocked) == (state in REFUSED[bars])


@pytest.mark.parametrize(("bars", "free"), [(b, b is Bars.NOTHING) for b in Bars])
def test_a_card_with_what_bars_the_signature_is_not_complete(bars, free):
    severity = Severity.CAUTION if free else Severity.STOP
    assert is_complete(9, 9, [finding(bars, severity)]) is free
    assert not is_complete(8, 9, [])


@pytest.mark.parametrize("to", sorted(POWERED))
def test_a_battery_wants_a_map_first(to):
    assert opens(may_connect(to, at(findings=None))) is Opens.MAP
    assert may_connect(Power.USB, at(findings=None)) is None


def test_a_battery_direct_wants_first_power_first():
    blocked = may_connect(Power.BATTERY, at(first=FIRST))
    assert blocked is not None
    assert (blocked.opens, blocked.step) == (Opens.STEP, FIRST)
    assert may_connect(Power.LIMITED, at(first=FIRST)) is None


def test_propellers_keep_a_battery_off():
    assert propellers_on(0) is None
    assert propellers_still_on(0) is None
    for count in (1, 4):
        assert str(count) in propellers_on(count).says
        assert "Unplug the battery now" in propellers_still_on(count).do
    assert "Nobody has looked" in propellers_on(None).says


def test_what_is_left_to_do_comes_before_the_signature():
    blocked = may_sign(at(), ["1.1 Look", "1.2 Look"])
    assert blocked is not None
    assert blocked.says == "2 in the way of signing: 1.1 Look"
    assert opens(may_sign(at(Power.USB), ())) is Opens.CRAFT
    assert opens(may_sign(at(findings=None), ())) is Opens.MAP
    assert may_sign(at(), ()) is None


@pytest.mark.parametrize(
    ("age", "state", "lapsed"),
    [(0, Power.USB, False), (60, Power.USB, False), (61, Power.COLD, True)],
)
def test_a_state_older_than_the_shop_allows_counts_as_cold(age, state, lapsed):
    now = power_now(Row("usb", NOON - minutes(age)), LIMITS, NOON)
    assert (now.state, now.known, now.lapsed) == (state, True, lapsed)


@pytest.mark.parametrize(("age", "looked"), [(None, False), (0, True), (30, True), (31, False)])
def test_a_look_at_the_propellers_holds_for_so_long(age, looked):
    seen = None if age is None else NOON - minutes(age)
    now = power_now(Row("battery", NOON - minutes(40), seen), LIMITS, NOON)
    assert now.looked is looked
    assert now.look_ends == (seen + minutes(30) if looked else None)


@pytest.mark.parametrize(
    ("since", "seen", "leapt"),
    [
        (None, None, False),
        (NOON + minutes(1), None, False),
        (NOON, NOON + minutes(1), False),
        (NOON, NOON, True),
    ],
)
def test_a_moved_clock_makes_power_not_known(since, seen, leapt):
    now = power_now(Row("battery", since, seen), LIMITS, NOON, leapt=leapt)
    assert (now.state, now.known, now.looked) == (Power.BATTERY, False, False)
    assert power_now(Row("cold", since, seen), LIMITS, NOON, leapt=leapt).known


def test_a_form_of_another_connection_is_refused():
    here = Row("battery", NOON, NOON)
    assert same_connection("", here) is None
    assert same_connection(connection_of(here), here) is None
    cases = {
        "and the craft is on battery now": Row("usb", NOON),
        "unplugged and connected again": replace(here, power_since=NOON - minutes(9)),
        "looked at anew": replace(here, props_seen_at=NOON - minutes(9)),
    }
    for says, then in cases.items():
        blocked = same_connection(connection_of(then), here)
        assert blocked is not None
        assert says in blocked.says
    assert same_cold(here) is None
    assert same_cold(Row("cold")) is not None

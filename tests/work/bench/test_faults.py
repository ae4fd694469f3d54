"""Fault finder's acts: guarded under battery, only added to, counted when a ticket closes."""

import pytest
from sqlalchemy import update
from sqlalchemy.exc import IntegrityError
from sqlmodel import select

from server.records import evidence
from server.records.columns import core
from server.records.engine import reading, writing
from server.records.tables import FaultAnswer, FaultCause, Profile, Ticket
from server.trade.fault_finder import OTHER, TABLE, UNCLEAR
from server.trade.gate import connection_of
from server.trade.power import POWERED, Act
from server.work.bench import faults, power
from server.work.bench.fault_search import search_of
from server.work.errors import Locked, Missing, NotAllowed, Spent, Stale, Unfit
from server.work.queue import queue
from server.work.shop import Person, Shop
from tests import make
from tests.edits import put

OTHER_BOARD = put("board/model", "Brindle F7 rev B")


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def number(shop: Shop, kit: Person) -> int:
    """A ticket after first power with a search for a motor that does not turn."""
    number = make.first_powered(shop, kit)
    faults.begin(shop, kit, number, symptoms=["one-motor"], act_key=make.key())
    return number


def looking(shop, by, *symptoms, change=None):
    number = make.on_the_bench(shop, by, change)
    faults.begin(shop, by, number, symptoms=symptoms, act_key=make.key())
    return number


def answered(shop, by, number, check, outcome, **more):
    return faults.answer(shop, by, number, check=check, outcome=outcome, act_key=make.key(), **more)


def found(shop, by, number, cause, **more):
    return faults.found(shop, by, number, cause=cause, act_key=make.key(), **more)


def search(shop, number):
    with reading(shop.engine) as connection:
        return search_of(connection, make.head(shop, number))


def shares(shop, number):
    return {r.cause.code: r for r in search(shop, number).advice.causes}


def close(shop, number, state="collected"):
    with writing(shop.engine) as session:
        one = core(Ticket).c.number == number
        session.connection().execute(
            update(core(Ticket)).where(one).values(state=state, holder_id=None)
        )


def rows(shop, model):
    with reading(shop.engine) as connection:
        return connection.execute(select(*core(model).c).order_by(core(model).c.id)).all()


def says(shop, number):
    with reading(shop.engine) as connection:
        return [e.says for e in evidence.events(connection, make.head(shop, number).id)]


def test_nothing_is_looked_for_at_first(shop, kit):
    assert search(shop, make.on_the_bench(shop, kit)) is None


def test_an_answer_moves_the_shares_and_stays(shop, kit, number):
    before = shares(shop, number)["signal-lead-off"].share
    answered(shop, kit, number, "signal-contact", "open")
    now = search(shop, number)
    assert now.advice.causes[0].cause.code == "signal-lead-off"
    assert now.advice.causes[0].share > before
    row = now.row.answers["signal-contact"]
    assert (row.outcome, row.by_name, row.power) == ("open", "Kit Thorne", "cold")
    assert "signal-contact" not in {n.check.code for n in now.advice.checks}


def test_a_corrected_answer_is_a_new_row(shop, kit, number):
    first = answered(shop, kit, number, "signal-contact", "open")
    second = answered(shop, kit, number, "signal-contact", "own")
    assert [r.outcome for r in rows(shop, FaultAnswer)] == ["open", "own"]
    assert second.replaces_id == first.id
    assert search(shop, number).row.answers["signal-contact"].outcome == "own"


def test_what_could_not_be_told_is_not_asked_again(shop, kit, number):
    before = shares(shop, number)
    answered(shop, kit, number, "signal-contact", UNCLEAR)
    assert shares(shop, number) == before
    assert "signal-contact" not in {n.check.code for n in search(shop, number).advice.checks}


def test_the_same_key_twice_is_once(shop, kit, number):
    for _ in range(2):
        faults.begin(shop, kit, number, symptoms=["stutter"], act_key="begin")
        faults.answer(shop, kit, number, check="three-leads", outcome="odd", act_key="answer")
        faults.found(shop, kit, number, cause="motor-dead", act_key="found")
    assert search(shop, number).row.symptoms == ("stutter",)
    assert (len(rows(shop, FaultAnswer)), len(rows(shop, FaultCause))) == (1, 1)


def test_the_same_key_with_another_answer_is_refused(shop, kit, number):
    faults.answer(shop, kit, number, check="three-leads", outcome="odd", act_key="answer")
    faults.found(shop, kit, number, cause="motor-dead", act_key="found")
    with pytest.raises(Spent, match="sent before: A pair reads otherwise"):
        faults.answer(shop, kit, number, check="three-leads", outcome="alike", act_key="answer")
    with pytest.raises(Spent):
        faults.found(shop, kit, number, cause="motor-lead-off", act_key="found")
    assert (len(rows(shop, FaultAnswer)), len(rows(shop, FaultCause))) == (1, 1)


def test_an_answer_counts_under_the_connection_that_its_page_showed(shop, kit, number):
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    under = connection_of(make.head(shop, number))
    power.change(shop, kit, number, act=Act.UNPLUG)
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    with pytest.raises(Locked, match="connected again after this was made"):
        answered(shop, kit, number, "neighbour-motor", "same", under=under)
    answered(
        shop, kit, number, "neighbour-motor", "same", under=connection_of(make.head(shop, number))
    )


POWERED_CHECKS = [c for c in TABLE.checks.values() if c.states <= POWERED]


def test_there_are_checks_under_battery_to_try():
    assert len(POWERED_CHECKS) > 12


@pytest.mark.parametrize("act", [None, Act.PLUG_USB])
def test_no_check_under_battery_is_answered_without_one(shop, kit, number, act):
    if act:
        power.change(shop, kit, number, act=act)
    for check in POWERED_CHECKS:
        with pytest.raises(Locked, match="This check is not done on"):
            answered(shop, kit, number, check.code, next(iter(check.outcomes)))
    assert rows(shop, FaultAnswer) == []


def test_a_check_under_battery_needs_a_live_look(shop, kit, number, clock):
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    with reading(shop.engine) as connection:
        minutes = connection.execute(select(core(Profile).c.props_minutes)).scalar_one()
    given = answered(shop, kit, number, "neighbour-motor", "same")
    assert (given.power, given.props_event_id is not None) == ("limited", True)
    clock.pass_minutes(minutes + 1)
    with pytest.raises(Locked, match="Nobody has looked at the propellers"):
        answered(shop, kit, number, "drive-higher", "smooth")
    assert len(rows(shop, FaultAnswer)) == 1


def test_a_propeller_seen_ends_what_may_be_answered(shop, kit, number):
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    with pytest.raises(Locked, match="on the craft"):
        power.look_again(shop, kit, number, propellers=1)
    with pytest.raises(Locked, match="not done on cold"):
        answered(shop, kit, number, "neighbour-motor", "same")


def test_the_limiter_alone_is_not_the_battery(shop, kit, number):
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    answered(shop, kit, number, "output-rows", "as-map")  # a setting, done on the limiter too
    with pytest.raises(Locked, match="not done on limited"):
        answered(shop, kit, number, "signal-contact", "own")  # an ohmmeter under battery
    assert rows(shop, FaultAnswer)[0].props_event_id is not None


def test_the_database_holds_a_powered_answer_to_its_look(shop, kit, number):
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    answered(shop, kit, number, "neighbour-motor", "same")
    with (
        pytest.raises(IntegrityError, match="powered_has_props_look"),
        writing(shop.engine) as session,
    ):
        session.connection().execute(update(core(FaultAnswer)).values(props_event_id=None))


def test_another_hand_s_answer_is_shown_first(shop, lead, kit, number):
    theirs = answered(shop, lead, number, "signal-contact", "open")
    with pytest.raises(Stale, match="Sunniva Oake answered this first: Open"):
        answered(shop, kit, number, "signal-contact", "own")
    answered(shop, kit, number, "signal-contact", "own", seen=theirs.id)


def test_a_cause_is_kept_with_the_check_that_showed_it(shop, kit, number):
    given = answered(shop, kit, number, "signal-contact", "open")
    found(shop, kit, number, "signal-lead-off", check="signal-contact")
    now = search(shop, number).row.found
    assert (now.cause, now.check, now.outcome) == ("signal-lead-off", "signal-contact", "open")
    assert rows(shop, FaultCause)[0].answer_id == given.id
    assert "Cause found: The signal lead of that output is off" in says(shop, number)[-1]


def test_after_the_cause_no_check_is_answered(shop, kit, number):
    found(shop, kit, number, "motor-dead")
    with pytest.raises(Locked, match="Kit Thorne found the cause"):
        answered(shop, kit, number, "signal-contact", "own")


def test_a_second_cause_corrects_the_first(shop, kit, number):
    first = found(shop, kit, number, "motor-dead")
    second = found(shop, kit, number, "motor-lead-off")
    assert second.replaces_id == first.id
    assert search(shop, number).row.found.cause == "motor-lead-off"
    assert len(rows(shop, FaultCause)) == 2


def test_it_was_not_that_goes_on_with_the_answers(shop, kit, number):
    answered(shop, kit, number, "signal-contact", "own")
    found(shop, kit, number, "motor-dead")
    faults.withdraw(shop, kit, number, act_key=make.key())
    now = search(shop, number).row
    assert (now.found, list(now.answers)) == (None, ["signal-contact"])
    answered(shop, kit, number, "three-leads", "odd")
    assert says(shop, number)[-1].startswith("It was not that: The motor’s winding")
    with pytest.raises(Stale, match="No cause stands"):
        faults.withdraw(shop, kit, number, act_key=make.key())


def test_other_symptoms_keep_the_answers(shop, kit, number):
    answered(shop, kit, number, "three-leads", "odd")
    faults.begin(shop, kit, number, symptoms=["one-motor", "stutter"], act_key=make.key())
    now = search(shop, number).row
    assert now.symptoms == ("one-motor", "stutter")
    assert list(now.answers) == ["three-leads"]


def test_after_a_cause_the_next_search_starts_afresh(shop, kit, number):
    answered(shop, kit, number, "three-leads", "odd")
    found(shop, kit, number, "motor-lead-off", check="three-leads")
    faults.begin(shop, kit, number, symptoms=["flips"], act_key=make.key())
    now = search(shop, number).row
    assert (now.answers, now.found) == ({}, None)
    assert [c.cause for c in now.before] == ["motor-lead-off"]


def test_causes_of_closed_tickets_on_the_board_count(shop, kit):
    for cause in ("motor-dead", "motor-dead", "signal-lead-off"):
        past = looking(shop, kit, "one-motor")
        found(shop, kit, past, cause)
        close(shop, past)
    now = search(shop, looking(shop, kit, "one-motor"))
    by_cause = {r.cause.code: r.seen for r in now.advice.causes}
    assert (now.advice.seen, by_cause["motor-dead"], by_cause["signal-lead-off"]) == (3, 2, 1)
    assert now.tickets_of("motor-dead") == (1, 2)
    assert now.tickets_of("screw-in-winding") == ()
    # By hand: 8 of a hundred are 0.8 of ten tickets; with 2 of 3 more, 2.8 of 13.
    share = next(r.before for r in now.advice.causes if r.cause.code == "motor-dead")
    assert share == pytest.approx(2.8 / 13)


def test_what_does_not_count(shop, kit):
    open_one = looking(shop, kit, "one-motor")
    found(shop, kit, open_one, "motor-dead")  # not closed
    for change, symptom, withdrawn in (
        (OTHER_BOARD, "one-motor", False),
        (None, "stutter", False),
        (None, "one-motor", True),
    ):
        past = looking(shop, kit, symptom, change=change)
        found(shop, kit, past, "motor-dead")
        if withdrawn:
            faults.withdraw(shop, kit, past, act_key=make.key())
        close(shop, past)
    assert search(shop, looking(shop, kit, "one-motor")).advice.seen == 0


def test_a_corrected_cause_counts_as_corrected(shop, kit):
    past = looking(shop, kit, "one-motor")
    found(shop, kit, past, "motor-dead")
    found(shop, kit, past, "esc-channel-dead")
    close(shop, past, "returned")
    here = search(shop, looking(shop, kit, "one-motor"))
    assert {r.cause.code: r.seen for r in here.advice.causes if r.seen} == {"esc-channel-dead": 1}


def test_a_ticket_counts_a_cause_once(shop, kit):
    past = looking(shop, kit, "one-motor", "stutter")
    found(shop, kit, past, "motor-lead-off")
    close(shop, past)
    here = search(shop, looking(shop, kit, "one-motor", "stutter"))
    assert here.advice.seen == 1


def test_the_board_of_the_last_map_counts(shop, kit):
    past = looking(shop, kit, "one-motor", change=OTHER_BOARD)
    found(shop, kit, past, "motor-dead")
    make.mapped(shop, kit, past)
    close(shop, past)
    assert search(shop, looking(shop, kit, "one-motor")).advice.seen == 1
    assert search(shop, looking(shop, kit, "one-motor", change=OTHER_BOARD)).advice.seen == 0


def test_before_a_map_there_is_no_past_and_no_condition(shop, kit):
    number = make.ticket(shop, kit)
    queue.take(shop, kit, number)
    faults.begin(shop, kit, number, symptoms=["no-position"], act_key=make.key())
    now = search(shop, number)
    assert (now.advice.seen, now.past) == (0, ())
    assert "position-sky" in {r.cause.code for r in now.advice.causes}


@pytest.mark.parametrize(
    ("symptoms", "field"), [([], "symptoms"), (["no-position"], "symptoms"), (["x"], "symptoms")]
)
def test_symptoms_that_cannot_be_are_refused(shop, kit, symptoms, field):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Unfit) as no:
        faults.begin(shop, kit, number, symptoms=symptoms, act_key=make.key())
    assert no.value.field == field


def test_a_cause_outside_the_list_is_written_in_words(shop, kit, number):
    with pytest.raises(Unfit) as no:
        found(shop, kit, number, OTHER, words="  ")
    assert no.value.field == "words"
    found(shop, kit, number, OTHER, words="An ant under the ESC’s coating.")
    assert says(shop, number)[-1].endswith("An ant under the ESC’s coating.")


def test_what_is_not_on_the_page_is_refused(shop, kit, number):
    for cause, more, field in (
        ("position-sky", {}, "cause"),
        ("motor-dead", {"check": "arms"}, "check"),
        ("motor-dead", {"words": "x" * 501}, "words"),
    ):
        with pytest.raises(Unfit) as no:
            found(shop, kit, number, cause, **more)
        assert no.value.field == field
    with pytest.raises(Missing):
        answered(shop, kit, number, "no-check", "open")
    with pytest.raises(Unfit):
        answered(shop, kit, number, "three-leads", "no-outcome")


def test_nothing_is_answered_before_something_is_looked_for(shop, kit):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Locked, match="Nothing is looked for"):
        answered(shop, kit, number, "three-leads", "odd")


def test_a_held_ticket_and_a_closed_one_take_nothing(shop, kit, number):
    queue.hold(shop, kit, number, reason="a part")
    with pytest.raises(Locked, match="not on a bench"):
        answered(shop, kit, number, "three-leads", "odd")
    close(shop, number)
    with pytest.raises(Locked, match="closed"):
        found(shop, kit, number, "motor-dead")


def test_the_counter_does_not_look_for_faults(shop, lead, number):
    ilse = make.staff(shop, lead, "Ilse Brand", "counter")
    for act, more in (
        (faults.begin, {"symptoms": ["flips"]}),
        (faults.answer, {"check": "three-leads", "outcome": "odd"}),
        (faults.found, {"cause": "motor-dead"}),
        (faults.withdraw, {}),
    ):
        with pytest.raises(NotAllowed):
            act(shop, ilse, number, act_key=make.key(), **more)

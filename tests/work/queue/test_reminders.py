"""Who is to be told of what, on both databases: just before the limit and on it."""

import pytest

from server.records import people
from server.records.engine import reading
from server.work.bench import signing
from server.work.errors import Locked, NotAllowed, Unfit
from server.work.handover import handover
from server.work.office import settings
from server.work.queue import queue, reminders
from server.work.shop import Shop
from tests import make

DAY = 24 * 60


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


def found(shop, by):
    with reading(shop.engine) as connection:
        return reminders.reminders(connection, by, people.shop(connection), shop.now())


def numbers(shop, by):
    return {kind: [row.number for row in rows] for kind, rows in found(shop, by).items() if rows}


def promised(shop, by, minutes, **told):
    return make.ticket(shop, by, promised_at=shop.now() + make.timedelta(minutes=minutes), **told)


def test_a_new_shop_reminds_of_nothing(shop, lead):
    make.ticket(shop, lead)
    assert numbers(shop, lead) == {}


@pytest.mark.parametrize(("days", "told"), [(6.99, {}), (7.01, {"held": [1]})])
def test_a_hold_is_reminded_of_after_its_days(shop, lead, clock, days, told):
    number = make.ticket(shop, lead)
    queue.hold(shop, lead, number, reason="a new receiver")
    clock.pass_minutes(days * DAY)
    assert numbers(shop, lead) == told


def test_an_ended_hold_begins_anew(shop, lead, clock):
    number = make.ticket(shop, lead)
    queue.hold(shop, lead, number, reason="a part")
    clock.pass_minutes(6 * DAY)
    queue.end_hold(shop, lead, number)
    queue.hold(shop, lead, number, reason="an answer")
    clock.pass_minutes(6 * DAY)
    assert numbers(shop, lead) == {}
    clock.pass_minutes(2 * DAY)
    (row,) = found(shop, lead)["held"]
    assert row.why.replace("\N{NO-BREAK SPACE}", " ") == "On hold for 8 days: an answer"
    assert "it waits for an answer." in row.says


@pytest.mark.parametrize(("days", "told"), [(13.9, {}), (14.1, {"ready": [1]})])
def test_a_craft_that_nobody_collects(shop, lead, kit, clock, days, told):
    number = make.to_sign(shop, kit)
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Done.")
    clock.pass_minutes(days * DAY)
    assert numbers(shop, lead) == told
    handover.return_as_is(shop, lead, number, to=make.handed(), reason="x", act_key="r")
    assert numbers(shop, lead) == {}


def test_the_shops_own_days_count(shop, lead, clock):
    number = make.ticket(shop, lead)
    queue.hold(shop, lead, number, reason="a part")
    settings.change_shop(shop, lead, {"held_days": 2})
    clock.pass_minutes(2.1 * DAY)
    assert numbers(shop, lead) == {"held": [1]}


def test_less_than_an_opening_day_left_is_a_risk(shop, lead):
    """Monday 10:00 in Oslo, open 9 to 17: seven hours today, so Tuesday 10:00 is a day away."""
    soon, later = promised(shop, lead, DAY - 5), promised(shop, lead, DAY + 5)
    past = promised(shop, lead, -60)
    assert numbers(shop, lead) == {"late": [past, soon]}
    rows = {row.number: row.why for row in found(shop, lead)["late"]}
    assert rows[soon].endswith("and less is left than one opening day")
    assert rows[past].endswith("which is past")
    assert later not in rows


def test_past_times_and_done_steps_narrow_the_risk(shop, lead, kit, monkeypatch):
    jobs = [reminders.promise.PastJob(100.0, frozenset()) for _ in range(9)]
    monkeypatch.setattr(reminders.promise, "past", lambda *_: jobs)
    waits = promised(shop, lead, 90)
    calm = promised(shop, lead, 110)
    assert numbers(shop, lead) == {"late": [waits]}
    assert "less is left than such work usually takes here" in found(shop, lead)["late"][0].why
    worked = make.to_sign(shop, kit, promised_at=shop.now() + make.timedelta(minutes=30))
    assert numbers(shop, lead) == {"late": [waits]}
    assert calm != worked


def test_told_is_noted_once_with_its_time(shop, lead, clock):
    number = promised(shop, lead, -60)
    for _ in range(2):
        reminders.note_told(shop, lead, number, kind="late", act_key="told")
    (row,) = found(shop, lead)["late"]
    assert row.told_at is not None
    handover.return_as_is(shop, lead, number, to=make.handed(), reason="x", act_key="r")
    with pytest.raises(Locked):
        reminders.note_told(shop, lead, number, kind="late", act_key="later")


def test_the_shops_own_words_stand_in_the_text(shop, lead):
    promised(shop, lead, -60, craft_name="Curlew {name}")
    reminders.put_messages(shop, lead, {"late": "{name}: {craft} ({ticket}) {state}. {shop}"})
    (row,) = found(shop, lead)["late"]
    assert row.says == (
        "Perrin: Curlew {name} (0001) waiting for a free bench. Plover Street Multirotor Repair"
    )
    reminders.put_messages(shop, lead, {"late": " "})
    assert found(shop, lead)["late"][0].says.startswith("Hello Perrin, we promised your Curlew")


@pytest.mark.parametrize("words", ["Hello {nobody}", "Hello {", "x" * 601])
def test_words_with_a_gap_that_nothing_fills_are_refused(shop, lead, words):
    with pytest.raises(Unfit) as no:
        reminders.put_messages(shop, lead, {"held": "fine", "ready": words})
    assert no.value.field == "ready"
    with reading(shop.engine) as connection:
        assert reminders.messages(connection)["held"] != "fine"


def test_a_technician_is_not_the_one_who_tells(shop, lead, kit):
    with pytest.raises(NotAllowed):
        found(shop, kit)
    with pytest.raises(NotAllowed):
        reminders.note_told(shop, kit, make.ticket(shop, lead), kind="late", act_key="x")

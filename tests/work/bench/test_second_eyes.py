"""Where the shop wants a second pair of eyes, nobody signs for what they did; on both databases."""

import json

import pytest

from server.records.engine import reading
from server.records.tables import ShopEvent
from server.trade.power import Act
from server.work.bench import power, recording, signing
from server.work.bench.progress import work_of
from server.work.errors import Locked, NotAllowed
from server.work.office import settings
from server.work.people.keys import make_key
from server.work.shop import Person, Shop
from tests import make

WORDS = "Settings entered anew and read back."


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def bo(shop: Shop, lead: Person) -> Person:
    someone = make.staff(shop, lead, "Bo Larch")
    make_key(shop, someone, phrase=make.SIGNING)
    return someone


def sign(shop: Shop, by: Person, number: int):
    return signing.sign(shop, by, number, phrase=make.SIGNING, words=WORDS)


def looked(log) -> dict[str, str | None]:
    """Who saw over each stage, by the signed log."""
    stages = json.loads(log.document)["log"]["stages"]
    return {s["key"]: s["seen_by"] and s["seen_by"]["by"] for s in stages}


@pytest.mark.parametrize("rule", ["motors", "log"])
def test_who_did_it_does_not_sign(shop, lead, kit, bo, rule):
    settings.change_shop(shop, lead, {"second_eyes": rule})
    number = make.to_sign(shop, kit)
    with pytest.raises(Locked, match="somebody else signs"):
        sign(shop, kit, number)
    log = sign(shop, bo, number)
    seen = looked(log)
    assert seen["motors"] == "Bo Larch"
    assert set(seen.values()) == ({"Bo Larch"} if rule == "log" else {"Bo Larch", None})


def test_without_the_rule_whoever_did_it_signs(shop, kit):
    assert set(looked(sign(shop, kit, make.to_sign(shop, kit))).values()) == {None}


def test_one_entry_on_the_motors_is_enough(shop, lead, kit, bo):
    settings.change_shop(shop, lead, {"second_eyes": "motors"})
    number = make.to_sign(shop, kit)
    with reading(shop.engine) as connection:
        steps = work_of(connection, make.head(shop, number)).steps
    tick = next(s for s in steps if s.step.stage == "motors" and not s.step.needs_battery)
    power.change(shop, bo, number, act=Act.PLUG_USB)
    recording.record(
        shop,
        bo,
        number,
        tick.step.key,
        answer=json.loads(tick.entries[-1].answer),
        act_key=make.key(),
        seen=tick.entries[-1].id,
    )
    power.change(shop, bo, number, act=Act.UNPLUG)
    for by in (kit, bo):
        with pytest.raises(Locked, match="You did the motors"):
            sign(shop, by, number)


def test_another_stage_does_not_bar_under_the_motor_rule(shop, lead, kit, bo):
    settings.change_shop(shop, lead, {"second_eyes": "motors"})
    number = make.to_sign(shop, kit)
    with reading(shop.engine) as connection:
        first = work_of(connection, make.head(shop, number)).steps[0]
    recording.record(
        shop,
        bo,
        number,
        first.step.key,
        answer=json.loads(first.entries[-1].answer),
        act_key=make.key(),
        seen=first.entries[-1].id,
    )
    assert looked(sign(shop, bo, number))["motors"] == "Bo Larch"


def test_the_rule_is_the_leads_and_is_written_down(shop, lead, kit):
    with pytest.raises(NotAllowed):
        settings.change_shop(shop, kit, {"second_eyes": "log"})
    settings.change_shop(shop, lead, {"second_eyes": "log"})
    settings.change_shop(shop, lead, {"second_eyes": "log"})
    with reading(shop.engine) as connection:
        rows = connection.execute(ShopEvent.__table__.select()).mappings().all()
    assert [row["says"] for row in rows if "eyes" in row["says"]] == [
        "Second pair of eyes, from none to log, by Sunniva Oake."
    ]

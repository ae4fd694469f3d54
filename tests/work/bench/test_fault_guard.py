"""Any order of plugging, looking, waiting and answering: a model says what the server may take.

The model is written from the rule alone: a check counts in its own power states; under a battery
only while a look at this very connection, with no propeller on the craft, is young enough; and a
state that is too old counts as cold.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from server.places import MIGRATIONS
from server.records.columns import core
from server.records.engine import open_engine, reading
from server.records.migrate import bring_up_to_date
from server.records.tables import Profile
from server.trade.fault_finder import TABLE
from server.trade.power import Act
from server.work.bench import faults, power
from server.work.errors import Refused
from server.work.shop import Shop
from tests import make

PLUGS = {Act.PLUG_USB: "usb", Act.PLUG_LIMITER: "limited"}
CHECKS = [
    "signal-contact",
    "three-leads",
    "output-rows",
    "neighbour-motor",
    "drive-higher",
    "light-less",
    "usb-other-lead",
    "meter-against",
]
ACTS = st.one_of(
    st.tuples(st.just("plug"), st.sampled_from(sorted(PLUGS)), st.sampled_from([None, 0, 0, 0, 1])),
    st.tuples(st.just("plug"), st.just(Act.UNPLUG), st.none()),
    st.tuples(st.just("look"), st.sampled_from([0, 0, 2]), st.none()),
    st.tuples(st.just("wait"), st.sampled_from([1, 20, 31, 61]), st.none()),
    *[st.tuples(st.just("answer"), st.sampled_from(CHECKS), st.none())] * 3,
)


@dataclass
class Model:
    """What is connected, since when, and when no propeller was last seen on this connection."""

    props: timedelta
    power: timedelta
    state: str = "cold"
    since: datetime | None = None
    look: datetime | None = None

    def age(self, at: datetime) -> None:
        if self.since and at - self.since > self.power:
            self.unplug()

    def unplug(self) -> None:
        self.state, self.since, self.look = "cold", None, None

    def plug(self, act: Act, seen: int | None, at: datetime) -> None:
        self.age(at)
        if act is Act.UNPLUG:
            self.unplug()
        elif self.state == "cold" and (act is Act.PLUG_USB or seen == 0):
            self.state, self.since = PLUGS[act], at
            self.look = at if act is Act.PLUG_LIMITER else None

    def looked(self, seen: int, at: datetime) -> None:
        self.age(at)
        if seen:
            self.unplug()
        elif self.state == "limited":
            self.look = at

    def takes(self, check: str, at: datetime) -> bool:
        self.age(at)
        if self.state not in {str(s) for s in TABLE.checks[check].states}:
            return False
        return self.state != "limited" or (self.look is not None and at - self.look <= self.props)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("guard")
    engine = open_engine(f"sqlite:///{folder / 'shop.db'}", durable=False)
    bring_up_to_date(engine, MIGRATIONS)
    made = Shop(engine, folder / "files", now=make.Clock(), quick_phrases=True)
    yield made
    engine.dispose()


@pytest.fixture(scope="module")
def kit(shop):
    return make.staff(shop, make.lead(shop), "Kit Thorne")


LIMITER, UNDER = ("plug", Act.PLUG_LIMITER, 0), ("answer", "neighbour-motor", None)
ON_USB, BY_METER = ("answer", "usb-other-lead", None), ("answer", "signal-contact", None)
OLD = ("wait", 31, None)  # older than a look may be, younger than a connection may be


@settings(max_examples=30)
@example(acts=[UNDER, LIMITER, UNDER, OLD, UNDER, ("look", 0, None), UNDER])
@example(acts=[LIMITER, ("look", 2, None), UNDER, ("plug", Act.PLUG_USB, None), UNDER])
@example(acts=[("plug", Act.PLUG_LIMITER, 1), UNDER, LIMITER, ("wait", 61, None), UNDER])
@example(acts=[("plug", Act.PLUG_USB, None), ON_USB, ("wait", 61, None), ON_USB, BY_METER])
@example(acts=[LIMITER, UNDER, ("plug", Act.UNPLUG, None), UNDER, LIMITER, UNDER])
@given(acts=st.lists(ACTS, min_size=4, max_size=16))
def test_an_answer_is_taken_exactly_when_the_rule_allows_it(shop, kit, acts):
    with reading(shop.engine) as connection:
        profile = connection.execute(core(Profile).select()).mappings().one()
    number = make.first_powered(shop, kit)
    faults.begin(shop, kit, number, symptoms=["one-motor"], act_key=make.key())
    model = Model(
        timedelta(minutes=profile["props_minutes"]), timedelta(minutes=profile["power_minutes"])
    )
    for kind, what, seen in acts:
        if kind == "wait":
            shop.now.pass_minutes(what)
        elif kind == "answer":
            assert answered(shop, kit, number, what) == model.takes(what, shop.now.at), acts
        else:
            moved(shop, kit, number, kind, what, seen)
            follow = model.plug if kind == "plug" else lambda w, _s, at: model.looked(w, at)
            follow(what, seen, shop.now.at)


def answered(shop, kit, number, check):
    outcome = next(iter(TABLE.checks[check].outcomes))
    try:
        faults.answer(shop, kit, number, check=check, outcome=outcome, act_key=make.key())
    except Refused:
        return False
    return True


def moved(shop, kit, number, kind, what, seen):
    try:
        if kind == "plug":
            power.change(shop, kit, number, act=what, propellers=seen)
        else:
            power.look_again(shop, kit, number, propellers=what)
    except Refused:
        pass  # whether it may is for test_power.py; the model has the same rule


def test_the_model_takes_and_refuses_both():
    """Else the test above would say nothing."""
    model, at = Model(timedelta(minutes=10), timedelta(minutes=30)), make.START
    assert model.takes("signal-contact", at)
    assert not model.takes("neighbour-motor", at)
    model.plug(Act.PLUG_LIMITER, 0, at)
    assert model.takes("neighbour-motor", at)
    assert not model.takes("neighbour-motor", at + timedelta(minutes=11))

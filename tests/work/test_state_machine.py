"""Any order of acts of two technicians, a lead and the counter, with repeats and stale pages.

Hypothesis makes up the order; tests/work/yard.py says after each act what has to hold. The same
over threads that really run at once is in test_races.py.
"""

import os
import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from server.demo.answers import good_answers
from server.trade.power import Act, Power
from server.work import bench, handover, keys, port_map, power, queue, signing
from server.work.errors import Refused, Stale
from server.work.shop import Person, Shop
from tests import databases, make
from tests.work.bench_pages import Page, Shown, bad_answer, page_of
from tests.work.yard import BATTERIES, PLUGGED, Yard

DEEP = os.environ.get("QUADWRIGHT_TEST_PROFILE") == "deep"
# QUADWRIGHT_TEST_PROFILE=deep: ten minutes and more for each database.
EXAMPLES, STEPS = (150, 50) if DEEP else (18, 25)
MOST_TICKETS = 5
COUNTER = ("collect", "pay", "return")
HOME = make.handed(owed_note="As it comes.", paid_minor=100)
MAPS = (None, make.swapped, make.no_telemetry, make.receiver_moved)
PLUG = {power: act for act, power in PLUGGED.items()}
GENTLE = tuple(str(state) for state in Power)

tickets = st.integers(0, MOST_TICKETS - 1)
people = st.integers(0, 4)
benchers = st.integers(0, 3)
pages = st.integers(0, 200)


class ShopUnderTest(RuleBasedStateMachine):
    """Every rule is something that a person does, with whatever page they have before them."""

    sqlite: bool

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="quadwright-machine-"))
        self.clock = make.Clock()
        engine = (databases.fresh_sqlite(self.folder) if self.sqlite
                  else databases.fresh_postgres())  # fmt: skip
        self.shop = Shop(engine, self.folder, now=self.clock, quick_phrases=True)
        self.yard = Yard(self.shop, lambda: self.clock.at)
        self.pages: list[Page] = []

    @initialize()
    def open_the_shop(self) -> None:
        """One ticket waits, one has a map with a caution, one wants its signature."""
        lead = make.lead(self.shop)
        kit = make.staff(self.shop, lead, "Kit Thorne")
        bo = make.staff(self.shop, lead, "Bo Larch")
        ilse = make.staff(self.shop, lead, "Ilse Brand", "counter")
        elsewhere = Person(kit.id, kit.name, kit.initials, kit.role, bench="Bench 2")
        self.people = (kit, bo, elsewhere, lead, ilse)
        for person in (kit, bo, lead):
            keys.make_key(self.shop, person, phrase=make.SIGNING)
        self.numbers = [self.booked() for _ in range(3)]
        for number, by, change in ((self.numbers[1], kit, make.no_telemetry),
                                   (self.numbers[2], bo, None)):  # fmt: skip
            self.take(by, number)
            self.save(by, page_of(self.shop, number), change)
        self.work(bo, self.numbers[2])
        self.pages = [page_of(self.shop, number) for number in self.numbers]

    def teardown(self) -> None:
        """Every craft goes home, signed or as it is; then nothing of this run stays."""
        for nth, _ in enumerate(self.numbers):
            if isinstance(self.at_the_counter(4, nth, "collect"), Refused):
                self.change(self.people[3], self.number(nth), Act.UNPLUG, None)
                self.at_the_counter(4, nth, "return")
        for done in self.yard.keyed[-4:]:
            self.yard.again(done)
        self.yard.check()
        if self.sqlite:
            self.shop.engine.dispose()
        shutil.rmtree(self.folder)
        COUNTS.append(self.yard.counts)

    # What the rules are made of.

    def booked(self) -> int:
        return make.ticket(self.shop, self.people[4], craft_name=f"Craft {self.clock.at}")

    def number(self, nth: int) -> int:
        return self.numbers[nth % len(self.numbers)]

    def page(self, nth: int) -> Page:
        """Any page that somebody has had on the screen; the newest of them first."""
        return self.pages[-1 - nth % len(self.pages)]

    def record(self, by: Person, number: int, shown: Shown, answer: Any) -> Any:
        key, step = make.key(), shown.step
        result = self.yard.do(
            "record", number,
            lambda: bench.record(self.shop, by, number, step.key, answer=answer, act_key=key,
                                 basis=step.basis, seen=shown.seen),
            keyed=True,
        )  # fmt: skip
        self.yard.recorded(number, by, step.key, answer, key, result)
        return result

    def change(self, by: Person, number: int, act: Act, propellers: int | None) -> Any:
        key = make.key()
        result = self.yard.do(
            "change power", number,
            lambda: power.change(self.shop, by, number, act=act, propellers=propellers,
                                 act_key=key),
            keyed=True,
        )  # fmt: skip
        self.yard.plugged(number, act, propellers, result)
        return result

    def take(self, by: Person, number: int) -> None:
        before = self.yard.stood.get(number) or self.yard.tickets()[number]
        result = self.yard.do("take", number, lambda: queue.take(self.shop, by, number))
        stays = (before["holder_id"], before["bench"]) == (by.id, by.bench)
        if not isinstance(result, Refused) and not stays:
            self.yard.ended(number)

    def save(self, by: Person, page: Page, change: Any) -> None:
        key, number, sheet = make.key(), page.number, make.sheet(change)
        drawn = self.yard.do(
            "draw up", number,
            lambda: port_map.draw_up(self.shop, by, number, sheet=sheet, version=page.draft),
        )  # fmt: skip
        version = page.draft if isinstance(drawn, Refused) else drawn.version
        self.yard.do(
            "save map", number,
            lambda: port_map.save(self.shop, by, number, version=version, act_key=key),
            keyed=True,
        )  # fmt: skip

    def work(self, by: Person, number: int, most: int = 99, *, unplug: bool = True) -> None:
        """The next open steps one by one, each in its power, until one is refused."""
        for shown in page_of(self.shop, number).open()[:most]:
            if not self._powered(by, number, shown):
                break
            newest = replace(shown, seen=10**9)
            for answer in good_answers(shown.step):
                if isinstance(self.record(by, number, newest, answer), Refused):
                    return
        if unplug:
            self.change(by, number, Act.UNPLUG, None)

    def _powered(self, by: Person, number: int, shown: Shown) -> bool:
        now = self.yard.stood[number]["power"]
        if now in shown.step.states:
            return True
        if now != "cold":
            self.change(by, number, Act.UNPLUG, None)
        wanted = next(state for state in GENTLE if state in shown.step.states)
        if wanted == "cold":
            return True
        return not isinstance(self.change(by, number, PLUG[wanted], 0), Refused)

    def at_the_counter(self, who: int, nth: int, name: str) -> Any:
        number, by, key = self.number(nth), self.people[who], make.key()
        acts = {
            "collect": lambda: handover.collect(self.shop, by, number, to=HOME, act_key=key),
            "return": lambda: handover.return_as_is(self.shop, by, number, to=HOME,
                                                    reason="Not wanted.", act_key=key),
            "pay": lambda: handover.take_money(self.shop, by, number, kind="deposit",
                                               amount_minor=600, act_key=key),
        }  # fmt: skip
        result = self.yard.do(name, number, acts[name], keyed=True)
        if name == "return" and not isinstance(result, Refused):
            live = self.yard.connected.get(number)
            assert not live or self.old(live), "a live craft went home"
            self.yard.ended(number)
        return result

    def old(self, live: Any) -> bool:
        return (self.clock.at - live.since).total_seconds() > 3600

    # The bench.

    @rule(nth=tickets)
    def look(self, nth: int) -> None:
        """Somebody has this ticket on the screen from now on."""
        self.pages.append(page_of(self.shop, self.number(nth)))

    @rule(who=people, nth=pages, step=st.integers(0, 40), good=st.booleans())
    def record_from_a_page(self, who: int, nth: int, step: int, good: bool) -> None:
        """Any step of any page that was ever shown, the first open ones first."""
        page = self.page(nth)
        steps = (*page.open(), *(s for s in page.steps if s.done))
        if steps:
            shown = steps[step % len(steps)]
            answer = good_answers(shown.step)[0] if good else bad_answer(shown.step)
            self.record(self.people[who], page.number, shown, answer)

    @rule(nth=pages, step=st.integers(0, 3))
    def two_at_one_step(self, nth: int, step: int) -> None:
        """From the same page: the second is shown what the first recorded."""
        page = self.page(nth)
        if not page.open():
            return
        shown = page.open()[step % len(page.open())]
        answer = good_answers(shown.step)[0]
        first = self.record(self.people[0], page.number, shown, answer)
        second = self.record(self.people[1], page.number, shown, answer)
        if not isinstance(first, Refused):
            assert isinstance(second, Stale)
            assert "Kit Thorne recorded step" in second.says

    @rule(who=benchers, nth=tickets, most=st.integers(20, 40), unplug=st.booleans())
    def work_on(self, who: int, nth: int, most: int, unplug: bool) -> None:
        """A good hour at the bench; the battery may stay on."""
        self.work(self.people[who], self.number(nth), most, unplug=unplug)

    @rule(who=benchers, minutes=st.sampled_from([0, 0, 20, 31, 61]), step=st.integers(0, 9))
    def go_on_under_power(self, who: int, minutes: int, step: int) -> None:
        """Somebody comes back to a craft that was left connected, and records what fits."""
        self.clock.pass_minutes(minutes)
        for number, ticket in self.yard.tickets().items():
            page = page_of(self.shop, number)
            fits = [s for s in page.steps if ticket["power"] in s.step.states]
            if ticket["power"] in BATTERIES and fits:
                shown = replace(fits[step % len(fits)], seen=10**9)
                self.record(self.people[who], number, shown, good_answers(shown.step)[0])

    @rule(who=people, nth=tickets, act=st.sampled_from(Act),
          propellers=st.sampled_from([0, 0, 0, None, 2]))  # fmt: skip
    def change_power(self, who: int, nth: int, act: Act, propellers: int | None) -> None:
        """Plug and unplug, with every answer to the propeller question."""
        self.change(self.people[who], self.number(nth), act, propellers)

    @rule(who=benchers, nth=tickets, propellers=st.sampled_from([0, 0, 1]))
    def look_at_the_propellers(self, who: int, nth: int, propellers: int) -> None:
        """Once more, for the connection that is on."""
        number, key = self.number(nth), make.key()
        result = self.yard.do(
            "look again", number,
            lambda: power.look_again(self.shop, self.people[who], number, propellers=propellers,
                                     act_key=key),
            keyed=True,
        )  # fmt: skip
        self.yard.looked(number, propellers, result)

    @rule(minutes=st.sampled_from([1, 20, 31, 61]))
    def time_goes_by(self, minutes: int) -> None:
        """Looks and states grow old."""
        self.clock.pass_minutes(minutes)

    # The queue.

    @rule(who=people, nth=tickets)
    def take_it(self, who: int, nth: int) -> None:
        """Onto a bench."""
        self.take(self.people[who], self.number(nth))

    @rule(who=people, nth=tickets)
    def put_it_back(self, who: int, nth: int) -> None:
        """Into the queue."""
        number = self.number(nth)
        self.yard.do(
            "put back", number, lambda: queue.put_back(self.shop, self.people[who], number)
        )

    @rule(who=people, nth=tickets)
    def hold_it(self, who: int, nth: int) -> None:
        """For a part."""
        number, by = self.number(nth), self.people[who]
        self.yard.do("hold", number, lambda: queue.hold(self.shop, by, number, reason="a part"))

    @rule(who=people, nth=tickets)
    def end_the_hold(self, who: int, nth: int) -> None:
        """The part came."""
        number = self.number(nth)
        self.yard.do(
            "end hold", number, lambda: queue.end_hold(self.shop, self.people[who], number)
        )

    @rule(who=benchers, to=benchers, nth=tickets)
    def hand_it_on(self, who: int, to: int, nth: int) -> None:
        """To somebody else, or to oneself."""
        number, by, other = self.number(nth), self.people[who], self.people[to]
        self.yard.do("hand on", number, lambda: queue.hand_on(self.shop, by, number, to=other.id))

    # The map.

    @rule(who=benchers, nth=pages, change=st.sampled_from(MAPS))
    def save_a_map(self, who: int, nth: int, change: Any) -> None:
        """As it was on some page, or changed."""
        self.save(self.people[who], self.page(nth), change)

    # The signature and the counter.

    @rule(nth=tickets)
    def accept_cautions(self, nth: int) -> None:
        """The lead takes on what can be taken on."""
        page = page_of(self.shop, self.number(nth))
        for finding in page.findings:
            key = make.key()
            self.yard.do(
                "accept", page.number,
                lambda finding=finding, key=key: signing.accept(
                    self.shop, self.people[3], page.number, finding=finding,
                    reason="Flown so by choice.", act_key=key),
                keyed=True,
            )  # fmt: skip

    @rule(who=benchers, nth=tickets, goes_home=st.booleans())
    def sign_it(self, who: int, nth: int, goes_home: bool) -> None:
        """Or be told what is in the way."""
        number, by = self.number(nth), self.people[who]
        self.yard.do(
            "sign", number,
            lambda: signing.sign(self.shop, by, number, phrase=make.SIGNING, words="Set anew."),
        )  # fmt: skip
        if goes_home:
            self.at_the_counter(4, nth, "collect")

    @rule(who=benchers)
    def change_the_key(self, who: int) -> None:
        """A new key; the old one's logs still verify."""
        keys.make_key(self.shop, self.people[who], phrase=make.SIGNING)

    @precondition(lambda self: len(self.numbers) < MOST_TICKETS)
    @rule()
    def book_one_in(self) -> None:
        """Another craft."""
        self.numbers.append(self.booked())

    @rule(who=st.sampled_from([4, 4, 3, 0]), nth=tickets, name=st.sampled_from(COUNTER))
    def money_or_craft(self, who: int, nth: int, name: str) -> None:
        """Money, and the craft goes home."""
        self.at_the_counter(who, nth, name)

    # Repeats, and what holds after each rule.

    @precondition(lambda self: self.yard.keyed)
    @rule(nth=st.integers(0, 400))
    def send_it_again(self, nth: int) -> None:
        """Any act that was acknowledged, just as it was sent."""
        self.yard.again(self.yard.keyed[-1 - nth % len(self.yard.keyed)])

    @invariant()
    def everything_holds(self) -> None:
        """The evidence, the tickets, the logs."""
        self.yard.check()


COUNTS: list[dict[str, int]] = []


class OnSqlite(ShopUnderTest):
    sqlite = True


class OnPostgres(ShopUnderTest):
    sqlite = False


@pytest.mark.parametrize("machine", [OnSqlite, OnPostgres])
def test_any_order_of_acts_keeps_the_safeguards(machine: type[ShopUnderTest]) -> None:
    if not machine.sqlite:
        databases.need_postgres()
    COUNTS.clear()
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=EXAMPLES, stateful_step_count=STEPS, deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )  # fmt: skip
    happened = {
        name: sum(count.get(name, 0) for count in COUNTS) for each in COUNTS for name in each
    }
    print(dict(sorted(happened.items())))
    # A run in which hardly anything was done would hold to everything.
    for name in ("record under battery", "save map", "sign", "collect", "return", "again"):
        assert happened.get(name), (name, happened)

"""Any order of acts of two technicians, a lead and the counter, with repeats and stale pages.

Hypothesis makes up the order; tests/work/shop_model.py says after each act what has to hold. The
same over threads that really run at once is in test_races.py.
"""

import os
import shutil
import tempfile
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
from server.trade.power import Act
from server.work.bench import signing
from server.work.errors import Refused, Stale
from server.work.people import keys
from server.work.shop import Person, Shop
from tests import databases, make
from tests.work.actors import Hands
from tests.work.bench.bench_pages import Page, bad_answer, page_of
from tests.work.shop_model import Yard

DEEP = os.environ.get("QUADWRIGHT_TEST_PROFILE") == "deep"
# On SQLite and on PostgreSQL; QUADWRIGHT_TEST_PROFILE=deep takes minutes for each.
EXAMPLES, STEPS = ((100, 60), 50) if DEEP else ((18, 15), 25)
MOST_TICKETS = 5
COUNTER = ("collect", "pay", "return")
MAPS = (None, make.swapped, make.no_telemetry, make.receiver_moved)

tickets = st.integers(0, MOST_TICKETS - 1)
people = st.integers(0, 4)
benchers = st.integers(0, 3)
pages = st.integers(0, 200)
gaps = st.sampled_from([(29,), (31,), (20, 20), (20, 20, 21), (29, 29, 29)])
meanwhiles = st.permutations(["moved", "held", "put back", "handed on", "mapped"])


class ShopUnderTest(Hands, RuleBasedStateMachine):
    """Every rule is something that a person does, with whatever page they have before them."""

    sqlite: bool

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="quadwright-machine-"))
        self.clock = make.Clock()
        engine = databases.fresh_sqlite(self.folder) if self.sqlite else databases.fresh_postgres()
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
        for number, by, change in (
            (self.numbers[1], kit, make.no_telemetry),
            (self.numbers[2], bo, None),
        ):
            self.take(by, number)
            self.save(by, page_of(self.shop, number), change)
        self.work(bo, self.numbers[2])
        self.pages = [page_of(self.shop, number) for number in self.numbers]

    def teardown(self) -> None:
        """Every craft goes home; then nothing of this run stays, whatever was found."""
        try:
            self.close_the_shop()
        finally:
            if self.sqlite:
                self.shop.engine.dispose()
            shutil.rmtree(self.folder)
            COUNTS.append(self.yard.counts)

    def close_the_shop(self) -> None:
        """Each craft signed or as it is, and the last acts sent once more."""
        for nth, _ in enumerate(self.numbers):
            if self.number(nth) in self.yard.connected:
                self.at_the_counter(4, nth, "return")  # refused: it is connected
            self.change(self.people[3], self.number(nth), Act.UNPLUG, None)
            self.sign(self.people[1], self.number(nth))
            if isinstance(self.at_the_counter(4, nth, "collect"), Refused):
                self.at_the_counter(4, nth, "return")
        for done in self.yard.keyed[-4:]:
            self.yard.again(done)
        self.yard.check()

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

    @rule(who=benchers, nth=tickets, gaps=gaps, step=st.integers(0, 9))
    def come_back_later(self, who: int, nth: int, gaps: tuple[int, ...], step: int) -> None:
        """A battery stays connected; somebody looks now and then, and records what fits."""
        number = self.connected(self.people[who], nth)
        page = page_of(self.shop, number)
        for minutes in gaps[:-1]:
            self.clock.pass_minutes(minutes)
            self.look_again(self.people[who], number, 0)
        self.clock.pass_minutes(gaps[-1])
        self.record_what_fits(self.people[who], page, step)

    @rule(who=benchers, nth=tickets, whats=meanwhiles, step=st.integers(0, 9))
    def find_it_otherwise(self, who: int, nth: int, whats: list[str], step: int) -> None:
        """The page still shows a battery, and somebody else ended that connection."""
        for what in whats:
            page = page_of(self.shop, self.connected(self.people[who], nth))
            self.meanwhile(what, page.number)
            self.record_what_fits(self.people[who], page, step)

    @rule(
        who=people,
        nth=tickets,
        act=st.sampled_from(Act),
        propellers=st.sampled_from([0, 0, 0, None, 2]),
    )
    def change_power(self, who: int, nth: int, act: Act, propellers: int | None) -> None:
        """Plug and unplug, with every answer to the propeller question."""
        self.change(self.people[who], self.number(nth), act, propellers)

    @rule(who=benchers, nth=tickets, propellers=st.sampled_from([0, 0, 1]))
    def look_at_the_propellers(self, who: int, nth: int, propellers: int) -> None:
        """Once more, for the connection that is on."""
        self.look_again(self.people[who], self.number(nth), propellers)

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
        self.put_back(self.people[who], self.number(nth))

    @rule(who=people, nth=tickets)
    def hold_it(self, who: int, nth: int) -> None:
        """For a part."""
        self.hold(self.people[who], self.number(nth))

    @rule(who=people, nth=tickets)
    def end_the_hold(self, who: int, nth: int) -> None:
        """The part came."""
        self.end_hold(self.people[who], self.number(nth))

    @rule(who=benchers, to=benchers, nth=tickets)
    def hand_it_on(self, who: int, to: int, nth: int) -> None:
        """To somebody else, or to oneself."""
        self.hand_on(self.people[who], self.number(nth), self.people[to])

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
                "accept",
                page.number,
                lambda finding=finding, key=key: signing.accept(
                    self.shop,
                    self.people[3],
                    page.number,
                    finding=finding,
                    reason="Flown so by choice.",
                    act_key=key,
                ),
                keyed=True,
            )

    @rule(who=benchers, nth=tickets, goes_home=st.booleans())
    def sign_it(self, who: int, nth: int, goes_home: bool) -> None:
        """Or be told what is in the way."""
        self.sign(self.people[who], self.number(nth))
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
            max_examples=EXAMPLES[not machine.sqlite],
            stateful_step_count=STEPS,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    happened = {
        name: sum(count.get(name, 0) for count in COUNTS) for each in COUNTS for name in each
    }
    print(dict(sorted(happened.items())))
    # A run in which hardly anything was done would hold to everything.
    for name in ("record under battery", "save map", "sign", "collect", "return", "again"):
        assert happened.get(name), (name, happened)

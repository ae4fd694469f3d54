"""What people do in the shop of the state machine, each act through the yard that keeps account."""

from dataclasses import replace
from typing import Any

from server.trade.card import example
from server.trade.power import Act, Power
from server.trade.ticket import ON_A_BENCH
from server.work.bench import power, recording, signing
from server.work.errors import Refused
from server.work.handover import handover
from server.work.port_map import revisions
from server.work.queue import queue
from server.work.shop import Person, Shop
from tests import make
from tests.work.bench.bench_pages import Page, Shown, page_of
from tests.work.shop_model import PLUGGED, Yard

PLUG = {power: act for act, power in PLUGGED.items()}
GENTLE = tuple(str(state) for state in Power)
HOME = make.handed(owed_note="As it comes.", paid_minor=100)


class Hands:
    """The people: Kit and Bo at their benches, Kit at another one, the lead, the counter."""

    shop: Shop
    yard: Yard
    clock: make.Clock
    people: tuple[Person, ...]
    numbers: list[int]
    pages: list[Page]

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
            "record",
            number,
            lambda: recording.record(
                self.shop,
                by,
                number,
                step.key,
                answer=answer,
                act_key=key,
                basis=step.basis,
                seen=shown.seen,
            ),
            keyed=True,
        )
        self.yard.recorded(number, by, step.key, answer, key, result)
        return result

    def change(self, by: Person, number: int, act: Act, propellers: int | None) -> Any:
        key = make.key()
        result = self.yard.do(
            "change power",
            number,
            lambda: power.change(
                self.shop, by, number, act=act, propellers=propellers, act_key=key
            ),
            keyed=True,
        )
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
            "draw up",
            number,
            lambda: revisions.draw_up(self.shop, by, number, sheet=sheet, version=page.draft),
        )
        version = page.draft if isinstance(drawn, Refused) else drawn.version
        saved = self.yard.do(
            "save map",
            number,
            lambda: revisions.save(self.shop, by, number, version=version, act_key=key),
            keyed=True,
        )
        self.yard.soldered(number, saved)

    def work(self, by: Person, number: int, most: int = 99, *, unplug: bool = True) -> None:
        """The next open steps one by one, each in its power, until one is refused."""
        for shown in page_of(self.shop, number).open()[:most]:
            if not self.powered(by, number, shown):
                break
            newest = replace(shown, seen=10**9)
            for answer in example(shown.step):
                if isinstance(self.record(by, number, newest, answer), Refused):
                    return
        if unplug:
            self.change(by, number, Act.UNPLUG, None)

    def powered(self, by: Person, number: int, shown: Shown) -> bool:
        """Whether the craft could be brought into the gentlest power that the step allows."""
        now = self.yard.stood[number]["power"]
        if now in shown.step.states:
            return True
        if now != "cold":
            self.change(by, number, Act.UNPLUG, None)
        wanted = next(state for state in GENTLE if state in shown.step.states)
        if wanted == "cold":
            return True
        return not isinstance(self.change(by, number, PLUG[wanted], 0), Refused)

    def sign(self, by: Person, number: int) -> Any:
        words = "Settings entered anew."
        return self.yard.do(
            "sign",
            number,
            lambda: signing.sign(self.shop, by, number, phrase=make.SIGNING, words=words),
        )

    def at_the_counter(self, who: int, nth: int, name: str) -> Any:
        number, by, key = self.number(nth), self.people[who], make.key()
        acts = {
            "collect": lambda: handover.collect(self.shop, by, number, to=HOME, act_key=key),
            "return": lambda: handover.return_as_is(
                self.shop, by, number, to=HOME, reason="Not wanted.", act_key=key
            ),
            "cancel": lambda: queue.cancel(self.shop, by, number, reason="Booked in twice."),
            "pay": lambda: handover.take_money(
                self.shop, by, number, kind="deposit", amount_minor=600, act_key=key
            ),
        }
        result = self.yard.do(name, number, acts[name], keyed=name != "cancel")
        if name == "return" and not isinstance(result, Refused):
            live = self.yard.connected.get(number)
            assert not live or self.yard.old(number), "a live craft went home"
            self.yard.ended(number)
        return result

    def look_again(self, by: Person, number: int, propellers: int) -> None:
        key = make.key()
        result = self.yard.do(
            "look again",
            number,
            lambda: power.look_again(self.shop, by, number, propellers=propellers, act_key=key),
            keyed=True,
        )
        self.yard.looked(number, propellers, result)

    def put_back(self, by: Person, number: int) -> None:
        self.yard.do("put back", number, lambda: queue.put_back(self.shop, by, number))

    def hold(self, by: Person, number: int) -> None:
        self.yard.do("hold", number, lambda: queue.hold(self.shop, by, number, reason="a part"))

    def end_hold(self, by: Person, number: int) -> None:
        self.yard.do("end hold", number, lambda: queue.end_hold(self.shop, by, number))

    def hand_on(self, by: Person, number: int, to: Person) -> None:
        self.yard.do("hand on", number, lambda: queue.hand_on(self.shop, by, number, to=to.id))

    def on_a_bench(self, nth: int) -> int:
        """A ticket that is worked on, if there is one."""
        standing = self.yard.tickets().items()
        worked = [number for number, row in standing if row["state"] in ON_A_BENCH]
        return worked[nth % len(worked)] if worked else self.number(nth)

    def connected(self, by: Person, nth: int) -> int:
        """A ticket on a bench, connected anew to a battery if it may be."""
        number = self.on_a_bench(nth)
        self.change(by, number, Act.UNPLUG, None)
        self.change(by, number, Act.PLUG_LIMITER, 0)
        return number

    def record_what_fits(self, by: Person, page: Page, step: int) -> None:
        """One of the first steps that are done in the power that the page shows."""
        fits = [shown for shown in page.steps if page.power in shown.step.states]
        if fits:
            shown = replace(fits[step % len(fits)], seen=10**9)
            self.record(by, page.number, shown, example(shown.step)[0])

    def meanwhile(self, what: str, number: int) -> None:
        """What ends a connection while somebody is away from it."""
        lead = self.people[3]
        if what == "moved":
            holder = self.yard.stood[number]["holder_id"]
            person = next((person for person in self.people if person.id == holder), lead)
            self.take(replace(person, bench=f"Bench of {self.clock.at}"), number)
        elif what == "held":
            self.hold(lead, number)
            self.end_hold(lead, number)
        elif what == "put back":
            self.put_back(lead, number)
            self.take(lead, number)
        elif what == "handed on":
            self.hand_on(lead, number, self.people[1])
        elif what == "mapped":
            self.save(lead, page_of(self.shop, number), None)

"""Acts of several people that really run at once, in threads, on both databases.

What has to hold afterwards is the state machine's: tests/work/shop_model.py.
"""

import random
import threading
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import pytest

from server.trade.card import example
from server.trade.power import Act
from server.work.bench import power, recording, signing
from server.work.errors import Refused, Stale
from server.work.people import keys
from server.work.port_map import revisions
from server.work.queue import queue
from server.work.shop import Person, Shop
from tests import make
from tests.work.bench.bench_pages import Page, page_of
from tests.work.shop_model import Yard

SEEDS = (1, 2, 3)
ACTS = 14
WORDS = "Settings entered anew."


@pytest.fixture
def people(shop: Shop) -> list[Person]:
    """Kit and Bo, the lead, and Kit at another bench; each has a key."""
    lead = make.lead(shop)
    kit, bo = (make.staff(shop, lead, name) for name in ("Kit Thorne", "Bo Larch"))
    for person in (kit, bo, lead):
        keys.make_key(shop, person, phrase=make.SIGNING)
    return [kit, bo, lead, Person(kit.id, kit.name, kit.initials, kit.role, bench="Bench 2")]


def at_once(acts: Sequence[Callable[[], Any]]) -> list[Any]:
    """What each act gave: its result or its refusal. Any other exception fails the test."""
    start, got = threading.Barrier(len(acts)), list[Any](acts)

    def do(nth: int) -> None:
        start.wait()
        try:
            got[nth] = acts[nth]()
        except Exception as error:
            got[nth] = error

    threads = [threading.Thread(target=do, args=(nth,)) for nth in range(len(acts))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    for result in got:
        if isinstance(result, Exception) and not isinstance(result, Refused):
            raise result
    return got


def test_one_form_in_six_threads_is_one_entry(shop, people):
    number = make.on_the_bench(shop, people[0])
    shown = page_of(shop, number).steps[0]
    answer = example(shown.step)[0]
    got = at_once(
        [
            lambda: recording.record(
                shop, people[0], number, shown.step.key, answer=answer, act_key="one"
            )
        ]
        * 6
    )
    assert len({entry.id for entry in got}) == 1


def test_of_three_at_one_step_two_are_shown_the_first(shop, people):
    number = make.on_the_bench(shop, people[0])
    for shown in page_of(shop, number).steps[:4]:
        answer = example(shown.step)[0]
        got = at_once(
            [
                lambda by=by, shown=shown, answer=answer: recording.record(
                    shop,
                    by,
                    number,
                    shown.step.key,
                    answer=answer,
                    act_key=make.key(),
                    basis=shown.step.basis,
                )
                for by in people[:3]
            ]
        )
        first = next(entry for entry in got if not isinstance(entry, Refused))
        name = next(by.name for by in people if by.id == first.by_id)
        others = [no for no in got if isinstance(no, Refused)]
        assert len(others) == 2
        assert all(isinstance(no, Stale) and f"{name} recorded" in no.says for no in others)


def test_logs_signed_at_once_make_one_whole_chain(shop, people):
    numbers = [make.on_the_bench(shop, by) for by in people[:3]]
    for by, number in zip(people, numbers, strict=False):
        make.work_through(shop, by, number)
    acts = [
        partial(signing.sign, shop, by, number, phrase=make.SIGNING, words=WORDS)
        for by, number in zip(people, numbers, strict=False)
    ]
    # Each is sent twice, and the lead makes another key meanwhile.
    got = at_once([*acts, *acts, lambda: keys.make_key(shop, people[2], phrase=make.SIGNING)])
    assert [log.id for log in got[:2]] == [log.id for log in got[3:5]]
    yard = Yard(shop, shop.now)
    yard.check_logs()
    assert len(yard.logs) in (2, 3)  # the lead's key may have been closed before their signature


@pytest.mark.parametrize("seed", SEEDS)
def test_a_storm_of_acts_keeps_the_safeguards(shop, people, seed):
    numbers = [make.on_the_bench(shop, people[0]), make.on_the_bench(shop, people[1])]
    make.work_through(shop, people[1], numbers[1], until="check/saved")
    pages = [page_of(shop, number) for number in numbers]
    before = Yard(shop, shop.now).all_entries()
    yard = Yard(shop, shop.now, entries=before)
    done: list[str] = []
    at_once(
        [
            lambda by=by, nth=nth: storm(
                shop, yard, by, pages, random.Random(f"{seed} {nth}"), done
            )
            for nth, by in enumerate(people)
        ]
    )
    yard.check()
    assert len(done) > ACTS // 4, done  # what refuses everything would show nothing


def storm(
    shop: Shop, yard: Yard, by: Person, pages: list[Page], chance: random.Random, done: list[str]
) -> None:
    """One person's hour, from pages that grow stale while the others work."""
    for _ in range(ACTS):
        page, key = chance.choice(pages), make.key()
        name = chance.choice(("record",) * 6 + ("power",) * 4 + ("take", "hold", "map", "sign"))
        try:
            if name == "record":
                shown = chance.choice(page.steps)
                answer = example(shown.step)[0]
                for _twice in range(2):
                    recording.record(
                        shop,
                        by,
                        page.number,
                        shown.step.key,
                        answer=answer,
                        act_key=key,
                        basis=shown.step.basis,
                        seen=10**9,
                    )
                    yard.entries[key] = (page.number, shown.step.key, answer, by.id)
            elif name == "power":
                act = chance.choice(tuple(Act))
                power.change(shop, by, page.number, act=act, propellers=0, act_key=key)
            elif name == "take":
                queue.put_back(shop, by, page.number)
                queue.take(shop, by, page.number)
            elif name == "hold":
                queue.hold(shop, by, page.number, reason="a part")
                queue.end_hold(shop, by, page.number)
            elif name == "map":
                revisions.draw_up(shop, by, page.number, sheet=make.sheet(), version=0)
                revisions.save(shop, by, page.number, version=1, act_key=key)
            else:
                signing.sign(shop, by, page.number, phrase=make.SIGNING, words=WORDS)
        except Refused:
            continue
        done.append(name)

"""Two people at the same moment, over HTTP, at two server processes on one database."""

import html
import re
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from functools import partial

import pytest

from server.records.engine import reading
from server.work.bench.progress import work_of
from server.work.shop import Person, Shop
from tests import make
from tests.faults.lives import Browser, Server, signed_in

ROUNDS = 8
STEPS = ("before/looks", "before/leads", "before/shorts")
Answer = tuple[int, str]


@pytest.fixture(scope="module")
def two(
    shop: Shop, people: tuple[Person, Person], server: Server
) -> Iterator[tuple[Browser, Browser]]:
    """Kit's and Bo's browsers, and two processes that answer them."""
    kit, bo = (signed_in(shop, by, server.port) for by in people)
    server.live()
    server.live()
    yield kit, bo
    kit.hang_up()
    bo.hang_up()


def at_once(*acts: Callable[[], Answer]) -> list[Answer]:
    """What each got."""
    start, got = threading.Barrier(len(acts)), dict[int, Answer]()

    def send(nth: int, act: Callable[[], Answer]) -> None:
        start.wait()
        got[nth] = act()

    threads = [threading.Thread(target=send, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    return [got[nth] for nth in range(len(acts))]


def said(page: str) -> str:
    """The page as it is read."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_of_two_who_take_one_ticket_the_second_is_told_whose_it_is(shop, people, two):
    names = [by.name for by in people]
    won: Counter[str] = Counter()
    for _ in range(ROUNDS):
        number = make.ticket(shop, people[0])
        path = f"/tickets/{number}/holder"
        answers = at_once(*(partial(browser.post, path, {}) for browser in two))
        assert sorted(status for status, _ in answers) == [303, 409]
        holder = make.head(shop, number).holder
        assert holder == names[[status for status, _ in answers].index(303)]
        refused = next(page for status, page in answers if status == 409)
        assert f"is on {holder}’s bench" in said(refused)
        won[holder] += 1
    print(dict(won))


def test_of_two_at_one_step_the_second_is_shown_what_the_first_saw(shop, people, two):
    kit, bo = people
    won: Counter[str] = Counter()
    for turn in range(ROUNDS // len(STEPS) + 1):
        number = make.on_the_bench(shop, kit, craft_name=f"Craft {turn}")
        for key in STEPS:
            step, path = step_of(shop, number, key), f"/tickets/{number}/steps/{key}/evidence"
            choice = next(o.value for o in step.evidence.options if o.passes)
            fields = {"basis": step.basis, "seen": 0, "choice": choice}
            answers = at_once(
                *(partial(browser.post, path, fields | {"act_key": make.key()}) for browser in two)
            )
            assert sorted(status for status, _ in answers) == [303, 409]
            first = (kit, bo)[[status for status, _ in answers].index(303)]
            refused = next(page for status, page in answers if status == 409)
            assert f"{first.name} recorded step {step.number} first" in said(refused)
            assert [e.by_name for e in entries(shop, number, key)] == [first.name]
            won[first.name] += 1
    print(dict(won))


def test_one_form_sent_four_times_at_once_is_one_entry(shop, people, two):
    kit, _ = people
    number = make.on_the_bench(shop, kit)
    step, path = step_of(shop, number, STEPS[0]), f"/tickets/{number}/steps/{STEPS[0]}/evidence"
    choice = next(o.value for o in step.evidence.options if o.passes)
    fields = {"basis": step.basis, "seen": 0, "choice": choice, "act_key": "one form"}
    windows = [Browser(two[0].port, two[0].cookie, two[0].csrf) for _ in range(4)]
    answers = at_once(*(partial(window.post, path, fields) for window in windows))
    for window in windows:
        window.hang_up()
    assert [status for status, _ in answers] == [303] * 4
    assert len(entries(shop, number, STEPS[0])) == 1


def work(shop: Shop, number: int):
    with reading(shop.engine) as connection:
        return work_of(connection, make.head(shop, number))


def step_of(shop: Shop, number: int, key: str):
    return next(s.step for s in work(shop, number).steps if s.step.key == key)


def entries(shop: Shop, number: int, key: str):
    return next(s.entries for s in work(shop, number).steps if s.step.key == key)

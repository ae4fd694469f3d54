"""How long the queue takes while 40 connections post sign-ins; printed, no time is asserted:
`pytest tests/bench/test_sign_in_bench.py -s`. Argon2 at its full cost, the app as it is served.
"""

import asyncio
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from statistics import median

import pytest

from tests.bench import run
from tests.bench.client import Ask, Line, timed
from tests.bench.generator import Filled, Size

SMALL = Size(builds=30, patterns=2, open=40)
LINES = 40
ROUNDS = 3
SECONDS = 2.0
QUEUES = 400  # asked one after the other, or as many as there is time for


@dataclass(frozen=True)
class Knock(Ask):
    """A sign-in under a name of nobody, as a proxy on this machine would hand it on."""

    address: str = ""

    def sent(self) -> bytes:
        """The request, with the address that it came from."""
        told = f"HTTP/1.1\r\nX-Forwarded-For: {self.address}\r\n"
        return super().sent().replace(b"HTTP/1.1\r\n", told.encode(), 1)


def one_address(_n: int) -> str:
    return "192.0.2.7"


def many_addresses(n: int) -> str:
    return f"10.{n >> 16 & 255}.{n >> 8 & 255}.{n & 255}"


async def flood(port: int, address: Callable[[int], str], seen: Counter[int]) -> None:
    """Knock on every line, each anew as soon as it is answered, until it is cancelled."""
    numbers = count()

    async def knock() -> None:
        line = await Line.open(port)
        try:
            while True:
                n = next(numbers)
                form = {"name": f"nobody {n}", "password": "whatever comes to mind"}
                seen[(await line.ask(Knock("/sign-in", form=form, address=address(n)))).status] += 1
        finally:
            line.close()

    await asyncio.gather(*(knock() for _ in range(LINES)))


async def queue_ms(port: int, cookie: str) -> tuple[float, float]:
    """Median and 95th percentile of the queue's page, asked on one connection."""
    ask = Ask("/queue", cookie)
    found = await timed(port, lambda _: ask, lines=1, most=QUEUES, seconds=SECONDS)
    return median(found.times), found.at(0.95)


async def flooded_ms(
    port: int, cookie: str, address: Callable[[int], str]
) -> tuple[tuple[float, float], Counter[int]]:
    """The same while the door is knocked at, after the first second, and how that was answered."""
    seen: Counter[int] = Counter()
    knocking = asyncio.create_task(flood(port, address, seen))
    await asyncio.sleep(1)
    found = await queue_ms(port, cookie)
    for _ in range(60):  # a hash takes its time where others use the machine
        await asyncio.sleep(0.5)
        if seen[422] or seen[429]:
            break
    knocking.cancel()
    return found, seen


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("knocking")


@pytest.fixture(scope="module")
def made(folder: Path) -> Filled:
    return run.prepare(folder, SMALL)


def test_the_queue_is_timed_while_sign_ins_are_posted(folder: Path, made: Filled) -> None:
    quiet: list[float] = []
    flooded: dict[str, list[float]] = {}
    answers: Counter[int] = Counter()
    with run.ours(folder) as app:
        asyncio.run(queue_ms(app.port, made.cookie))  # warm
        for _ in range(ROUNDS):  # by turns, since the machine may have other work
            quiet.append(asyncio.run(queue_ms(app.port, made.cookie))[0])
            for address in (one_address, many_addresses):
                (p50, _), seen = asyncio.run(flooded_ms(app.port, made.cookie, address))
                flooded.setdefault(address.__name__, []).append(p50)
                answers += seen
    print(f"\nGET /queue quiet: lowest median {min(quiet):.1f} ms of {listed(quiet)}")
    for name, found in flooded.items():
        print(
            f"with {LINES} connections at the door, {name}: {min(found):.1f} ms "
            f"({min(found) / min(quiet):.2f} of quiet) of {listed(found)}"
        )
    print(f"answers at the door: {dict(answers)}")
    assert answers.keys() <= {422, 429, 503}
    # The door is open to the first few, and the rest are turned away.
    assert answers[422] > 0
    assert answers[429] + answers[503] > 0


def listed(times: list[float]) -> str:
    return ", ".join(f"{ms:.1f}" for ms in times)

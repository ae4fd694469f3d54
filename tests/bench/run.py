"""Our pages beside the floor, measured in one run: `python -m tests.bench.run`.

Prints a table, asserts no time. CPU is what the app's process used for an answer, which other
work on the machine hardly moves; the times of a busy machine do not compare with a quiet one's.
`--builds`, `--most` and `--seconds` bound it; `--folder` keeps the filled database for another
run of the same version.
"""

import argparse
import asyncio
import re
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing
from dataclasses import asdict, dataclass, replace
from itertools import count
from json import dumps, loads
from pathlib import Path
from secrets import token_hex

from sqlalchemy import event

from server.app import open_shop
from server.settings import Settings
from tests.bench import frames
from tests.bench.client import Ask, Timed, once, timed
from tests.bench.generator import Filled, Size, fill
from tests.bench.serving import Running, served

STEP = "level/flat"  # a tick that every craft has, done on USB
_keys = count(1)
_RUN = token_hex(4)  # a kept database knows the keys of the run before
Asks = Callable[[int], Ask]


@dataclass(frozen=True)
class Page:
    """One thing to ask of us, and the same of the floor."""

    name: str
    ours: Asks
    floor: Asks
    holds: str  # a pattern that a right answer of ours matches; '' where it has no body
    share: int = 1  # an act is asked a part as often, or its tickets would grow untypically long


def pages(made: Filled) -> tuple[Page, ...]:
    """What is measured."""
    board = made.board.replace(" ", "+")

    def get(path: str) -> Asks:
        return lambda _: Ask(path, made.cookie)

    def tick(path: str, htmx: bool = False) -> Asks:
        def asked(n: int) -> Ask:
            number = made.ticking[n % len(made.ticking)]
            form = {"csrf": made.csrf, "act_key": f"bench-{_RUN}-{n}-{next(_keys)}-{path[1:5]}"}
            return Ask(path.format(number=number, step=STEP), made.cookie, form, htmx)

        return asked

    evidence = "/tickets/{number}/steps/{step}/evidence"
    return (
        Page("queue", get("/queue"), get("/queue"), 'class="line"'),
        Page(
            "bench card",
            get(f"/tickets/{made.card}/card"),
            get(f"/card/{made.card}"),
            'id="step-level-flat"',
        ),
        Page(
            "archive by board",
            get(f"/archive?board={board}"),
            get(f"/archive?board={board}"),
            'class="past"',
        ),
        Page("one tick", tick(evidence), tick("/tick/{number}"), "", 4),
        Page(
            "one tick, and what it changed",
            tick(evidence, htmx=True),
            tick("/tick-shown/{number}"),
            'id="stage-level"',
            4,
        ),
    )


@dataclass(frozen=True)
class Bound:
    """How long to ask."""

    most: int = 400
    seconds: float = 6.0
    warm: int = 30  # every ticket once: a card is worked out when it is first seen


@dataclass(frozen=True)
class Measured:
    """One page at so many connections."""

    page: str
    lines: int
    ours: Timed
    our_cpu: float  # ms an answer
    floor: Timed
    floor_cpu: float


def prepare(folder: Path, size: Size) -> Filled:
    """The filled shop in `folder`, made now unless it lies there already."""
    kept = folder / "filled.json"
    if kept.exists():
        told = loads(kept.read_text())
        return Filled(**told | {"ticking": tuple(told["ticking"])})
    shop = open_shop(Settings(data=folder, database_url="", demo=True))
    # Only the filling need not be durable; the apps that are measured open the file themselves.
    event.listen(shop.engine, "connect", lambda raw, _: raw.execute("PRAGMA synchronous=OFF"))
    shop.engine.dispose()
    made = fill(shop, size)
    shop.engine.dispose()
    kept.write_text(dumps(asdict(made)))
    return made


def measure(folder: Path, made: Filled, bound: Bound) -> Iterator[Measured]:
    """Every page at 1 and at 8 connections, ours and the floor by turns."""
    _copy(folder / "quadwright.db", folder / "floor.db")
    with ours(folder) as us:
        every = pages(made)
        queue, card, ticked = (_body(us, every[n]) for n in (0, 1, 4))
        frames.cut(queue, card, ticked).write(folder)
        yield from _beside(folder, us, every, bound)


def _body(app: Running, page: Page) -> str:
    return asyncio.run(once(app.port, page.ours(0))).body.decode()


def _beside(folder: Path, us: Running, every: tuple[Page, ...], bound: Bound) -> Iterator[Measured]:
    with floor(folder) as least:
        for page in every:
            so_many = replace(bound, most=max(1, bound.most // page.share))
            for lines in (1, 8):
                yield Measured(
                    page.name,
                    lines,
                    *_timed(us, page.ours, lines, so_many),
                    *_timed(least, page.floor, lines, so_many),
                )


def _copy(file: Path, to: Path) -> None:
    """A whole copy, also of what still lies in the write-ahead log."""
    for old in (to, to.with_name(f"{to.name}-wal"), to.with_name(f"{to.name}-shm")):
        old.unlink(missing_ok=True)
    with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(to)) as copy:
        source.backup(copy)


def ours(folder: Path) -> AbstractContextManager[Running]:
    """Our app over the filled database."""
    return served("tests.bench.ours:make", folder / "ours.log", QUADWRIGHT_DATA=str(folder))


def floor(folder: Path) -> AbstractContextManager[Running]:
    """The floor over the copy of it."""
    told = {"QUADWRIGHT_BENCH_DATABASE": str(folder / "floor.db")}
    return served("tests.bench.floor:make", folder / "floor.log", **told)


def _timed(app: Running, asks: Asks, lines: int, bound: Bound) -> tuple[Timed, float]:
    async def warmed(most: int) -> Timed:
        return await timed(app.port, asks, lines=lines, most=most, seconds=bound.seconds)

    asyncio.run(warmed(bound.warm))
    before = app.cpu_ms()
    found = asyncio.run(warmed(bound.most))
    return found, (app.cpu_ms() - before) / len(found.times)


def table(rows: list[Measured]) -> str:
    """The figures in milliseconds, as Markdown."""
    heads = (
        "page",
        "connections",
        "p50",
        "p95",
        "p99",
        "a second",
        "kB",
        "CPU",
        "floor p50",
        "p95",
        "p99",
        "a second",
        "kB",
        "CPU",
        "p50 to the floor",
        "CPU to the floor",
    )
    lines = ["| " + " | ".join(heads) + " |", "|---" * len(heads) + "|"]
    for row in rows:
        cells = [
            row.page,
            str(row.lines),
            *_cells(row.ours),
            f"{row.our_cpu:.2f}",
            *_cells(row.floor),
            f"{row.floor_cpu:.2f}",
            f"{row.ours.at(0.5) / row.floor.at(0.5):.1f}",
            f"{row.our_cpu / max(row.floor_cpu, 0.01):.1f}",
        ]
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines)


def _cells(timed: Timed) -> list[str]:
    times = [f"{timed.at(share):.2f}" for share in (0.5, 0.95, 0.99)]
    return [*times, f"{timed.per_second:.0f}", f"{timed.bytes / 1000:.0f}"]


def holds(page: Page, body: bytes) -> bool:
    """Whether an answer of ours has the rows that it should."""
    return re.search(page.holds, body.decode()) is not None


def main() -> None:
    """Measure, and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--builds", type=int, default=Size.builds)
    asked.add_argument("--most", type=int, default=Bound.most)
    asked.add_argument("--seconds", type=float, default=Bound.seconds)
    asked.add_argument("--folder", type=Path)
    told = asked.parse_args()
    with tempfile.TemporaryDirectory(prefix="quadwright-bench-") as temporary:
        folder = told.folder or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        made = prepare(folder, Size(builds=told.builds))
        found = list(measure(folder, made, Bound(told.most, told.seconds)))
    print(f"{told.builds} signed builds; milliseconds; ours and the floor in the same run\n")
    print(table(found))


if __name__ == "__main__":
    main()

"""The whole archive under the rules, measured: `python -m tests.bench.recheck --builds 20000`.

Prints seconds and builds a second, asserts none. The builds are copies of a few worked tickets, so
their sheets are alike; each is read and checked anew all the same. A figure for more builds than
were measured is worked out in proportion, and says so.
"""

import argparse
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

from server.app import open_shop
from server.records import rechecks
from server.records.engine import reading
from server.settings import Settings
from server.work.office import recheck
from server.work.shop import Shop
from tests.bench.generator import Size
from tests.bench.run import prepare

WHOLE = 100_000


class Took(NamedTuple):
    """One whole run with so many processes."""

    workers: int
    looked: int
    new: int
    seconds: float


def measure(shop: Shop, workers: int) -> Took:
    """Run the rules over every signed build of this shop."""
    begun = perf_counter()
    run_id = recheck.start_or_resume(shop, None)
    *_, end = recheck.go_on(shop, run_id, workers=workers)
    seconds = perf_counter() - begun
    with reading(shop.engine) as connection:
        return Took(workers, end.looked, rechecks.new_count(connection, run_id), seconds)


def lines(took: Took) -> Iterator[str]:
    """What a run took, in words."""
    how = f"{took.workers} processes" if took.workers else "in this process"
    rate = took.looked / took.seconds
    yield f"{how}: {took.looked} builds in {took.seconds:.1f} s, {rate:.0f} a second"
    yield f"  newly found: {took.new}"
    yield f"  in proportion, not measured: {WHOLE} builds in {WHOLE / rate:.0f} s"


def main() -> None:
    """Measure, and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--builds", type=int, default=20_000)
    asked.add_argument("--folder", type=Path)
    asked.add_argument("--workers", type=int, nargs="*", default=[os.cpu_count() or 1])
    told = asked.parse_args()
    with tempfile.TemporaryDirectory(prefix="quadwright-bench-") as temporary:
        folder = told.folder or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        prepare(folder, Size(builds=told.builds, open=3))
        shop = open_shop(Settings(data=folder, database_url=""))
        print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} at the start")
        for workers in told.workers:
            print(*lines(measure(shop, workers)), sep="\n", flush=True)
        shop.engine.dispose()


if __name__ == "__main__":
    main()

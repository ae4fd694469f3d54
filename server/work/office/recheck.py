"""The rules as they are now over every signed build, in chunks that each are kept as they end.

A run that was stopped goes on where it stopped: what a chunk found and how far it came are one
transaction. Two processes on one run do no harm: who comes second to a chunk drops its own.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context

from server.records import rechecks
from server.records.engine import reading, writing
from server.records.rechecks import RunRow, SignedRow
from server.records.tables import Profile, Recheck
from server.trade.recheck import StoredFinding, found
from server.trade.rules_version import rules_version
from server.work import worker
from server.work.permissions import require
from server.work.shop import Person, Shop

CHUNK = 500
FEW = 200  # so many are looked at sooner than another process has started
_HANDED = 25  # sheets that a worker gets at a time

Look = Callable[[Sequence[str]], list[tuple[StoredFinding, ...]]]
New = list[tuple[int, StoredFinding]]


def start_or_resume(shop: Shop, by: Person | None) -> int:
    """The run that is not finished under these rules, or a new one. `by` None: the command line.

    Raises NotAllowed.
    """
    if by is not None:
        require(by, "run the office")
    with writing(shop.engine) as session:
        session.get(Profile, 1, with_for_update=True)  # two that begin at once share one run
        last = rechecks.last(session.connection())
        if last and last.finished_at is None and last.rules_version == rules_version():
            return last.id
        begun = Recheck(
            rules_version=rules_version(),
            started_at=shop.now(),
            by_id=by.id if by else None,
            total=rechecks.signed(session.connection()),
        )
        session.add(begun)
        session.flush()
        return begun.id


def go_on(
    shop: Shop, run_id: int, *, workers: int = 0, most: int | None = None, chunk: int = CHUNK
) -> Iterator[RunRow]:
    """How far the run is, after each chunk, until it is finished or `most` builds were looked at.

    With `workers` the rules run in that many processes; 0: in this one.
    """
    with reading(shop.engine) as connection:
        run = rechecks.run(connection, run_id)
    left = run.total - run.looked if most is None else min(most, run.total - run.looked)
    until = None if most is None else run.looked + most
    with _looking(workers if left > FEW else 0) as look:
        while run.finished_at is None and (until is None or run.looked < until):
            size = chunk if until is None else min(chunk, until - run.looked)
            run = _chunk(shop, run, look, size)
            yield run


@contextmanager
def _looking(workers: int) -> Iterator[Look]:
    if workers < 1:
        yield lambda sheets: [found(sheet) for sheet in sheets]
        return
    # Spawned: a fork would take the server's threads, locks and open database along.
    spawn = get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=spawn, initializer=worker.begin) as pool:
        yield lambda sheets: list(pool.map(found, sheets, chunksize=_HANDED))


def _chunk(shop: Shop, run: RunRow, look: Look, size: int) -> RunRow:
    with reading(shop.engine) as connection:
        builds = rechecks.next_signed(connection, run.last_build_id, size)
        known = rechecks.known(connection, [build.id for build in builds])
    looks = look([build.sheet for build in builds])
    new = [
        (build.id, one)
        for build, findings in zip(builds, looks, strict=True)
        for one in findings
        if (build.id, one.code, one.severity, one.subject) not in known
    ]
    return _kept(shop, run, builds, new, ended=len(builds) < size)


def _kept(shop: Shop, run: RunRow, builds: list[SignedRow], new: New, *, ended: bool) -> RunRow:
    with writing(shop.engine) as session:
        row = session.get_one(Recheck, run.id, with_for_update=True)
        if row.finished_at is None and row.last_build_id == run.last_build_id:
            rechecks.add(session.connection(), run.id, new)
            row.looked += len(builds)
            row.last_build_id = builds[-1].id if builds else row.last_build_id
            if ended:
                # Builds that were signed while it ran are in or not, by their number.
                row.finished_at, row.total = shop.now(), row.looked
        session.flush()
        return rechecks.run(session.connection(), run.id)

"""Who may not wait for the writer is told at once, with nothing begun; others wait."""

import sqlite3
import threading
from contextlib import contextmanager

import pytest
from sqlmodel import select

from server.records.engine import (
    BUSY_S,
    WriterBusy,
    in_transaction,
    open_engine,
    reading,
    without_waiting,
    writing,
)
from server.records.tables import RunningNumber
from tests import databases


@pytest.fixture
def engine(tmp_path):
    made = databases.fresh_sqlite(tmp_path)
    yield made
    made.dispose()


@contextmanager
def a_thread_writes(engine, ends_by_itself=10.0):
    """Another thread of this process is in a transaction."""
    begun, go = threading.Event(), threading.Event()

    def write():
        with writing(engine) as session:
            session.add(RunningNumber(name="theirs"))
            session.flush()
            begun.set()
            go.wait(ends_by_itself)

    thread = threading.Thread(target=write)
    thread.start()
    begun.wait(10)
    yield
    go.set()
    thread.join(10)


@contextmanager
def a_process_writes(engine):
    """Another connection, which this process's own lock knows nothing of."""
    other = sqlite3.connect(engine.url.database, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield
    other.execute("ROLLBACK")
    other.close()


def count(engine):
    with reading(engine) as connection:
        return len(connection.execute(select(RunningNumber.name)).all())


def patience(engine):
    """For how many milliseconds each idle connection would wait."""
    with reading(engine) as connection:
        return connection.exec_driver_sql("PRAGMA busy_timeout").scalar()


@pytest.mark.parametrize("others", [a_thread_writes, a_process_writes])
def test_a_taken_writer_is_told_at_once(engine, others):
    with others(engine):
        with pytest.raises(WriterBusy), without_waiting(), writing(engine):
            pytest.fail("it began")
        assert not in_transaction()
        assert patience(engine) == BUSY_S * 1000
    with writing(engine) as session:
        session.add(RunningNumber(name="ours"))


@pytest.mark.parametrize("others", [a_thread_writes, a_process_writes])
def test_pages_are_read_meanwhile(engine, others):
    with others(engine), without_waiting():
        assert count(engine) == 0


def test_a_free_writer_writes_without_waiting(engine):
    with without_waiting(), writing(engine) as session:
        session.add(RunningNumber(name="ours"))
    assert count(engine) == 1
    assert patience(engine) == BUSY_S * 1000


def test_the_second_transaction_of_an_act_waits(engine):
    ended = []
    with without_waiting():
        with writing(engine) as session:
            session.add(RunningNumber(name="one"))
        with a_thread_writes(engine, ends_by_itself=0.2):
            with writing(engine) as session:
                session.add(RunningNumber(name="two"))
            ended.append(count(engine))
    assert ended == [3]


def test_a_damaged_file_is_no_busy_writer(tmp_path):
    (tmp_path / "shop.db").write_bytes(b"no database at all, whatever its name says" * 40)
    engine = open_engine(f"sqlite:///{tmp_path / 'shop.db'}")
    with pytest.raises(Exception, match="not a database"), without_waiting(), writing(engine):
        pytest.fail("it began")
    engine.dispose()


def test_a_thread_knows_that_it_is_inside(engine):
    assert not in_transaction()
    with reading(engine):
        assert in_transaction()
        other = []
        thread = threading.Thread(target=lambda: other.append(in_transaction()))
        thread.start()
        thread.join()
        assert other == [False]
    with writing(engine):
        assert in_transaction()
    assert not in_transaction()

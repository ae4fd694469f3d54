"""A worker ends with the process that made it, even where that one was killed."""

import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from os import getpid

from server.work import worker

PARENT = """
import sys, time
from tests.work.test_worker import pool
if __name__ == "__main__":
    with pool() as made:
        print(made.submit(__import__("os").getpid).result(), flush=True)
        time.sleep(60)
"""


def pool():
    return ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=worker.begin)


def test_a_worker_ends_with_a_killed_parent(tmp_path):
    file = tmp_path / "parent.py"
    file.write_text(PARENT)
    # The worker holds the pipe of its standard output as long as it lives.
    made = subprocess.Popen(
        [sys.executable, str(file)], stdout=subprocess.PIPE, env={"PYTHONPATH": "."}
    )
    assert made.stdout is not None
    assert int(made.stdout.readline()) not in (made.pid, getpid())
    made.kill()
    rest, _ = made.communicate(timeout=20)  # raises where a worker lives on
    assert rest == b""

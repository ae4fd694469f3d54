"""How a worker process behaves. It imports nothing of ours, so that a worker starts soon."""

import os
import signal
from multiprocessing import parent_process
from threading import Thread


def begin() -> None:
    """Leave Ctrl+C to the process that made us, and end when it does, however it ended."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    # A pool's worker waits for work on a pipe whose other end it holds itself: when the parent is
    # killed, the pipe stays open and the worker would wait for ever.
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)

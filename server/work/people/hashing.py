"""Argon2 in a few threads of its own, with room for a few who wait.

One hash takes a tenth of a second and 64 MiB on purpose, and anybody may ask for one at the door.
So it never runs in a transaction, its threads give way to the one that answers pages, and who finds
no room is told to come back. Those at the door cannot take the room of those who sign.
"""

import os
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TypeVar

from server.records.engine import in_transaction
from server.work.errors import Busy

T = TypeVar("T")

WORKERS = max(1, (os.cpu_count() or 1) // 2)
ROOM = 8
NICE = 5  # of 19: a third of the loop's share, and on a busy machine still a share


@dataclass(frozen=True)
class Room:
    """How many may wait or be served at once."""

    places: threading.BoundedSemaphore = field(
        default_factory=lambda: threading.BoundedSemaphore(ROOM)
    )


DOOR, STAFF = Room(), Room()


class _Thread(threading.local):
    ours = False


_thread = _Thread()


def _give_way() -> None:
    _thread.ours = True
    if sys.platform == "linux":  # elsewhere it would be the whole process
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), NICE)


_pool = ThreadPoolExecutor(WORKERS, thread_name_prefix="argon2", initializer=_give_way)


def apart(work: Callable[..., T], *given: object, room: Room = STAFF) -> T:
    """What `work(*given)` returns, worked out in the pool. Raises Busy without room.

    Raises RuntimeError inside a transaction: everybody would wait for it.
    """
    if in_transaction():
        raise RuntimeError("A password is hashed before or after a transaction, never inside one.")
    if _thread.ours:
        return work(*given)
    if not room.places.acquire(blocking=False):
        raise Busy("Too many people are signing in at this moment.", 5)
    try:
        return _pool.submit(work, *given).result()
    finally:
        room.places.release()

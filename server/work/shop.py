"""What every act may use of the outside world."""

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import Engine

from server.trade.power import leapt
from server.work.people.attempts import Attempts


def now() -> datetime:
    """This moment in UTC."""
    return datetime.now(UTC)


class Watch:
    """The computer's clock, watched by one that cannot be put forward or back.

    `leaps` counts how often the two parted by more than a minute; `settled` how many of these the
    shop has drawn the consequences of (work/not_known.py).
    """

    def __init__(
        self, wall: Callable[[], datetime] = now, steady: Callable[[], float] = time.monotonic
    ) -> None:
        self._wall, self._steady, self._lock = wall, steady, threading.Lock()
        self._told = wall()
        self._began = self._told - timedelta(seconds=steady())
        self.leaps = self.settled = 0

    def now(self) -> datetime:
        """This moment. It never goes back, but for a leap, which is counted."""
        with self._lock:
            moment = self._wall()
            began = moment - timedelta(seconds=self._steady())
            if leapt(began - self._began):
                self._began, self._told = began, moment
                self.leaps += 1
            self._told = max(self._told, moment)
            return self._told

    @property
    def leapt(self) -> bool:
        """Whether a leap was counted whose consequences are not drawn yet."""
        return self.leaps > self.settled


@dataclass(frozen=True)
class Shop:
    """Made once, in server/app.py or by a test; nothing further in reads a clock or a global."""

    engine: Engine
    files: Path
    base_url: str = "http://127.0.0.1:8000"
    demo: bool = False
    now: Callable[[], datetime] = now
    watch: Watch = field(default_factory=Watch)
    quick_phrases: bool = False  # tests and the demo only: cheap hashing of phrases
    attempts: Attempts = field(default_factory=Attempts)


@dataclass(frozen=True)
class Person:
    """Who acts. Passed to every act; there is no ambient current user."""

    id: int
    name: str
    initials: str
    role: str
    bench: str = ""

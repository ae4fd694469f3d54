"""What every act may use of the outside world."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Engine

from server.work.attempts import Attempts


def now() -> datetime:
    """This moment in UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Shop:
    """Made once, in server/app.py or by a test; nothing further in reads a clock or a global."""

    engine: Engine
    files: Path
    base_url: str = "http://127.0.0.1:8000"
    demo: bool = False
    now: Callable[[], datetime] = now
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

"""What a check of strangers' files may cost: how many files, how many bytes, how long.

A log is parsed, put into canonical form and compared some three times over: a MiB of it takes up to
2.4 s on a two-core machine, so that a bound on the request alone bounds nothing.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from server.ledger.checking.sorting import Brought

MIB = 1024 * 1024


class TooMuch(ValueError):
    """An archive that is none, or more than is checked; the text says which."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How many files, how many bytes of them in sum, and how many of one are looked at."""

    files: int
    bytes: int
    one: int | None = None

    def hold(self, files: Iterable[Brought]) -> None:
        """Raise TooMuch where `files` are more than these."""
        left = self.bytes
        for count, file in enumerate(files, 1):
            left -= len(file.data)
            if count > self.files:
                raise TooMuch(f"There are more than {self.files} files, the most that is checked.")
            if self.one is not None and len(file.data) > self.one:
                raise TooMuch(f"{file.name} has over {_mib(self.one)}, the most of one file.")
            if left < 0:
                raise TooMuch(
                    f"The files have over {_mib(self.bytes)} together, the most that is checked."
                )


@dataclass(slots=True)
class Budget:
    """Limits, and seconds by a clock that only goes forward, from the first look at it."""

    limits: Limits
    seconds: float
    clock: Callable[[], float]
    _ends: float = field(init=False)

    def __post_init__(self) -> None:
        self._ends = self.clock() + self.seconds

    def paced(self, files: Iterable[Brought]) -> Iterator[Brought]:
        """The files one by one. Raises TooMuch once the time is used up."""
        for file in files:
            if self.clock() > self._ends:
                raise TooMuch(f"Checking these files takes longer than {self.seconds:g} s.")
            yield file


def _mib(size: int) -> str:
    return f"{size / MIB:g} MiB" if size >= MIB else f"{size} bytes"

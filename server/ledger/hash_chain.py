"""How signed logs hang together: order, gaps, doubles, and each one's link to the one before."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from server.ledger.envelope import Problem


@dataclass(frozen=True, slots=True)
class ChainLink:
    """What ties one log into the chain; `closed` is when its signer's key was closed, if it was."""

    number: int
    digest: str
    previous: str | None
    corrects: str | None
    signed_at: str
    closed: str | None


def flaws(links: Sequence[ChainLink], *, part: bool) -> Iterator[Problem]:
    """Everything wrong with the row as a row. `part`: it may begin after log 1."""
    yield from _order(links)
    yield from _doubles(links)
    by_number = {link.number: link for link in links}
    yield from _gaps(sorted(by_number), part)
    for number, link in sorted(by_number.items()):
        before = by_number.get(number - 1)
        if before is not None and link.previous != before.digest:
            says = f"It does not follow the log {number - 1} given here, but one of another digest."
            yield Problem(f"log {number}", says)
    yield from _late(links)
    if not part:
        yield from _corrections(links)


def _order(links: Sequence[ChainLink]) -> Iterator[Problem]:
    for before, link in pairwise(links):
        if link.number < before.number:
            yield Problem(f"log {link.number}", f"It stands after log {before.number}.")


def _doubles(links: Sequence[ChainLink]) -> Iterator[Problem]:
    for number, times in Counter(link.number for link in links).items():
        if times > 1:
            yield Problem(f"log {number}", f"It is there {times} times.")


def _gaps(numbers: Sequence[int], part: bool) -> Iterator[Problem]:
    known = numbers if part else (0, *numbers)
    for before, number in pairwise(known):
        if number > before + 1:
            first, last = before + 1, number - 1
            missing = f"Log {first} is" if first == last else f"Logs {first} to {last} are"
            yield Problem(f"log {first}", f"{missing} missing before log {number}.")


def _late(links: Sequence[ChainLink]) -> Iterator[Problem]:
    """A closed key cannot sign again under an old date: its log would stand after younger ones."""
    latest = ""
    for link in links:
        if link.closed is not None and latest > link.closed:
            says = f"Its key was closed {link.closed}; the log before it is of {latest}."
            yield Problem(f"log {link.number}", says)
        latest = max(latest, link.signed_at)


def _corrections(links: Sequence[ChainLink]) -> Iterator[Problem]:
    earlier: set[str] = set()
    for link in links:
        if link.corrects is not None and link.corrects not in earlier:
            yield Problem(f"log {link.number}", "It corrects a log that is not before it.")
        earlier.add(link.digest)

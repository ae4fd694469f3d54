"""What the outside keeps of a shop's chain: its head at some moment, and the short proofs.

Whoever holds a head (its size and root are two lines on paper) can later be shown that a log is
among those it counts, and that a younger head took none of them out.
"""

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import Field

from server.ledger import merkle
from server.ledger.parts import Digest, LogPart, Moment, Word

Size = Annotated[int, Field(ge=0, le=10**9)]


class Head(LogPart):
    """The tree over a shop's first `size` logs, as it stood at a moment."""

    kind: Literal["quadwright chain head"]
    version: Literal[1]
    shop: Word
    at: Moment
    size: Size
    root: Digest


class Membership(LogPart):
    """Shows that the log with this number and digest is in the tree of `size` with `root`."""

    kind: Literal["quadwright membership proof"]
    version: Literal[1]
    number: Annotated[int, Field(ge=1, le=10**9)]
    digest: Digest
    size: Size
    root: Digest
    path: tuple[Digest, ...]

    def holds(self, head: Head | None = None) -> bool:
        """Whether the path leads to the root, and the root is the head's where one is given."""
        if head is not None and (head.size, head.root) != (self.size, self.root):
            return False
        data, tree = bytes.fromhex(self.digest), bytes.fromhex(self.root)
        return merkle.included(data, self.number - 1, self.size, _raw(self.path), tree)


class Growth(LogPart):
    """Shows that the tree of `size` begins with the whole tree of `old_size`: nothing came out."""

    kind: Literal["quadwright growth proof"]
    version: Literal[1]
    old_size: Size
    old_root: Digest
    size: Size
    root: Digest
    path: tuple[Digest, ...]

    def holds(self, old: Head | None = None, new: Head | None = None) -> bool:
        """Whether the path joins the two roots, and they are the heads' where these are given."""
        if old is not None and (old.size, old.root) != (self.old_size, self.old_root):
            return False
        if new is not None and (new.size, new.root) != (self.size, self.root):
            return False
        roots = bytes.fromhex(self.old_root), bytes.fromhex(self.root)
        return merkle.consistent(self.old_size, self.size, *roots, _raw(self.path))


def head(digests: Sequence[str], shop: str, at: str) -> Head:
    """The head over the digests of logs 1, 2, 3 …, in that order."""
    return Head(
        kind="quadwright chain head",
        version=1,
        shop=shop,
        at=at,
        size=len(digests),
        root=root(digests),
    )


def root(digests: Sequence[str]) -> str:
    """The Merkle root over the digests of logs 1, 2, 3 …, in hex."""
    return merkle.root(_raw(digests)).hex()


def membership(digests: Sequence[str], number: int) -> Membership:
    """The proof for log `number` among all of `digests`. Raises IndexError for no such log."""
    path = merkle.inclusion(_raw(digests), number - 1)
    return Membership(
        kind="quadwright membership proof",
        version=1,
        number=number,
        digest=digests[number - 1],
        size=len(digests),
        root=root(digests),
        path=tuple(step.hex() for step in path),
    )


def growth(digests: Sequence[str], old: int) -> Growth:
    """The proof from the first `old` logs to all of `digests`. Raises IndexError."""
    path = merkle.consistency(_raw(digests), old)
    return Growth(
        kind="quadwright growth proof",
        version=1,
        old_size=old,
        old_root=root(digests[:old]),
        size=len(digests),
        root=root(digests),
        path=tuple(step.hex() for step in path),
    )


def _raw(digests: Sequence[str]) -> list[bytes]:
    return [bytes.fromhex(digest) for digest in digests]

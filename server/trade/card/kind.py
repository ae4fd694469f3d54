"""One kind of result: what it asks, how an answer is read, judged, merged and put on paper.

Each module in `kinds/` holds one kind and registers it with `@register`. A kind without a part, a
second one of a name, and a spec of no known kind are errors.
"""

from abc import ABC, abstractmethod
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Generic, Literal, TypeVar

from server.trade.card.answers import Answer
from server.trade.card.judgement import Judgement
from server.trade.card.spec import Spec

S = TypeVar("S", bound=Spec)
A = TypeVar("A")
T = TypeVar("T")


@dataclass(frozen=True)
class Blank:
    """A place for the pen: a box to tick, or a line to write on with its unit."""

    label: str
    kind: Literal["box", "line"] = "line"
    unit: str = ""


@dataclass(frozen=True)
class Results:
    """What is recorded at other steps, by their keys."""

    by_key: Mapping[str, object]

    def at(self, key: str, answer: type[T]) -> T | None:
        """The answer of that step; None where it has none, or one of another kind."""
        found = self.by_key.get(key)
        return found if isinstance(found, answer) else None


class ResultKind(ABC, Generic[S, A]):
    """A kind of result. `name` is that of its module, with hyphens; an answer has the type `A`."""

    name: ClassVar[str]
    by_parts: ClassVar[bool]
    spec: type[S]

    @abstractmethod
    def read(self, spec: S, given: Answer) -> A:
        """The answer out of what was posted or stored.

        Raises BadAnswer with every field that is wrong.
        """

    @abstractmethod
    def write(self, answer: A) -> dict[str, Any]:
        """The answer as it is stored, plain JSON values; `read` takes it back."""

    @abstractmethod
    def judge(self, spec: S, answer: A, before: Results) -> Judgement:
        """What the answer is worth. Raises BadAnswer for one that nothing real can give."""

    @abstractmethod
    def merge(self, spec: S, entries: Sequence[A | None]) -> A | None:
        """All entries of one step as one answer, oldest first; None where none can be used.

        An entry that can no longer be read is None.
        """

    @abstractmethod
    def replaced(self, entries: Sequence[A | None], later: A) -> int | None:
        """The place among `entries` of the one that `later` puts right."""

    @abstractmethod
    def paper(self, spec: S) -> tuple[Blank, ...]:
        """What a pen fills in where there is no tablet."""

    @abstractmethod
    def example(self, spec: S) -> tuple[A, ...]:
        """Entries that pass together: the demo shop's, and those of the tests."""


class WholeKind(ResultKind[S, A]):
    """A kind of which each entry is a whole answer: the latest stands."""

    by_parts = False

    def merge(self, spec: S, entries: Sequence[A | None]) -> A | None:
        """The latest."""
        return entries[-1] if entries else None

    def replaced(self, entries: Sequence[A | None], later: A) -> int | None:
        """The latest."""
        return len(entries) - 1 if entries else None


class PartKind(ResultKind[S, A]):
    """A kind of which an entry may hold some parts only: the latest of each part stands."""

    by_parts = True

    @abstractmethod
    def parts(self, answer: A) -> frozenset[Hashable]:
        """The names of the parts that an answer holds."""

    @abstractmethod
    def joined(self, spec: S, earlier: A, later: A) -> A:
        """The parts of both in the spec's order, the later ones over the earlier."""

    def merge(self, spec: S, entries: Sequence[A | None]) -> A | None:
        """Every part's latest."""
        whole: A | None = None
        for entry in entries:
            if entry is not None:
                whole = entry if whole is None else self.joined(spec, whole, entry)
        return whole

    def replaced(self, entries: Sequence[A | None], later: A) -> int | None:
        """The latest that has a part in common."""
        new = self.parts(later)
        same = [n for n, e in enumerate(entries) if e is not None and self.parts(e) & new]
        return same[-1] if same else None


KINDS: dict[str, ResultKind[Any, Any]] = {}
K = TypeVar("K", bound=type[ResultKind[Any, Any]])


class UnknownKind(KeyError):
    """Nothing is registered under that name."""

    def __init__(self, name: str) -> None:
        super().__init__(f"No kind of result is called '{name}': see server/trade/card/kinds/.")


def register(kind: K) -> K:
    """Put a kind in its place. Raises TypeError for one that lacks a part or is there already."""
    made = kind()  # an abstract part that is missing is refused here
    if not isinstance(vars(kind).get("name"), str) or "spec" not in vars(kind):
        raise TypeError(f"{kind.__name__} has no name or no spec of its own.")
    if made.name in KINDS or made.spec.kind != made.name:
        raise TypeError(f"{kind.__name__}: '{made.name}' is taken, or its spec has another name.")
    KINDS[made.name] = made
    return kind


def kind_of(spec: Spec) -> ResultKind[Any, Any]:
    """The kind that a spec belongs to. Raises UnknownKind."""
    try:
        return KINDS[spec.kind]
    except KeyError:
        raise UnknownKind(spec.kind) from None

"""How one kind of result is asked for and drawn; each module of `kinds/` registers one.

The template of a kind is found by its name: `bench/kinds/<name>.html`, with the macros `ask(now,
number)` and `found(found)`.
"""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Generic, TypeVar

from server.trade.card import Judgement, Step
from server.trade.card.spec import Spec
from server.web.bench.found import Result, Shown
from server.web.bench.hidden_fields import Carried
from server.web.bench.state import NO_STEP
from server.web.site.filters import Clock
from server.web.site.forms import Form
from server.web.site.page import View
from server.work.bench.step_status import StepStatus, judged
from server.work.errors import Missing

S = TypeVar("S", bound=Spec)
A = TypeVar("A")
F = TypeVar("F", bound=Carried)
T = TypeVar("T")
Posted = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class Layout:
    """How a kind stands on the Do now card. Every kind answers all of it.

    `wide`: its form takes the whole width. `folds_how`: the instructions stand in the fold.
    `says_found`: the line after recording repeats what was found. `stays`: its result is read
    before the next step. `attaches`: its form brings a file. `refills`: a fresh form stands as it
    was recorded before; else everything is read anew. `unseen`: fields that nobody types.
    """

    wide: bool
    folds_how: bool
    says_found: bool
    stays: bool
    attaches: bool
    refills: bool
    unseen: tuple[str, ...]


@dataclass(frozen=True)
class Turn:
    """Which output of the spins is asked for by name, and those to come after it in its round.

    `part`: the stick or the channel, of steps that are recorded one by one; or 'all' of them.
    """

    output: int | None = None
    again: tuple[int, ...] = ()
    part: str = ""


@dataclass(frozen=True)
class Here:
    """A step as its view sees it: how it stands among the others, and what is asked for by name."""

    standing: StepStatus
    others: Mapping[str, StepStatus]
    turn: Turn
    page: str
    clock: Clock

    @property
    def step(self) -> Step:
        """The step itself."""
        return self.standing.step

    @property
    def judgement(self) -> Judgement | None:
        """What stands at the step is worth; None without anything that can be read."""
        return judged(self.standing, self.others)

    def first(self, keys: tuple[str, ...], answer: type[T]) -> T | None:
        """The first of these steps' answers that is of that type."""
        found = (self.others[key].answer for key in keys if key in self.others)
        return next((each for each in found if isinstance(each, answer)), None)


@dataclass(frozen=True)
class Asking:
    """What the template's `ask` draws.

    `data` is what this kind's template uses. `title` stands in place of the step's where there is
    one. `whole`: the template draws the card by itself. `hides_result`: what is recorded so far is
    not yet a result to show.
    """

    data: object
    title: str = ""
    whole: bool = False
    hides_result: bool = False


@dataclass(frozen=True)
class BroughtFile:
    """A file that a form brought: its bytes, or the digest of one that was kept before."""

    name: str = ""
    media_type: str = ""
    data: bytes = b""
    kept: str = ""


class KindView(ABC, Generic[S, A, F]):
    """One kind of result on the bench's pages."""

    name: ClassVar[str]
    layout: ClassVar[Layout]
    form: type[F]

    @property
    def template(self) -> str:
        """Where the macros are."""
        return f"bench/kinds/{self.name.replace('-', '_')}.html"

    @abstractmethod
    def answer(self, spec: S, given: F) -> Posted:
        """What was typed, under the names of the kind's answer: its `read` reads it."""

    @abstractmethod
    def field(self, path: list[str], given: F) -> str:
        """The posted name of an answer's field: ['values', 'amps'] is 'values[amps]'.

        '' is the form as a whole.
        """

    @abstractmethod
    def typed(self, answer: A) -> dict[str, Any]:
        """The form's fields that give this answer; `answer` turned round.

        Of an answer in parts the first. A fresh form stands so where the layout says `refills`.
        """

    @abstractmethod
    def ask(self, spec: S, here: Here) -> Asking:
        """What the form is drawn from."""

    @abstractmethod
    def found(self, spec: S, answer: A, judgement: Judgement, here: Here) -> Result:
        """What the result is drawn from."""

    # What only some kinds have; none of them is a form, a paper or a drawing of another kind.

    def shown(self, spec: S) -> Shown | None:
        """Where the target comes from, in sight before the answer."""
        return None

    def turn(self, form: Form[Any]) -> Turn:
        """The part that was sent, to ask for it again."""
        return Turn()

    def said(self, number: str, answer: A, found: str) -> str:
        """One short sentence after recording: a phone has one line for it."""
        return f"{number} recorded" + (f": {found}" if self.layout.says_found else "")

    def hands_on(self, found: Result) -> Shown | None:
        """What the steps after this one show of its result."""
        return None

    def row_drawing(self, spec: S, answer: A, prefix: str) -> str:
        """A small drawing under the row of a step that is out of limits."""
        return ""

    def brings(self, given: F) -> BroughtFile | None:
        """The file that came with the form. Raises Unfit."""
        return None

    def so_far(self, step: Step, chosen: Mapping[str, str]) -> View:
        """What is chosen and not recorded yet comes to. Raises Missing where nobody asks for it."""
        raise Missing(*NO_STEP)


VIEWS: dict[str, KindView[Any, Any, Any]] = {}
V = TypeVar("V", bound=type[KindView[Any, Any, Any]])


def register_view(view: V) -> V:
    """Put a view in its place. Raises TypeError for one that lacks a part or is there already."""
    made = view()  # an abstract part that is missing is refused here
    missing = [part for part in ("name", "layout", "form") if not hasattr(made, part)]
    if missing or "name" not in vars(view) or made.name in VIEWS:
        raise TypeError(f"{view.__name__} is there already, or lacks {missing or 'its own name'}.")
    VIEWS[made.name] = made
    return view

"""What each walk of adding.md touched, as `git status` showed it: `python -m docs.walks`.

Every walk was done once for real and taken out again. A test holds adding.md to these lists, and
these lists to the files that there are.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


@dataclass(frozen=True)
class Walk:
    """One way to add something.

    `new` and `changed` are the files of the app that it touched, `beside` what belongs to it and is
    counted by itself (the template of a kind, a migration), `tests` the tests. `docs.generate`
    wrote the pages of docs/ in `written`. `most` is how many of the app's files it may touch.
    `like` is a pattern that finds a thing of the same sort which the app has, and the files of the
    app that it has to be found in, and no others.
    """

    title: str
    example: str
    most: int
    tests: tuple[str, ...]
    new: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    made_tests: tuple[str, ...] = ()
    written: tuple[str, ...] = ()
    like: tuple[str, tuple[str, ...]] | None = None

    @property
    def app(self) -> tuple[str, ...]:
        """The files that count."""
        return (*self.new, *self.changed)

    @property
    def named(self) -> tuple[str, ...]:
        """What its text has to name: every file, one of tests that it made without its folder."""
        made = (file.rpartition("/")[2] for file in self.made_tests)
        return (*self.app, *self.beside, *self.tests, *made, *self.written)

    def line(self) -> str:
        """The count, as it stands in adding.md."""
        parts = [f"{_many(len(self.app), 'file')} of the app"]
        parts += [_many(len(self.beside), "file") + " beside"] if self.beside else []
        parts += [_many(len(self.tests) + len(self.made_tests), "file") + " of tests"]
        if self.written:
            parts.append(_many(len(self.written), "page") + " written by `docs.generate`")
        return f"Walked with {self.example}: {', '.join(parts)}."


def _many(count: int, word: str) -> str:
    return f"{NUMBERS[count]} {word}{'' if count == 1 else 's'}"


WALKS = (
    Walk(
        "How to add a protocol",
        "a receiver protocol of 230400 Bd",
        most=1,
        changed=("server/trade/tables/serial.py",),
        tests=("tests/reference/test_serial.py", "tests/trade/rules/test_contract.py"),
        written=("docs/tables.md", "docs/build-sheet.schema.json"),
        like=(r"\bEXBUS\b", ("server/trade/tables/serial.py",)),
    ),
    Walk(
        "How to add a rule",
        "a caution for a capacity that was written in ampere-hours",
        most=1,
        changed=("server/trade/rules/pack.py",),
        tests=(
            "tests/trade/rules/seeded_power.py",
            "tests/trade/rules/seeded_clean.py",
            "tests/trade/rules/test_contract.py",
        ),
        written=("docs/findings.md",),
        like=(r"\bpoles-odd\b", ("server/trade/rules/likely.py",)),
    ),
    Walk(
        "How to add a step of a known kind",
        "a photo of the leads as found",
        most=1,
        changed=("server/trade/card/stages/keep.py",),
        tests=("tests/trade/card/test_deriving.py",),
        written=("docs/bench-card.md",),
        like=(r"\bkeep/firmware\b", ("server/trade/card/stages/keep.py",)),
    ),
    Walk(
        "How to add a new kind of result",
        "a count of the board's screws",
        most=3,
        new=("server/trade/card/kinds/count.py", "server/web/bench/kinds/count.py"),
        changed=("server/trade/card/stages/level.py",),
        beside=("templates/bench/kinds/count.html",),
        made_tests=("tests/trade/card/test_count_proof.py",),
        tests=("tests/trade/card/test_deriving.py",),
        written=("docs/bench-card.md",),
        # Who imports the module of a kind: its form, and the stage with its step.
        like=(
            r"\bcard\.kinds\.cells\b",
            ("server/web/bench/kinds/cells.py", "server/trade/card/stages/before.py"),
        ),
    ),
    Walk(
        "How to add a field on a ticket",
        "the shelf on which a craft lies",
        most=7,
        changed=(
            "server/records/tables/tickets.py",
            "server/records/tickets.py",
            "server/web/booking/forms.py",
            "templates/booking/_items.html",
            "server/work/booking/intake.py",
            "server/web/ticket/overview.py",
            "server/work/customers/erasure_rules.py",
        ),
        beside=("migrations/versions/20261128_shelf.py",),
        tests=(
            "tests/records/test_migrate.py",
            "tests/web/booking/test_intake.py",
            "tests/work/customers/test_erasure.py",
        ),
    ),
    Walk(
        "How to add a page at the counter",
        "a list of what was handed in and still lies in the shop",
        most=4,
        new=("server/web/queue/stock.py", "templates/queue/stock.html"),
        changed=("server/records/counter.py", "templates/queue/queue.html"),
        tests=("tests/architecture/test_routes.py",),
        made_tests=("tests/web/queue/test_stock.py",),
    ),
)


def sources(root: Path = ROOT) -> Iterable[Path]:
    """The code and the templates of the app."""
    yield from sorted((root / "server").rglob("*.py"))
    yield from sorted((root / "templates").rglob("*.html"))


def found_in(pattern: str, root: Path = ROOT) -> set[str]:
    """The files of the app in which `pattern` is found."""
    wanted = re.compile(pattern)
    paths = (path for path in sources(root) if wanted.search(path.read_text("utf-8")))
    return {path.relative_to(root).as_posix() for path in paths}


def main() -> None:
    """Print each count with its files."""
    for walk in WALKS:
        print(f"{walk.title} (at most {walk.most} of the app)\n  {walk.line()}")
        for kind in ("new", "changed", "beside", "made_tests", "tests", "written"):
            for file in getattr(walk, kind):
                print(f"  {kind.replace('_', ' '):<10} {file}")


if __name__ == "__main__":
    main()

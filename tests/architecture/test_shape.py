"""The shape of the code: folders that one person can survey, names that a search finds once."""

import ast
from collections import Counter, defaultdict
from pathlib import Path

import pytest

from tests.architecture.sources import ROOT, SERVER, name, python

FULLEST = 25
WIDEST = 140


def crowded(top: Path) -> dict[str, int]:
    """The folders under `top` with more modules than one person surveys."""
    counts = Counter(path.parent for path in python(top) if path.name != "__init__.py")
    assert counts
    return {str(f.relative_to(top)): n for f, n in counts.items() if n > FULLEST}


def named_twice(sources: dict[str, str]) -> dict[str, list[str]]:
    """The class names that more than one class has, with where each stands."""
    found = defaultdict(list)
    for where, source in sources.items():
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.ClassDef):
                found[node.name].append(where)
    return {each: places for each, places in found.items() if len(places) > 1}


def wide(text: str) -> list[int]:
    """The lines that are too wide to read."""
    return [n for n, line in enumerate(text.splitlines(), start=1) if len(line) > WIDEST]


def unformatted(text: str) -> int:
    """How often a file opts out of the formatter."""
    return text.count("# fmt: skip") + text.count("# fmt: off")


def test_no_folder_is_a_drawer():
    assert crowded(SERVER) == {}


def test_a_class_name_is_used_once():
    assert named_twice({name(path): path.read_text("utf-8") for path in python()}) == {}


def test_the_formatter_wins():
    assert sum(unformatted(path.read_text("utf-8")) for path in python()) < 10


@pytest.mark.parametrize("page", sorted((ROOT / "templates").rglob("*.html")), ids=name)
def test_a_template_has_no_wide_line(page):
    assert wide(page.read_text("utf-8")) == []


def test_the_checks_see_an_offender(tmp_path):
    for n in range(FULLEST + 1):
        (tmp_path / f"m{n}.py").write_text("")
    assert crowded(tmp_path) == {".": FULLEST + 1}
    assert named_twice({"a": "class A: ...", "b": "class A: ..."}) == {"A": ["a", "b"]}
    assert wide("short\n" + "x" * 141) == [2]
    assert unformatted("x = 1  # fmt: " + "skip") == 1

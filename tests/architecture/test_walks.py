"""adding.md says what each walk touched, and names no file that is not there."""

import re
from dataclasses import replace

import pytest

from docs.generate import PAGES
from docs.walks import WALKS, Walk, found_in
from tests.architecture.sources import ROOT

PAGE = (ROOT / "docs" / "adding.md").read_text("utf-8")
NEW = {file for walk in WALKS for file in (*walk.new, *walk.beside, *walk.made_tests)}
FILE = re.compile(
    r"`((?:server|templates|static|tests|migrations|docs)/[\w./-]+|[A-Z]+\.md)`|\]\(([\w./-]+)\)"
)
EACH = pytest.mark.parametrize("walk", WALKS, ids=lambda walk: walk.title)


def section(page: str, title: str) -> str:
    """What stands under a heading; empty where there is none."""
    return page.partition(f"\n## {title}\n")[2].partition("\n## ")[0]


def faults(walk: Walk, page: str = PAGE) -> list[str]:
    """What the page leaves out of a walk."""
    says = section(page, walk.title)
    missing = [file for file in walk.named if f"`{file}`" not in says]
    return missing if walk.line() in says else [*missing, walk.line()]


def not_there(page: str) -> list[str]:
    """The files that a page names and nobody has, those that a walk made left out."""
    named = {code or f"docs/{link}" for code, link in FILE.findall(page)}
    return sorted(file for file in named - NEW if not (ROOT / file).exists())


def test_every_section_is_a_walk() -> None:
    assert re.findall(r"^## (.+)$", PAGE, re.M) == [walk.title for walk in WALKS]


@EACH
def test_the_page_gives_its_count_and_names_its_files(walk: Walk) -> None:
    assert faults(walk) == []


@EACH
def test_it_touches_no_more_of_the_app_than_it_may(walk: Walk) -> None:
    assert 0 < len(walk.app) <= walk.most


@EACH
def test_its_files_are_there_and_what_it_made_is_not(walk: Walk) -> None:
    stay = [*walk.changed, *walk.tests, *walk.written]
    made = [*walk.new, *walk.beside, *walk.made_tests]
    assert [file for file in stay if not (ROOT / file).is_file()] == []
    assert [file for file in made if (ROOT / file).exists()] == []
    assert [file for file in made if not (ROOT / file).parent.is_dir()] == []
    assert {file.removeprefix("docs/") for file in walk.written} <= PAGES.keys()


@pytest.mark.parametrize("walk", [w for w in WALKS if w.like], ids=lambda walk: walk.title)
def test_what_the_app_has_of_the_sort_stands_in_these_files_alone(walk: Walk) -> None:
    assert walk.like is not None
    pattern, files = walk.like
    assert found_in(pattern) == set(files)


def test_the_page_names_only_files_that_are_there() -> None:
    assert len(FILE.findall(PAGE)) > 20
    assert not_there(PAGE) == []


def test_the_checks_see_a_page_that_is_behind() -> None:
    walk = WALKS[0]
    more = replace(walk, changed=(*walk.changed, "server/app.py"))
    assert faults(more) == ["server/app.py", more.line()]
    assert faults(walk, "# Nothing\n") == [*walk.named, walk.line()]
    gone = "Write it in `server/nowhere.py`, as [the guide](guide/nowhere.md) says.\n"
    assert not_there(gone) == ["docs/guide/nowhere.md", "server/nowhere.py"]

"""Links in the pages lead somewhere, and commands that they print exist."""

import re
import tomllib
from pathlib import Path

import pytest
from typer.main import get_command

from server.cli import app
from tests.architecture.sources import ROOT, name

PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)\s]*)?\)")
COMMAND = re.compile(r"^\S*quadwright ([a-z-]+)([^#\n]*)", re.MULTILINE)
COMMANDS = get_command(app).commands  # type: ignore[attr-defined]  # a group of commands


def broken(page: Path, text: str) -> list[str]:
    """The links of a page that lead nowhere."""
    return [link for link in LINK.findall(text) if not (page.parent / link).exists()]


def unknown(text: str) -> list[str]:
    """The commands and options that a page prints and the program does not have."""
    found = []
    for command, rest in COMMAND.findall(text):
        if command not in COMMANDS:
            found.append(command)
            continue
        has = {option for given in COMMANDS[command].params for option in given.opts}
        found += [f"{command} {o}" for o in re.findall(r"--[a-z-]+", rest) if o not in has]
    return found


def test_there_are_pages_to_look_at() -> None:
    assert len(PAGES) > 15
    assert sum(len(LINK.findall(page.read_text("utf-8"))) for page in PAGES) > 20


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_links_lead_somewhere(page: Path) -> None:
    assert broken(page, page.read_text("utf-8")) == []


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_commands_are_the_program_s_own(page: Path) -> None:
    assert unknown(page.read_text("utf-8")) == []


def test_every_command_is_in_the_readme() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    assert [command for command in COMMANDS if f"quadwright {command}" not in text] == []


def test_checks_and_readme_run_the_same_tests() -> None:
    readme, checks = (ROOT / p for p in ("README.md", ".ci/run"))
    assert ".venv/bin/pip install -e '.[test]' && .venv/bin/pytest -n 2\n" in readme.read_text()
    ran = checks.read_text("utf-8")
    assert "pip install -q -e '.[test]'\n" in ran
    assert ran.endswith("\npytest -n 2\n")
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert "test" in extras["optional-dependencies"]


def test_decisions_are_all_listed_and_whole() -> None:
    folder = ROOT / "docs" / "decisions"
    index = (folder / "README.md").read_text("utf-8")
    pages = sorted(folder.glob("0*.md"))
    assert len(pages) > 5
    for page in pages:
        assert f"({page.name})" in index
        for part in ("Context.", "Decision.", "Consequences.", "Refused.", "Enforced by"):
            assert f"**{part}**" in page.read_text("utf-8"), f"{page.name}: {part}"


def test_tests_that_decisions_name_exist() -> None:
    named = re.findall(r"`(tests/[\w/.]+)`", "".join(p.read_text("utf-8") for p in PAGES))
    assert len(named) > 10
    assert [path for path in named if not (ROOT / path).exists()] == []


def test_the_checks_see_a_fault() -> None:
    assert broken(PAGES[0], "[a](docs/nowhere.md) [b](docs/tables.md#x)") == ["docs/nowhere.md"]
    assert unknown("quadwright fly now\nquadwright check --loud X\n") == ["fly", "check --loud"]

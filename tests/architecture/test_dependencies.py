"""What the program imports is declared, and what is declared is used."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions

from tests.architecture.sources import ROOT, python

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
NOT_IMPORTED = {
    "django-js-lib-htmx": "only its file is taken, by name, in server/web/site/assets.py",
    "fontpkg-fira-sans": "found by fontpkg, by name",
    "fontpkg-fira-sans-condensed": "found by fontpkg, by name",
    "python-multipart": "the web framework reads forms with it",
    "tzdata": "zoneinfo reads it where the system has no zones",
}
COMES_WITH = {
    "markupsafe": "jinja2",
    "pydantic-core": "pydantic",
    "sqlalchemy": "sqlmodel",
    "starlette": "fastapi",
    "fontpkg": "fontpkg-fira-sans",
}


def plain(requirement: str) -> str:
    """The name in a requirement, as the package index writes it."""
    found = re.match(r"[\w.-]+", requirement)
    assert found
    return re.sub(r"[-_.]+", "-", found.group(0)).lower()


def imported(source: str) -> set[str]:
    """The top modules that a module imports, its own project and the library of Python left out."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module)
    tops = {name.split(".")[0] for name in names}
    return tops - sys.stdlib_module_names - {"server"}


DECLARED = {plain(one) for one in PROJECT["dependencies"]}
USED = set().union(*(imported(path.read_text("utf-8")) for path in python()))
USED |= set().union(*(imported(p.read_text("utf-8")) for p in python(ROOT / "migrations")))


def test_what_is_imported_is_declared() -> None:
    given = packages_distributions()
    assert len(USED) > 15
    wanted = {top: {plain(name) for name in given[top]} for top in USED}
    allowed = DECLARED | {name for name, by in COMES_WITH.items() if by in DECLARED}
    assert {top: names for top, names in wanted.items() if not names & allowed} == {}


def test_what_is_declared_is_used() -> None:
    given = packages_distributions()
    used = {plain(name) for top in USED for name in given[top]}
    assert DECLARED - used == set(NOT_IMPORTED) & DECLARED
    assert set(NOT_IMPORTED) <= DECLARED


def test_no_address_stands_in_a_requirement() -> None:
    extras = PROJECT["optional-dependencies"].values()
    every = [*PROJECT["dependencies"], *(one for extra in extras for one in extra)]
    assert [one for one in every if "@" in one or "/" in one] == []


def test_the_reader_sees_each_way_to_import() -> None:
    source = "import os, numpy.linalg as l\nfrom PIL.Image import open\nfrom server.x import y\n"
    assert imported(source) == {"numpy", "PIL"}
    assert plain("Psycopg[binary]>=3.3") == "psycopg"

"""Nothing stands in the code that nobody calls, tests left out of account.

vulture looks; what a template or a sheet of paper names counts as used.
"""

import re
from pathlib import Path

import pytest
from vulture import Vulture

from tests.architecture.sources import ROOT, SERVER

# Registered by the decorator that stands over them.
REGISTERED = ["@desk.*", "@rule", "@register*", "@app.*", "@*validator", "@model_serializer"]
KEPT = {
    "get_alg": "joserfc asks its algorithms for it",
    "load_dialect_impl": "SQLAlchemy asks a column type for it",
    "process_bind_param": "SQLAlchemy asks a column type for it",
    "process_result_value": "SQLAlchemy asks a column type for it",
    "found_in": "the walks are held against the code by a test",
    "KEPT": "the texts that an erasure leaves, held against the tables by a test",
    "to_string": "Starlette asks a path's converter for it",
    "_on_hold": "an end of a demo story, called by its name",
    "_halfway": "an end of a demo story, called by its name",
    "_caution": "an end of a demo story, called by its name",
    "_collected": "an end of a demo story, called by its name",
    "_returned": "an end of a demo story, called by its name",
}
KINDS = {"function", "method", "property", "class", "import"}


def unused(*folders: Path) -> set[str]:
    """The names that nothing refers to: functions, classes, properties and constants."""
    looked = Vulture(ignore_decorators=REGISTERED)
    looked.scavenge([str(folder) for folder in folders])
    return {
        item.name
        for item in looked.get_unused_code(min_confidence=60)
        if item.typ in KINDS
        or (item.typ == "variable" and re.fullmatch(r"_?[A-Z][A-Z_]+", item.name))
    }


def named_in_templates() -> set[str]:
    """Every word that a template or a sheet of paper uses."""
    pages = [*(ROOT / "templates").rglob("*.html"), *SERVER.rglob("*.typ")]
    assert len(pages) > 60
    return {word for page in pages for word in re.findall(r"\w+", page.read_text("utf-8"))}


def test_nothing_is_written_that_nobody_calls():
    found = unused(SERVER, ROOT / "docs", ROOT / "migrations")
    assert found - named_in_templates() - KEPT.keys() == set()


@pytest.mark.parametrize(
    ("source", "left"),
    [
        ("def lonely(): ...", {"lonely"}),
        ("LIMIT = 3", {"LIMIT"}),
        ("@desk.get('/')\ndef page(): ...", set()),
        ("def asked(): ...\nasked()", set()),
    ],
)
def test_the_check_sees_one(tmp_path, source, left):
    (tmp_path / "module.py").write_text(source)
    assert unused(tmp_path) == left

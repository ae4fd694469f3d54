"""Every setting is told of in docs/settings.md, with its default, and nothing else is."""

import re
from typing import get_args

import pytest

from server.settings import Settings
from tests.architecture.sources import ROOT

PAGE = (ROOT / "docs" / "settings.md").read_text("utf-8")
FIELDS = Settings.model_fields
ROW = re.compile(r"^\| `(QUADWRIGHT_[A-Z_]+)` \| (.*?) \| (.*) \|$", re.MULTILINE)
ROWS = {variable: (default, says) for variable, default, says in ROW.findall(PAGE)}


def test_there_are_settings_to_look_at() -> None:
    assert len(FIELDS) > 5


def test_the_page_lists_them_and_no_others() -> None:
    assert list(ROWS) == [f"QUADWRIGHT_{field.upper()}" for field in FIELDS]


@pytest.mark.parametrize("field", FIELDS)
def test_a_setting_has_its_default_and_words(field: str) -> None:
    default, says = ROWS[f"QUADWRIGHT_{field.upper()}"]
    given = FIELDS[field].default
    plain = str(given).lower() if isinstance(given, bool) else str(given)
    assert default == (f"`{plain}`" if plain else "empty")
    assert says == FIELDS[field].description


@pytest.mark.parametrize("field", FIELDS)
def test_the_environment_really_sets_it(field: str, monkeypatch: pytest.MonkeyPatch) -> None:
    kind = FIELDS[field].annotation
    given = "true" if FIELDS[field].default is False else "false" if kind is bool else "given"
    given = next((other for other in get_args(kind) if other != FIELDS[field].default), given)
    monkeypatch.setenv(f"QUADWRIGHT_{field.upper()}", given)
    assert getattr(Settings(), field) != FIELDS[field].default

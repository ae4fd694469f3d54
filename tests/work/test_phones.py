"""Telephones: read and shown by a library, and found by any spelling.

The numbers are those that the United Kingdom's regulator keeps free for drama, and the 555 numbers
of the North American plan; the Norwegian one is invented.
"""

import pytest

from server.work import phones

LONDON = "+442079460911"


@pytest.mark.parametrize(
    "typed",
    [
        "020 7946 0911",
        "(020) 7946-0911",
        "+44 20 7946 0911",
        "0044 20 7946 0911",
        "02079460911",
        "+44 (0)20 7946 0911",
        " 020  7946 0911 ",
    ],
)
def test_any_spelling_is_kept_as_one(typed):
    assert phones.read(typed, "GB") == phones.Phone(LONDON, "442079460911")


@pytest.mark.parametrize(
    ("country", "said"),
    # ITU-T E.123: the national form at home, '+' and the country code abroad.
    [("GB", "020 7946 0911"), ("NO", "+44 20 7946 0911"), ("US", "+44 20 7946 0911")],
)
def test_a_number_is_shown_as_the_country_writes_it(country, said):
    assert phones.shown(LONDON, country) == said


@pytest.mark.parametrize(
    ("typed", "note"),
    [
        ("555 0142", "no number of GB"),
        ("ask for Wren", "no number of GB"),
        ("+999 12345", "no number of GB"),
        ("020 7946 0911 ext. 5", "with its extension"),
    ],
)
def test_an_odd_number_is_kept_as_typed(typed, note):
    read = phones.read(typed, "GB")
    assert read.kept == typed
    assert note in read.note
    assert phones.shown(read.kept, "GB") == typed
    assert phones.note(read.kept, "GB") == read.note


def test_no_number_is_none():
    assert phones.read("  ", "GB") == phones.Phone("", "")
    assert phones.shown("", "GB") == ""
    assert phones.note(LONDON, "GB") == ""


@pytest.mark.parametrize(
    ("text", "country"),
    [
        ("020 7946 0911", "GB"),
        ("0911", "GB"),
        ("7946 0911", "GB"),
        ("+44 20 7946 0911", "NO"),
        ("0044 20 7946 0911", "NO"),
        ("0207", "GB"),
        ("44207946", "GB"),
    ],
)
def test_a_kept_number_is_found_by_any_spelling(text, country):
    key = phones.read(LONDON, "GB").key
    assert any(run in key for run in phones.searched(text, country))


@pytest.mark.parametrize("text", ["911", "PV-7", "Wren 0911", "", "+", "0777", "020 7946 0912"])
def test_what_is_another_number_finds_nothing(text):
    key = phones.read(LONDON, "GB").key
    assert not any(run in key for run in phones.searched(text, "GB"))

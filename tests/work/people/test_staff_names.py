"""Names that look alike, by Unicode's own table of confusables (TS 39)."""

import pytest

from server.work.errors import Unfit
from server.work.people.staff_names import folded, require_one_script, require_plain, require_unlike


@pytest.mark.parametrize(
    "name",
    [
        "ki\u200bt",
        "kit\u0000",
        "k\u202eit",
        "kit\u2060",
        "\ufeffkit",
        "k\u00adit",
        "kit\ue000",
        "kit\u2028",
        "   ",
        "",
    ],
)
def test_what_does_not_show_is_refused(name):
    with pytest.raises(Unfit):
        require_plain("sign_in", name)


@pytest.mark.parametrize("name", ["Kit Thorne", "Ødegård", "山田 太郎", "O’Neill-Vale", "Ким"])
def test_names_of_people_are_plain(name):
    require_plain("name", name)
    require_unlike("name", name, ["Bo Larch", "Ines"])


@pytest.mark.parametrize("name", ["k\u0456t", "b\u03bf", "\u0430nsel"])
def test_two_alphabets_in_one_sign_in_are_refused(name):
    with pytest.raises(Unfit, match="two alphabets"):
        require_one_script("sign_in", name)


@pytest.mark.parametrize("name", ["kit 2", "ødegård", "ким", "山田たろう", "kit.thorne-3"])
def test_one_alphabet_with_digits_will_do(name):
    require_one_script("sign_in", name)


@pytest.mark.parametrize(
    ("name", "twin"),
    [
        ("\u0430\u0441\u0435", "ace"),  # Cyrillic а, с, е
        ("b0", "bo"),
        ("bil1", "bill"),
        ("torn", "tom"),
        ("\u03bf\u03bf\u03bf", "ooo"),
    ],
)
def test_a_twin_is_refused_and_names_who_it_looks_like(name, twin):
    with pytest.raises(Unfit, match=f"looks like {twin}"):
        require_unlike("sign_in", name, ["else", twin])


@pytest.mark.parametrize("name", ["KIT", " kit ", "\uff4b\uff49\uff54", "Kit"])
def test_another_spelling_of_a_name_is_that_name(name):
    assert folded(name) == "kit"
    with pytest.raises(Unfit, match="has that name already"):
        require_unlike("sign_in", name, ["kit"])


def test_numbered_names_are_told_apart():
    require_unlike("sign_in", "tech2", ["tech1", "tech3"])

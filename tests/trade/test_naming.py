"""Part of a name finds the thing; a misspelt word is read as its nearest."""

import pytest

from server.trade.naming import meant

NAMES = {
    1: "alder & finch brindle f7 stm32f722",
    2: "alder & finch brindle f4 stm32f405",
    3: "quay works tessera h7 stm32h743",
}


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("brindle", (1, 2)),
        ("BRINDLE F7", (1,)),
        ("f7 brin", (1,)),
        ("h743", (3,)),
        ("finch", (1, 2)),
        ("%", ()),
        ("f_", ()),
    ],
)
def test_every_word_narrows_the_names(text, found):
    assert meant(text, NAMES).found == found


def test_misspelt_word_is_read_as_nearest():
    said = meant("brindel f7", NAMES)
    assert (said.found, said.words, said.misspelt) == ((1,), "brindle f7", ("brindel",))


def test_words_spelled_right_are_left_alone():
    assert meant("brindle h7", NAMES) == meant("brindle  H7", NAMES)
    assert meant("brindle h7", NAMES).found == ()
    assert meant("brindle h7", NAMES).misspelt == ()


def test_word_near_nothing_finds_nothing():
    said = meant("xyzzy", NAMES)
    assert (said.found, said.misspelt) == ((), ("xyzzy",))


def test_no_names_hold_no_words():
    assert meant("brindle", {}).found == ()

"""A person taken out of free text, and nothing else with them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.work.customers.redaction import Veil

VEIL = Veil(["Perrin Vale"], ["+44 20 7946 0911"])


@pytest.mark.parametrize(
    ("text", "hidden"),
    [
        ("Handed over to Perrin Vale by Kit.", "Handed over to [customer] by Kit."),
        ("PERRIN VALE rang", "[customer] rang"),
        ("perrin_vale-settings.txt", "[customer]-settings.txt"),
        ("Perrin's quad", "[customer]'s quad"),
        ("Mr Vale wants it back", "Mr [customer] wants it back"),
        ("ring 020 7946 0911 first", "ring [customer] first"),
        ("ring +442079460911.", "ring [customer]."),
        ("ring (020) 7946-0911", "ring [customer]"),
        ("write to p.vale@mail.example now", "write to [customer] now"),
        ("valent and prevailing Valerie", "valent and prevailing Valerie"),
        ("0.41 A at 20 kHz, 7946 steps", "0.41 A at 20 kHz, 7946 steps"),
        ("", ""),
    ],
)
def test_name_telephone_and_mail_are_hidden(text, hidden):
    assert VEIL.hide(text) == hidden
    assert VEIL.hides(text) == (text != hidden)


@pytest.mark.parametrize(
    "name", ["Bo Li", "Łukasz Żak", "Юрий Ким", "דוד לוי", "張 偉", "O’Dowd, Ann", "X"]
)
def test_names_of_every_script_are_hidden_whole(name):
    assert Veil([name]).hide(f"for {name}: done") == "for [customer]: done"


def test_short_words_of_a_name_stay_in_other_texts():
    assert Veil(["Bo Li"]).hide("Bo soldered; Li-ion pack") == "Bo soldered; Li-ion pack"


def test_all_texts_of_a_value_are_hidden_and_nothing_else():
    told = {"Perrin Vale": ["by Perrin Vale", 3, None, {"x": "Vale"}], "ok": True}
    assert VEIL.hide_all(told) == {
        "Perrin Vale": ["by [customer]", 3, None, {"x": "[customer]"}],
        "ok": True,
    }


@given(st.text(max_size=60), st.text(min_size=1, max_size=12).filter(str.strip))
def test_hiding_twice_hides_no_more(text, name):
    veil = Veil([name])
    assert veil.hide(veil.hide(text)) == veil.hide(text)


@pytest.mark.parametrize("nobody", [[], [""], ["   "]])
def test_nobody_hides_nothing(nobody):
    assert Veil(nobody, [""]).hide("Perrin Vale, 0.41 A") == "Perrin Vale, 0.41 A"

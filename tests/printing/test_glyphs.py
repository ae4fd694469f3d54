"""What the sheets can print, and what becomes of the rest."""

import unicodedata
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.printing import glyphs
from server.printing.glyphs import BOX, printable, printable_svg
from tests.printing import samples
from tests.printing.reading import letters_of, text_of


@pytest.mark.parametrize(
    "name",
    ["Łukasz Świętochłowski", "Đặng Thị Hồng", "Ωμέγα Ελληνικά", "Юрий Щербина", "ÅÄÖ ñ ß ẞ ş Ș"],
)
def test_european_names_pass_through_unchanged(name):
    assert printable(name) == name


def test_signs_of_the_trade_pass_unchanged():
    text = "1118 µs ±5, 0.41 A, 56 %, 10 kΩ, TX→R1, 25 °C, −131 %, 2 × 4, ≤ 4.20 V, €"
    assert printable(text) == text


@pytest.mark.parametrize(
    ("given_text", "printed"),
    [
        ("quad 🚁", f"quad {BOX}"),
        ("👩\u200d🔧", f"{BOX}{BOX}"),
        ("張偉", f"{BOX}{BOX}"),
        ("a\x00b\x07c", "abc"),
        ("pay \u202e00.54\u202c", "pay 00.54"),
        ("a\r\nb\rc", "a\nb\nc"),
        ("e\u0301", "é"),
        ("1\u202f234,50", "1\u00a0234,50"),
        ("𝐊𝐢𝐭", "Kit"),
        ("\ue000", BOX),
        ("\ud83d", BOX),
        ("\u0301x", "x"),
        ("ש\u0301", "ש"),
    ],
)
def test_other_characters_have_stand_ins(given_text, printed):
    assert printable(given_text) == printed


def test_drawings_lose_entities_and_odd_letters():
    svg = '<text font-family="Fira Sans Condensed, sans-serif">&#x1F681; &#60;&amp;</text>'
    assert printable_svg(svg) == (
        f'<text font-family="Fira Sans" font-stretch="condensed">{BOX} &lt;&amp;</text>'
    )


def test_every_letter_offered_has_its_glyph():
    """Typst refuses PDF/A with a missing glyph, so each letter is set in each face in use."""
    offered = glyphs.latin() | glyphs._HEBREW | glyphs._ARABIC
    letters = [chr(c) for c in sorted(offered) if unicodedata.category(chr(c))[0] != "M"]
    marked = [f"a{chr(c)}" for c in sorted(glyphs.latin()) if unicodedata.combining(chr(c))]
    marked += [f"ب{chr(c)}" for c in sorted(glyphs._ARABIC_MARKS)]
    words = " ".join(letters + marked)
    slip = replace(samples.CLAIM, words=words, craft=words)
    tag = replace(samples.TAG, promised=words[:200])
    assert "ŹźŻż" in letters_of(slip.pdf())
    assert samples.TAG.ticket in text_of(tag.pdf())


@given(st.text())
def test_any_text_at_all_can_be_printed(words):
    slip = replace(samples.CLAIM, words=words, customer=words, status_url="https://x.example")
    assert slip.pdf().startswith(b"%PDF")

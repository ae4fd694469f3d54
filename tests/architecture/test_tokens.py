"""The colours keep the contrast that they claim, recomputed by another's WCAG formula.

Floors: WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (edges 3:1); body text by 1.4.6 (7:1).
"""

import re

import pytest
import wcag_contrast_ratio

from server.places import STATIC

TEXT = re.sub(r"/\*.*?\*/", "", (STATIC / "css/tokens.css").read_text(), flags=re.DOTALL)
COLOUR = re.compile(r"--([a-z-]+): (#[0-9A-Fa-f]{6})")
LIGHT = dict(COLOUR.findall(TEXT.split("@media")[0]))
DARK = LIGHT | dict(COLOUR.findall(re.search(r":root\[data-dark\] \{(.*?)\}", TEXT, re.S)[1]))
SYSTEM = LIGHT | dict(COLOUR.findall(re.search(r":not\(\[data-light\]\) \{(.*?)\}", TEXT, re.S)[1]))
FLOORS = [
    ("ink", "card", 7.0),
    ("ink", "mat", 7.0),
    ("ink", "well", 7.0),
    ("ink", "signal-wash", 7.0),
    ("soft", "card", 4.5),
    ("soft", "mat", 4.5),
    ("soft", "well", 4.5),
    ("soft", "signal-wash", 4.5),
    ("pen", "card", 4.5),
    ("pen", "mat", 4.5),
    ("pen", "pen-wash", 4.5),
    ("on-pen", "pen", 4.5),
    ("on-pen", "pen-deep", 4.5),
    ("pen-deep", "pen-wash", 4.5),
    ("pen", "signal-wash", 4.5),
    ("signal", "card", 4.5),
    ("signal", "mat", 4.5),
    ("signal", "signal-wash", 4.5),
    ("on-signal", "signal", 4.5),
    ("on-word", "word-warning", 4.5),
    ("on-word", "word-caution", 4.5),
    ("edge", "card", 3.0),
    ("edge", "mat", 3.0),
    ("focus-in", "focus-out", 4.5),
]


def contrast(one, other):
    """By the package wcag-contrast-ratio, from '#rrggbb'."""
    sides = ([int(side[i : i + 2], 16) / 255 for i in (1, 3, 5)] for side in (one, other))
    return wcag_contrast_ratio.rgb(*sides)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("front", "back", "floor"), FLOORS)
def test_a_pair_of_colours_is_told_apart(theme, front, back, floor):
    assert contrast(theme[front], theme[back]) >= floor


def test_dark_is_the_same_by_choice_and_by_system():
    assert DARK == SYSTEM
    assert DARK != LIGHT


def test_the_formula_knows_black_on_white():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # WCAG 2.2, contrast ratio


def test_orange_and_yellow_are_for_signal_words_alone():
    users = [
        path.name
        for path in STATIC.glob("css/*.css")
        if re.search(r"var\(--word-(warning|caution)\)", path.read_text())
    ]
    assert sorted(users) == ["marks.css", "signal.css"]

"""Label widths against the font itself."""

from importlib import resources

from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from server.drawing.metrics import ADVANCE, fit, width, wrap


def test_widths_are_those_of_the_font() -> None:
    # The face that labels are set in, from its own package (SIL Open Font License).
    file = resources.files("fontpkg_fira_sans_condensed") / "files/FiraSansCondensed-SemiBold.ttf"
    with resources.as_file(file) as path:
        font = TTFont(path)
    glyphs, advances = font.getBestCmap(), font["hmtx"]
    assert font["head"].unitsPerEm == 1000
    for char, wide in ADVANCE.items():
        assert abs(advances[glyphs[ord(char)]][0] - wide) <= 25, char


@given(st.text(max_size=60), st.floats(30, 300))
def test_cut_label_fits_its_room(text: str, room: float) -> None:
    cut = fit(text, room, 13)
    assert width(cut, 13) <= room
    assert cut == text or cut.endswith("…")


@given(st.text(alphabet="ab cd", max_size=60))
def test_wrapped_lines_fit_their_room(text: str) -> None:
    lines = wrap(text, 60, 13, 3)
    assert len(lines) <= 3
    assert all(width(line, 13) <= 60 for line in lines)

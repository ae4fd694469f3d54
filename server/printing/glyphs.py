"""Which characters the sheets can print, and what stands in for the rest.

A PDF/A file may hold no missing glyph, so every text is brought within the kept faces first:
Fira Sans (Latin, Greek, Cyrillic), and Hebrew and Arabic from the faces that come with Typst.
Anything else (emoji, Chinese, Japanese, Korean, Indic scripts) prints as a box, `BOX`.
"""

import html
import re
import unicodedata
from collections.abc import Iterator
from functools import cache

import fontpkg
from fontTools.ttLib import TTFont

BOX = "▯"

_HEBREW = frozenset(range(0x05D0, 0x05EB)) | {0x05BE, 0x05F3, 0x05F4}
_ARABIC_MARKS = frozenset(range(0x064B, 0x0653))
_ARABIC = (
    frozenset(range(0x0621, 0x063B))
    | frozenset(range(0x0640, 0x064B))
    | _ARABIC_MARKS
    | frozenset(range(0x0660, 0x066A))
    | frozenset(range(0x06F0, 0x06FA))
    | {0x060C, 0x061B, 0x061F, 0x0679, 0x067E, 0x0686, 0x0691, 0x0698}
    | {0x06A9, 0x06AF, 0x06CC}
)
_ALIKE = {"\u202f": "\u00a0", "\u2009": "\u00a0", "\u2007": "\u00a0", "\u2011": "-", "\t": " "}
_FACES = (
    ("Fira Sans", 400),
    ("Fira Sans", 600),
    ("Fira Sans Condensed", 400),
    ("Fira Sans Condensed", 600),
)
_ENTITY = re.compile(r"&#(x[0-9A-Fa-f]{1,6}|[0-9]{1,7});")


@cache
def latin() -> frozenset[int]:
    """The code points that all four kept faces of Fira Sans have, controls left out."""
    each = [set(TTFont(fontpkg.path(name, weight)).getBestCmap()) for name, weight in _FACES]
    both = set.intersection(*each)
    return frozenset(c for c in both if unicodedata.category(chr(c)) not in {"Cc", "Cf", "Co"})


def _home(char: str) -> str:
    code = ord(char)
    if code in latin():
        return "latin"
    if code in _HEBREW:
        return "hebrew"
    return "arabic" if code in _ARABIC else ""


def printable(text: str) -> str:
    """`text` in the characters that the sheets' faces have; same text in, same text out.

    Composed (NFC); a letter without a glyph is taken in its plain parts (NFKD) where those have
    one. Invisible controls, direction overrides among them, go; line ends stay. A mark that its
    letter's face lacks goes; any other character without a glyph becomes `BOX`.
    """
    out: list[str] = []
    base = ""
    for char in _known(unicodedata.normalize("NFC", re.sub("\r\n?", "\n", text))):
        home = _home(char)
        if unicodedata.category(char)[0] == "M":
            if home and home == base:
                out.append(char)
        elif char == "\n" or home:
            out.append(char)
            base = home
        elif unicodedata.category(char) not in {"Cc", "Cf"}:
            out.append(BOX)
            base = "latin"
    return "".join(out)


def _known(text: str) -> Iterator[str]:
    for raw in text:
        char = _ALIKE.get(raw, raw)
        parts = char if _home(char) else unicodedata.normalize("NFKD", char)
        yield from parts if all(map(_home, parts)) else char


def printable_svg(svg: str) -> str:
    """A drawing in the characters and the face names that Typst knows.

    Typst lists Fira Sans Condensed as the narrow width of Fira Sans.
    """
    plain = _ENTITY.sub(_spelled, svg)
    narrow = re.sub(
        r"font-family=(['\"])['\"]?Fira Sans Condensed.*?\1",
        'font-family="Fira Sans" font-stretch="condensed"',
        plain,
    )
    return printable(narrow)


def _spelled(found: re.Match[str]) -> str:
    digits = found[1]
    code = int(digits[1:], 16) if digits[0] == "x" else int(digits)
    return html.escape(chr(code)) if 31 < code < 0x110000 and not 0xD800 <= code < 0xE000 else ""

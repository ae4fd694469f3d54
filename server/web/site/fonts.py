"""The three faces, cut from the packaged TTFs to small WOFF2 files, one a script.

A cut is named by the digest of all that went into it, so that a new package or a change here makes
new files and nothing is ever overwritten with something else. Two processes that start at once may
both cut; each puts its file in place in one move.
"""

import hashlib
import os
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import fontpkg
import fontTools
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

# Tabular figures, the slashed zero, and what text needs to look like text.
FEATURES = ("kern", "liga", "ccmp", "locl", "mark", "mkmk", "tnum", "zero")

NAMES = (0, 1, 2, 13, 14)  # copyright, family, style, licence and its address travel along

# Unicode blocks (The Unicode Standard, Blocks.txt) and the single signs our pages print: dashes,
# quotation marks, ellipsis, per mille, minus, euro, ohm, arrows. CSS writes them the same way.
SCRIPTS = {
    "latin": "U+0020-007E,U+00A0-00FF,U+2013-2014,U+2018-201A,U+201C-201E,U+2026,U+2030,"
    "U+20AC,U+2190-2193,U+2212,U+2260,U+2264-2265",
    "latin-more": "U+0100-024F,U+1E00-1EFF",
    "greek": "U+0370-03FF,U+1F00-1FFF,U+2126",
    "cyrillic": "U+0400-052F",
}


@dataclass(frozen=True)
class Face:
    """One weight of one family."""

    name: str
    family: str
    weight: int


FACES = (
    Face("fira-sans-400", "Fira Sans", 400),
    Face("fira-sans-600", "Fira Sans", 600),
    Face("fira-sans-condensed-600", "Fira Sans Condensed", 600),
)


@dataclass(frozen=True)
class Cut:
    """One face in one script: where it comes from, and the digest of all that goes into it."""

    name: str
    face: Face
    block: str
    digest: str

    def body(self, cache: Path) -> bytes:
        """The WOFF2 file, cut now unless `cache` has it."""
        place = cache / f"{self.digest}.woff2"
        if not place.exists():
            cache.mkdir(parents=True, exist_ok=True)
            _put(place, cut(_source(self.face), self.block))
        return place.read_bytes()


def cuts() -> tuple[Cut, ...]:
    """All cuts. Cutting one takes about a second, so each is made when it is first asked for."""
    return tuple(
        Cut(f"{face.name}-{script}.woff2", face, block, _digest(_source(face), block))
        for face in FACES
        for script, block in SCRIPTS.items()
    )


def _source(face: Face) -> bytes:
    return Path(fontpkg.path(face.family, weight=face.weight)).read_bytes()


def _digest(source: bytes, block: str) -> str:
    recipe = repr((fontTools.version, FEATURES, NAMES, block)).encode()
    return hashlib.sha256(source + recipe).hexdigest()[:12]


def _put(place: Path, body: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=place.parent, suffix=".part")
    with os.fdopen(handle, "wb") as file:
        file.write(body)
    os.replace(name, place)


def cut(source: bytes, block: str) -> bytes:
    """`source`, a TTF, as WOFF2 with only the characters of `block` (a CSS unicode-range)."""
    options = Options(flavor="woff2", layout_features=list(FEATURES), hinting=False)
    options.name_IDs = list(NAMES)
    font = TTFont(BytesIO(source), recalcTimestamp=False)
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=characters(block))
    subsetter.subset(font)
    font.flavor = "woff2"
    out = BytesIO()
    font.save(out)
    return out.getvalue()


def characters(block: str) -> Iterator[int]:
    """The code points of a CSS unicode-range."""
    for part in block.split(","):
        first, _, last = part.removeprefix("U+").partition("-")
        yield from range(int(first, 16), int(last or first, 16) + 1)


def css(address: Callable[[str], str]) -> str:
    """The @font-face rules; `address` gives each cut's address by its file name."""
    return "".join(
        f'@font-face{{font-family:"{made.face.family}";font-weight:{made.face.weight};'
        f"font-display:optional;src:url({address(made.name)})format('woff2');"
        f"unicode-range:{made.block}}}"
        for made in cuts()
    )

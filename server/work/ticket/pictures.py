"""Photos from a phone, made anew: upright, without what they tell of place and camera, and small.

Only what was decoded pixel by pixel is kept, so that nothing else that a file holds (a second file
behind the picture, a script in its remarks, a place) comes to the shop.
"""

import struct
from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageOps

from server.work.errors import Unfit

MOST_BYTES = 20 * 1024 * 1024
MOST_PIXELS = 50_000_000  # a phone's largest; 150 MB while it is decoded
LEAST_SIDE = 32  # px
SIDE, SMALL = 2400, 320  # px; the longer side of what is kept, and of its small copy
FORMATS = ("JPEG", "PNG", "WEBP")
_TOO_LARGE = f"has over {MOST_PIXELS // 1_000_000} million pixels. Take a smaller one."
TAKEN = "Send a JPEG, PNG or WebP."

# What a file is by its first bytes, where it is not what it should be.
_KINDS = (
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a ZIP archive"),
    (b"GIF8", "a GIF"),
    (b"BM", "a BMP"),
    (b"II*\x00", "a TIFF"),
    (b"MM\x00*", "a TIFF"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
    (b"8BPS", "a layered picture"),
    (b"%!PS", "PostScript"),
    (b"#!", "a script"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"\x00\x00\x01\x00", "an icon"),
)
_BRANDS = {b"heic": "a HEIC", b"heix": "a HEIC", b"mif1": "a HEIC", b"avif": "an AVIF"}
_BOMBS = (Image.DecompressionBombError, Image.DecompressionBombWarning)
_UNREADABLE = (
    OSError,
    ValueError,
    SyntaxError,
    EOFError,
    IndexError,
    KeyError,
    TypeError,
    OverflowError,
    struct.error,
)


@dataclass(frozen=True)
class Picture:
    """A photo as it is kept, JPEG, and its small copy."""

    data: bytes
    small: bytes


def remade(data: bytes, name: str, field: str = "photos") -> Picture:
    """The photo decoded and made anew. Raises Unfit, which names the file and what is wrong."""
    require_name(name, field)
    if wrong := _wrong_bytes(data):
        raise Unfit(field, f"“{name}” {wrong}")
    try:
        return _made(data)
    except _TooMuch as no:
        raise Unfit(field, f"“{name}” {no}") from no
    except _BOMBS as no:  # Pillow's own limit, met before ours can be asked
        raise Unfit(field, f"“{name}” {_TOO_LARGE}") from no
    except _UNREADABLE as no:
        wrong = "is cut off or damaged: it ends before its picture does."
        raise Unfit(field, f"“{name}” {wrong} Take it again.") from no


def require_name(name: str, field: str) -> None:
    """Raise Unfit for a name that is more than a name: one with folders or unseen signs in it."""
    if "/" in name or "\\" in name or name in (".", ".."):
        shown = "".join(c for c in name if c.isprintable())[:60]
        raise Unfit(field, f"“{shown}” is a path, and no name. Rename it.")
    if not all(c.isprintable() for c in name):
        shown = "".join(c for c in name if c.isprintable())[:60]
        raise Unfit(field, f"“{shown}” has signs in its name that cannot be seen. Rename it.")


class _TooMuch(Exception):
    """Why a picture that can be opened is not taken."""


def _wrong_bytes(data: bytes) -> str:
    if not data:
        return "is empty. Take it again."
    if len(data) > MOST_BYTES:
        return f"is over {MOST_BYTES // 1024 // 1024} MiB. Take a smaller one."
    if kind := _kind(data):
        return f"is {kind}, and no photo that can be kept. {TAKEN}"
    return ""


def _kind(data: bytes) -> str:
    """What a file is that is none of the formats taken; empty where its first bytes fit one."""
    if data[:3] == b"\xff\xd8\xff" or data[:8] == b"\x89PNG\r\n\x1a\n":
        return ""
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return ""
    if data[4:8] == b"ftyp":
        return _BRANDS.get(data[8:12], "a film")
    for start, kind in _KINDS:
        if data.startswith(start):
            return kind
    text = data[:1024].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if b"<svg" in text:
        return "an SVG drawing"
    if text.startswith((b"<!doctype", b"<html", b"<script", b"<?php", b"<?xml")):
        return "a text of a web page"
    return "no picture"


def _made(data: bytes) -> Picture:
    with Image.open(BytesIO(data), formats=FORMATS) as opened:
        _require_measures(opened, len(data))
        opened.draft("RGB", (SIDE, SIDE))  # a JPEG is decoded no larger than it is kept
        upright = ImageOps.exif_transpose(opened).convert("RGB")
    upright.thumbnail((SIDE, SIDE))
    small = upright.copy()
    small.thumbnail((SMALL, SMALL))
    return Picture(_jpeg(upright), _jpeg(small))


def _require_measures(opened: Image.Image, held: int) -> None:
    if opened.width * opened.height > MOST_PIXELS:
        raise _TooMuch(_TOO_LARGE)
    if min(opened.size) < LEAST_SIDE:
        raise _TooMuch(f"is under {LEAST_SIDE} px: nothing can be seen on it.")
    if opened.format == "JPEG" and "progressive" not in opened.info and held < _least(opened.size):
        raise _TooMuch("says that it is larger than what it holds. Take it again.")
    # MPO is a JPEG of several pictures, as some phones make it; the first is the photo.
    if opened.format != "MPO" and getattr(opened, "is_animated", False):
        raise _TooMuch("moves. Take a photo that stands still.")


def _least(size: tuple[int, int]) -> float:
    """Bytes: a square of 8 by 8 takes two codes of a bit at the least (ITU-T T.81, F.1.2)."""
    return size[0] * size[1] / 64 * 2 / 8


def _jpeg(picture: Image.Image) -> bytes:
    made = BytesIO()
    # A bare copy: what was read of the file's remarks stays behind.
    bare = Image.frombytes("RGB", picture.size, picture.tobytes())
    bare.save(made, "JPEG", quality=85, optimize=True)
    return made.getvalue()

"""Hostile and broken uploads, each made here: (what it is, its name, its bytes, why it is refused).

First bytes of each kind are those of its published format (PNG, JPEG/JFIF, WebP, GIF89a, PDF, ZIP,
ELF, ISO base media file), from memory.
"""

import struct
import zlib
from io import BytesIO

from PIL import Image

PNG = b"\x89PNG\r\n\x1a\n"


def photo(form: str = "JPEG", size: tuple[int, int] = (120, 90), **saved: object) -> bytes:
    """A small picture with something to see on it."""
    made = BytesIO()
    gradient = Image.radial_gradient("L").resize(size)
    Image.merge("RGB", (gradient, gradient.rotate(90), gradient)).save(made, form, **saved)
    return made.getvalue()


def chunk(kind: bytes, data: bytes) -> bytes:
    """One chunk of a PNG, with its checksum."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width: int, height: int, *between: bytes, depth: int = 1) -> bytes:
    """A PNG of black, as small as it can be; `between` are further chunks before its picture."""
    head = struct.pack(">IIBBBBB", width, height, depth, 0, 0, 0, 0)
    rows = bytes(((width + 7) // 8 + 1) * min(height, 12_000))
    body = chunk(b"IDAT", zlib.compress(rows, 9))
    return PNG + chunk(b"IHDR", head) + b"".join(between) + body + chunk(b"IEND", b"")


def moving(form: str) -> bytes:
    """A picture of two frames."""
    made = BytesIO()
    frames = [Image.new("RGB", (64, 64), colour) for colour in ("red", "blue")]
    frames[0].save(made, form, save_all=True, append_images=frames[1:], duration=100)
    return made.getvalue()


def spoilt_checksum() -> bytes:
    """A PNG whose picture was changed after its checksum was made."""
    whole = bytearray(photo("PNG"))
    whole[whole.index(b"IDAT") + 30] ^= 0xFF
    return bytes(whole)


def lying_size() -> bytes:
    """A JPEG that says it is far larger than what it holds."""
    whole = bytearray(photo())
    at = whole.index(b"\xff\xc0") + 5
    whole[at : at + 4] = struct.pack(">HH", 5000, 5000)
    return bytes(whole)


def as_brand(brand: bytes) -> bytes:
    """The first box of an ISO base media file."""
    return struct.pack(">I", 24) + b"ftyp" + brand + bytes(4) + brand + b"mif1"


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
BOMB_TEXT = chunk(b"zTXt", b"Comment\0\0" + zlib.compress(bytes(80_000_000), 9))
HALF = len(photo()) // 2

KIND, CUT, LARGE = "no photo that can be kept", "cut off or damaged", "over 50 million pixels"
BAD: list[tuple[str, str, bytes, str]] = [
    ("nothing at all", "a.jpg", b"", "is empty"),
    ("SVG with script", "drawing.svg", SVG, "an SVG drawing"),
    (
        "SVG named as a photo",
        "drawing.jpg",
        b"\xef\xbb\xbf<?xml version='1.0'?>\n" + SVG,
        "an SVG drawing",
    ),
    ("web page", "page.jpg", b"<!doctype html><script>alert(1)</script>", "a text of a web page"),
    ("program text", "run.png", b"<?php system($_GET['x']); ?>", "a text of a web page"),
    ("PDF", "bill.pdf", b"%PDF-1.7\n1 0 obj\n", "a PDF"),
    ("PDF and JPEG in one", "both.jpg", b"%PDF-1.7\n" + photo(), "a PDF"),
    ("ZIP", "photos.zip", b"PK\x03\x04" + bytes(40), "a ZIP archive"),
    ("ZIP and JPEG in one", "both.jpeg", b"PK\x03\x04" + bytes(26) + photo(), "a ZIP archive"),
    ("GIF", "moves.gif", photo("GIF"), "a GIF"),
    ("GIF and script in one", "both.gif", b"GIF89a=1;alert(1)//", "a GIF"),
    ("BMP", "old.bmp", photo("BMP"), "a BMP"),
    ("TIFF", "scan.jpg", photo("TIFF"), "a TIFF"),
    ("HEIC", "IMG_1.heic", as_brand(b"heic"), "a HEIC"),
    ("AVIF", "IMG_2.avif", as_brand(b"avif"), "an AVIF"),
    ("film", "film.jpg", as_brand(b"isom"), "a film"),
    ("program of Linux", "craft.jpg", b"\x7fELF\x02\x01\x01" + bytes(60), "a program"),
    ("program of Windows", "craft.jpg", b"MZ\x90\x00" + bytes(60), "a program"),
    ("shell script", "craft.jpg", b"#!/bin/sh\nrm -rf /\n", "a script"),
    ("PostScript", "craft.eps", b"%!PS-Adobe-3.0 EPSF-3.0\n", "PostScript"),
    ("gzip", "craft.jpg.gz", b"\x1f\x8b\x08" + bytes(20), "a gzip archive"),
    ("icon", "site.ico", photo("ICO", (32, 32)), "an icon"),
    ("plain text", "note.png", b"it forgot everything", "no picture"),
    ("JPEG cut in half", "top.jpg", photo()[:HALF], CUT),
    ("PNG cut in half", "top.png", photo("PNG")[:-900], CUT),
    ("WebP cut in half", "top.webp", photo("WEBP")[:-200], CUT),
    ("JPEG of a head alone", "head.jpg", b"\xff\xd8\xff\xe0" + bytes(20), CUT),
    ("PNG of a signature alone", "head.png", PNG, CUT),
    ("PNG with a wrong checksum", "changed.png", spoilt_checksum(), CUT),
    ("JPEG larger than it is", "lying.jpg", lying_size(), "larger than what it holds"),
    ("bomb of text", "text.png", png(64, 64, BOMB_TEXT), CUT),
    ("bomb of pixels", "bomb.png", png(60_000, 60_000), LARGE),
    ("too many pixels for Pillow's liking", "wide.png", png(12_000, 8_000), LARGE),
    ("too many pixels for ours", "tall.png", png(5_001, 10_000), LARGE),
    ("PNG that moves", "moves.png", moving("PNG"), "moves"),
    ("WebP that moves", "moves.webp", moving("WEBP"), "moves"),
    ("one pixel", "pixel.png", png(1, 1), "under 32 px"),
    ("too many bytes", "heavy.jpg", photo() + bytes(20 * 1024 * 1024), "over 20 MiB"),
    ("path in the name", "../../etc/cron.d/photo.jpg", photo(), "is a path"),
    ("path of Windows in the name", "C:\\photos\\a.jpg", photo(), "is a path"),
    ("name that reads backwards", "photo\u202egpj.exe", photo(), "cannot be seen"),
    ("name with a new line", "a.jpg\r\nSet-Cookie: x=1", photo(), "cannot be seen"),
]

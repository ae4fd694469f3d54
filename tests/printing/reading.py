"""Reads sheets back with other people's libraries: pypdf for text, zxing-cpp for codes."""

import io
from functools import cache

import zxingcpp
from PIL import Image, ImageChops
from pypdf import PageObject, PdfReader


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


@cache
def text_of(pdf: bytes) -> str:
    """All text, with every run of white space as one space."""
    return " ".join(" ".join(page.extract_text() for page in reader(pdf).pages).split())


def letters_of(pdf: bytes) -> str:
    """All text without white space: a word broken over lines reads whole."""
    return "".join(text_of(pdf).split())


def sizes_on(page: PageObject) -> set[float]:
    """The type sizes on a page in points, as they lie on the paper."""
    found: set[float] = set()

    def visit(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.add(round(abs(size * (tm[3] or tm[1]) * (cm[3] or cm[1])), 2))

    page.extract_text(visitor_text=visit)
    return found


def picture(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png)).convert("RGB")


def codes_on(png: bytes) -> list[str]:
    return [code.text for code in zxingcpp.read_barcodes(picture(png))]


def is_grey(image: Image.Image) -> bool:
    red, green, blue = image.split()
    return all(ImageChops.difference(red, other).getextrema() == (0, 0) for other in (green, blue))


def ink_box(image: Image.Image) -> tuple[int, int, int, int]:
    """Left, top, right, bottom of what is not white, in pixels; raises where all is white."""
    box = ImageChops.invert(image.convert("L")).getbbox()
    if box is None:
        raise AssertionError("the page is blank")
    return box

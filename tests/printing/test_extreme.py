"""The hardest ticket through the records onto every paper: read back by pypdf and zxing-cpp."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from PIL import ImageStat

from server.printing.sheets.base import Printed
from server.work.office import settings
from server.work.shop import Shop
from tests import databases, extreme, make
from tests.drawing.samples import TWELVE
from tests.printing.reading import (
    codes_on,
    ink_box,
    is_grey,
    letters_of,
    picture,
    reader,
    sizes_on,
    text_of,
)

PAPERS = ("a4", "us-letter")
BOTH = ("claim-slip", "estimate", "port-map", "bench-card", "test-log", "pickup", "returned")
PPI = 60


@cache
def everything() -> dict[str, Printed]:
    """All papers of two such tickets: one signed and collected, one returned as it is."""
    folder = Path(mkdtemp(prefix="quadwright-extreme-"))
    engine = databases.fresh_sqlite(folder)
    shop = Shop(engine, folder / "files", now=make.Clock(), quick_phrases=True)
    lead = make.lead(shop)
    settings.change_shop(
        shop,
        lead,
        {
            "name": (
                "Plover Street Multirotor Repair and Flight-Controller Rescue of Upper Marshwood"
            ),
            "terms": "We set up and bench-test what you hand in. " * 30,
            "tax_bp": 2500,
        },
    )
    out = extreme.papers(shop, lead, extreme.ticket(shop, lead, signed=False))
    found = {**out, **extreme.papers(shop, lead, extreme.ticket(shop, lead, signed=True))}
    engine.dispose()
    return found


@cache
def pdf(name: str, paper: str = "a4") -> bytes:
    return replace(everything()[name], paper=paper).pdf()


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", BOTH)
def test_nothing_leaves_the_margins_and_all_is_black(name, paper):
    """13 mm at the sides, 11 above, 5 below stay white."""
    millimetre = PPI / 25.4
    for page in map(picture, replace(everything()[name], paper=paper).pages(PPI)):
        left, top, right, bottom = ink_box(page)
        assert left >= 13 * millimetre
        assert right <= page.width - 13 * millimetre
        assert top >= 11 * millimetre
        assert bottom <= page.height - 5 * millimetre
        assert is_grey(page)


@pytest.mark.parametrize("name", ["bench-card", "pickup", "port-map"])
def test_type_is_never_under_eight_points(name):
    assert min(set().union(*map(sizes_on, reader(pdf(name, "us-letter")).pages))) >= 8


@pytest.mark.parametrize("name", ["claim-slip", "test-log", "pickup", "bench-card", "returned"])
def test_the_code_beside_all_that_still_reads(name):
    sheet = everything()[name]
    assert sheet.code().startswith("https://plover.example/")
    assert codes_on(sheet.pages(150)[0]) == [sheet.code()]


@pytest.mark.parametrize("size", ["62mm", "57x32mm"])
def test_both_labels_keep_a_white_edge_and_their_code(size):
    tag = replace(everything()["bag-tag"], size=size)
    (png,) = tag.pages(200)
    label, edge = picture(png), 1.5 / 25.4 * 200
    left, top, right, bottom = ink_box(label)
    assert min(left, top, label.width - right, label.height - bottom) >= edge
    assert codes_on(png) == [tag.code()]


@pytest.mark.parametrize("name", ["claim-slip", "estimate", "pickup", "returned"])
def test_all_fifty_lines_stand_in_their_order(name):
    assert [int(n) for n in re.findall(r"Line (\d+):", text_of(pdf(name)))] == list(range(1, 51))


def test_all_twelve_devices_stand_on_the_map():
    read = letters_of(pdf("port-map"))
    on_a_port = [name for name, links, *_ in TWELVE if links]
    assert len(on_a_port) > 5
    for name in on_a_port:  # the others stand in the drawing, some of them cut to its boxes
        assert name.replace(" ", "") in read


def lines_of(page) -> list[str]:
    """The words on a page by their places: top to bottom, left to right, as an eye meets them."""
    found = []

    def visit(text, cm, tm, _font, _size):
        x, y = tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]
        found.append((-round(y), x, re.sub(r"[\s\u202a-\u202e]", "", text)))

    page.extract_text(visitor_text=visit)
    rows: dict[int, list[str]] = {}
    for y, _, text in sorted(found):
        rows.setdefault(y, []).append(text)
    return ["".join(row) for row in rows.values()]


@pytest.mark.parametrize("name", ["claim-slip", "pickup", "estimate", "returned"])
def test_no_letter_is_turned_round_by_the_hebrew_beside_it(name):
    (page, *_) = reader(pdf(name)).pages
    lines = "\n".join(lines_of(page))
    for word in ("Featherstonehaugh", "Łukasz", "Юрий"):
        assert word in lines
    assert "hguahenots" not in lines


def test_the_same_record_gives_the_same_bytes():
    assert replace(everything()["pickup"], paper="a4").pdf() == pdf("pickup")


@pytest.mark.parametrize("name", [*BOTH, "bag-tag"])
def test_each_is_tagged_and_for_the_archive(name):
    """ISO 19005-2 level A and ISO 14289-1, by what the file says of itself."""
    found = reader(everything()[name].pdf() if name == "bag-tag" else pdf(name))
    xmp = found.root_object["/Metadata"].get_data().decode()
    assert "<pdfaid:part>2</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert "<pdfuaid:part>1</pdfuaid:part>" in xmp
    assert found.root_object["/StructTreeRoot"]["/K"]


def test_what_cannot_be_printed_is_told():
    note = "stands for a character that this sheet’s type cannot print"
    assert all(note in text_of(pdf(name)) for name in ("claim-slip", "estimate", "pickup"))


def test_the_signature_is_drawn_over_its_line():
    signed = everything()["pickup"]
    with_it, without = (picture(s.pages(PPI)[2]) for s in (signed, replace(signed, signature=None)))
    lower = (with_it.width // 2, with_it.height // 2, with_it.width, with_it.height)
    grey = [ImageStat.Stat(page.convert("L").crop(lower)).sum[0] for page in (with_it, without)]
    assert grey[0] < grey[1]

"""The drawing room's pictures on paper."""

from dataclasses import replace

import pytest

from server.drawing.craft.motors import craft_from_above
from server.drawing.port_diagram.diagram import port_diagram
from server.drawing.radio.switch import switch_range
from server.printing.sheets.base import Drawing
from server.trade.sheet import from_document
from tests import example_sheet
from tests.printing import samples
from tests.printing.reading import ink_box, is_grey, picture, reader, sizes_on, text_of


@pytest.fixture(scope="module")
def printed():
    sheet = from_document(example_sheet.document())
    drawn = Drawing(port_diagram(sheet, (), "wide", colour=False), "Port diagram")
    return replace(samples.MAP, port_map=replace(samples.PORT_MAP, drawing=drawn))


def test_port_diagram_words_are_text_on_paper(printed):
    read = text_of(printed.pdf())
    for said in ("UART1", "TX→R1", "RX←T1", "A point goes into a notch.", "ESC"):
        assert said in read


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_port_diagram_words_are_eight_points(printed, paper):
    (page,) = reader(replace(printed, paper=paper).pdf()).pages
    assert min(sizes_on(page)) >= 8


def test_port_diagram_uses_the_narrow_face(printed):
    (page,) = reader(printed.pdf()).pages
    faces = {font.get_object()["/BaseFont"] for font in page["/Resources"]["/Font"].values()}
    inside = page["/Resources"]["/XObject"].values() if "/XObject" in page["/Resources"] else ()
    for form in inside:
        fonts = form.get_object().get("/Resources", {}).get("/Font", {})
        faces |= {font.get_object()["/BaseFont"] for font in fonts.values()}
    assert any("FiraSansCondensed-SemiBold" in face for face in faces)


def test_port_diagram_is_black_on_white(printed):
    page = picture(printed.pages(60)[0])
    assert is_grey(page)
    assert ink_box(page)[2] < page.width


@pytest.fixture(scope="module")
def pickup():
    turns = {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"}
    motors = craft_from_above(turns, turns, colour=False)
    arming = switch_range(1000, 2000, radio_off=988, arms=(1700, 2100), colour=False)
    return replace(
        samples.PICKUP,
        motors=Drawing(motors, "Motors from above"),
        arming=Drawing(arming, "Arming range"),
    )


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_pickup_front_holds_all_but_the_map(pickup, paper):
    front, back = reader(replace(pickup, paper=paper).pdf()).pages
    read = front.extract_text()
    for said in ("found clockwise", "radio off 988", "WARNING", "Received by", "Sheet 1 of 2"):
        assert said in read
    assert "Port map" in back.extract_text()
    assert min(sizes_on(front)) >= 8


@pytest.mark.parametrize("more", range(0, 24, 3))
def test_the_lines_to_sign_on_never_stand_alone(pickup, more):
    longer = replace(pickup, was_done=(*pickup.was_done, *["Set, and read back."] * more))
    read = [page.extract_text() for page in reader(longer.pdf()).pages]
    signed = [text for text in read if "Received by" in text]
    assert len(signed) == 1
    assert "It is no airworthiness approval" in " ".join(signed[0].split())

"""The port diagram read back as shapes: nothing missing, nothing on top of something else."""

import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import combinations

import pytest
from hypothesis import given

from server.drawing.port_diagram.diagram import Layout, port_diagram
from server.trade.finding import Severity
from server.trade.planner.outcome import Move
from server.trade.rules import check
from server.trade.sheet import Sheet, from_document
from tests import example_sheet
from tests.drawing import looking, samples
from tests.strategies import sheets

LAYOUTS: tuple[Layout, ...] = ("wide", "narrow")
SHEETS: list[Callable[[], Sheet]] = [
    example_sheet.sheet,
    samples.swapped,
    samples.loose,
    samples.bare,
    samples.rude,
    samples.big,
]
each_layout = pytest.mark.parametrize("layout", LAYOUTS)
each_sheet = pytest.mark.parametrize("make", SHEETS, ids=lambda make: make.__name__)


def drawn(sheet: Sheet, layout: Layout) -> ET.Element:
    return looking.parse(port_diagram(sheet, check(sheet), layout))


@each_layout
@each_sheet
def test_every_device_lead_and_pad_is_there(make: Callable[[], Sheet], layout: Layout) -> None:
    sheet = make()
    root = drawn(sheet, layout)
    words = looking.words(root)
    pads = {word.split(":")[0] for word in words}
    labels = {text for text, _ in looking.texts(root)}
    for pad in sheet.board.pads:
        assert pad.pad in pads
    for device in sheet.devices:
        assert device.device in words
        for name in (device.power, device.ground, *(lead.lead for lead in device.leads)):
            assert name is None or name in labels
        for link in device.links:
            for name in (link.tx, link.rx, link.one_wire):
                assert name is None or name in labels | words


@each_layout
@each_sheet
def test_no_two_boxes_lie_on_each_other(make: Callable[[], Sheet], layout: Layout) -> None:
    root = drawn(make(), layout)
    found = looking.boxes(root, "dw-part") + looking.boxes(root, "dw-taken")
    assert not [pair for pair in combinations(found, 2) if looking.overlap(*pair)]


@each_layout
@each_sheet
def test_no_two_labels_lie_on_each_other(make: Callable[[], Sheet], layout: Layout) -> None:
    found = looking.texts(drawn(make(), layout))
    assert not [
        (one[0], two[0])
        for one, two in combinations(found, 2)
        if looking.overlap(one[1], two[1], by=1.0)
    ]


@each_layout
@each_sheet
def test_all_text_is_inside_and_legible(make: Callable[[], Sheet], layout: Layout) -> None:
    root = drawn(make(), layout)
    wide, high = looking.size(root)
    assert wide == {"wide": 800, "narrow": 350}[layout]
    for text, (left, top, right, bottom) in looking.texts(root):
        assert left >= 0, text
        assert right <= wide, text
        assert top >= 0, text
        assert bottom <= high, text
    sizes = {float(e.attrib["font-size"]) for e in root.iter() if "font-size" in e.attrib}
    assert min(sizes) >= 13
    assert max(sizes) <= 17


@each_layout
@each_sheet
def test_no_wire_runs_through_a_box(make: Callable[[], Sheet], layout: Layout) -> None:
    root = drawn(make(), layout)
    held = looking.boxes(root, "dw-part") + looking.boxes(root, "dw-taken")
    for name, line in looking.wires(root).items():
        assert not [p for p in line for box in held if looking.inside(p, box)], name


@each_layout
def test_right_pair_crosses_exactly_once(layout: Layout) -> None:
    wires = looking.wires(drawn(example_sheet.sheet(), layout))
    for device, talks, listens in (("receiver", "R1", "T1"), ("video unit", "R4", "T4")):
        one, two = wires[f"{device}|TX|{talks}"], wires[f"{device}|RX|{listens}"]
        assert looking.crossings(one, two) == 1


@each_layout
def test_swapped_pair_runs_straight_and_uncrossed(layout: Layout) -> None:
    wires = looking.wires(drawn(samples.swapped(), layout))
    one, two = wires["video unit|TX|T4"], wires["video unit|RX|R4"]
    assert looking.crossings(one, two) == 0
    for line in (one, two):
        assert abs(line[0][1] - line[-1][1]) < 0.01


@each_layout
def test_clean_sheet_has_no_other_crossing(layout: Layout) -> None:
    wires = looking.wires(drawn(example_sheet.sheet(), layout))
    for (one, a), (two, b) in combinations(wires.items(), 2):
        same = one.split("|")[0] == two.split("|")[0]
        assert looking.crossings(a, b) == (1 if same and "|TX|" in one + two else 0), (one, two)


@each_layout
def test_twelve_devices_cross_only_in_pairs_and_buses(layout: Layout) -> None:
    wires = looking.wires(drawn(samples.big(), layout))
    serial = {name: line for name, line in wires.items() if "|S" not in name}
    for (one, a), (two, b) in combinations(serial.items(), 2):
        ends = {name.split("|")[1] for name in (one, two)}
        pair = one.split("|")[0] == two.split("|")[0] and ends == {"TX", "RX"}
        assert looking.crossings(a, b) == (1 if pair else 0), (one, two)


@each_layout
def test_every_finding_has_its_numbered_mark(layout: Layout) -> None:
    sheet = samples.rude()
    findings = [*check(sheet), samples.finding("made-up", "nothing on the sheet", Severity.NOTE)]
    root = looking.parse(port_diagram(sheet, findings, layout))
    labels = [text for text, _ in looking.texts(root)]
    assert len(findings) > 9
    for number in range(5, len(findings) + 1):  # 1 to 4 are the ESC's channels too
        assert str(number) in labels


@each_layout
def test_fault_is_a_heavy_saw_tooth_in_print(layout: Layout) -> None:
    sheet = samples.swapped()
    root = looking.parse(port_diagram(sheet, check(sheet), layout, colour=False))
    lines = {
        e.attrib["data-wire"]: next(e.iter(f"{looking.SVG}path"))
        for e in root.iter()
        if "data-wire" in e.attrib
    }
    bad, good = lines["video unit|TX|T4"], lines["receiver|TX|R1"]
    assert float(bad.attrib["stroke-width"]) > float(good.attrib["stroke-width"]) + 1
    assert bad.attrib["d"].count("l") > 5
    assert "l" not in good.attrib["d"]
    assert {e.attrib["stroke"] for e in lines.values()} == {"#000000"}


@each_layout
def test_loose_lead_ends_at_its_mark(layout: Layout) -> None:
    sheet = samples.loose()
    findings = check(sheet)
    assert [(f.code, f.severity) for f in findings] == [("link-incomplete", Severity.CAUTION)]
    root = looking.parse(port_diagram(sheet, findings, layout))
    triangles = [
        (element.attrib["points"], dy)
        for element, _, dy in looking.placed(root)
        if element.tag == f"{looking.SVG}polygon" and element.get("stroke-width") == "1.75"
    ]
    assert len(triangles) == 1
    points, dy = triangles[0]
    base = max(float(point.split(",")[1]) for point in points.split()) + dy
    rows = [(box[1] + box[3]) / 2 for text, box in looking.texts(root) if text == "RX"]
    assert any(abs(row - (base - 10)) < 2 for row in rows)
    assert not [name for name in looking.wires(root) if name.startswith("receiver|RX")]


def test_lead_on_a_wire_and_elsewhere_names_both() -> None:
    document = example_sheet.document()
    document["wires"].append({"device": "receiver", "lead": "TX", "pad": "VB"})
    sheet = from_document(document)
    labels = {text for text, _ in looking.texts(drawn(sheet, "wide"))}
    assert "TX→R1, VB" in labels


def test_names_with_markup_are_escaped() -> None:
    text = port_diagram(samples.rude(), [])
    assert "<b>" not in text
    assert "<script>" not in text
    assert "&lt;b&gt;&amp;&quot;&#39;" in text


@each_layout
def test_nothing_a_strict_policy_forbids(layout: Layout) -> None:
    text = port_diagram(samples.rude(), check(samples.rude()), layout)
    assert " style=" not in text
    assert "<style" not in text
    assert "href" not in text


def test_title_is_named_for_hearing() -> None:
    root = looking.parse(port_diagram(example_sheet.sheet(), [], ids_prefix="map"))
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-labelledby"] == "map-title"
    assert root[0].attrib["id"] == "map-title"
    assert "Brindle F7" in (root[0].text or "")


@each_layout
def test_changes_show_new_and_taken_away(layout: Layout) -> None:
    moves = [Move("video unit", "TX", "T4", "R4"), Move("video unit", "RX", "R4", "T4")]
    moves.append(Move("", "1", "M1", "M3", channel=True))
    root = looking.parse(port_diagram(samples.swapped(), [], layout, changes=moves))
    assert {"video unit|TX|R4", "video unit|RX|T4"} <= set(looking.wires(root))
    words = looking.words(root)
    assert "video unit TX leaves T4" in words
    assert {"new", "taken away"} <= words


@each_layout
@given(sheet=sheets())
def test_any_sheet_can_be_drawn_twice_alike(layout: Layout, sheet: Sheet) -> None:
    findings = check(sheet)
    text = port_diagram(sheet, findings, layout)
    assert text == port_diagram(sheet, findings, layout)
    root = looking.parse(text)
    found = looking.boxes(root, "dw-part") + looking.boxes(root, "dw-taken")
    assert not [pair for pair in combinations(found, 2) if looking.overlap(*pair)]
    wide, high = looking.size(root)
    labels = looking.texts(root)
    clash = [(a[0], b[0]) for a, b in combinations(labels, 2) if looking.overlap(a[1], b[1], 1.0)]
    assert not clash
    for label, (left, top, right, bottom) in labels:
        assert -0.5 <= left <= right <= wide + 0.5, label
        assert 0 <= top <= bottom <= high, label
    for name, line in looking.wires(root).items():
        assert not [p for p in line for box in found if looking.inside(p, box)], name
    apart = [(a, b) for a, b in combinations(looking.wires(root).items(), 2) if not joined(a, b)]
    assert not [(a[0], b[0]) for a, b in apart if looking.run_together(a[1], b[1])]


def joined(one: tuple[str, list[looking.Point]], two: tuple[str, list[looking.Point]]) -> bool:
    """Whether two wires share a pad or a lead, and so may share a line."""
    a, b = one[0].split("|"), two[0].split("|")
    return a[:2] == b[:2] or bool(set(a[2:]) & set(b[2:]))

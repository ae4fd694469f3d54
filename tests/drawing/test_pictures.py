"""The smaller pictures: what they show is in their shapes, and in their titles as words."""

import re
from decimal import Decimal
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.drawing.cell_zones import cell_zones
from server.drawing.craft.board_in_frame import board_in_frame
from server.drawing.craft.motors import craft_from_above
from server.drawing.craft.poses import POSE_OF_FACE, TURNS, face, pose
from server.drawing.frames import Bar, frames
from server.drawing.icons import DRAWN, icon, logo
from server.drawing.limits import limits_line
from server.drawing.marks import (
    STEPS,
    TICKETS,
    finding_mark,
    power_bars,
    rotation_arc,
    step_mark,
    ticket_mark,
)
from server.drawing.port_diagram.mini_map import mini_map
from server.drawing.radio.at_rest import at_rest
from server.drawing.radio.crossed import crossed
from server.drawing.radio.stick_ends import stick_ends
from server.drawing.radio.switch import switch_range, x_of
from server.trade.finding import Severity
from server.trade.mounting.poses import FACES, POSES
from tests import example_sheet
from tests.drawing import looking, samples

PROPS_IN = {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"}
WHOLE = [
    craft_from_above(PROPS_IN),
    craft_from_above(
        PROPS_IN, {"FL": "cw", "FR": "cw", "RL": None, "RR": "cw"}, {"FL": "output 1"}
    ),
    limits_line(Decimal("0.24"), Decimal("0.48"), Decimal("0.41"), "A"),
    limits_line(1, 1, 9000, "µs"),
    limits_line(Decimal("0.21"), Decimal("1.11"), Decimal("1.1"), "A", trips=Decimal("1.5")),
    frames(
        [
            Bar("PWM", (2000.0,), "too long", fits=False),
            Bar("OneShot125", (250.0,), "0 µs", True),
            Bar("brushed", (), "no frame", True),
            Bar("DShot300", (53.3, 30, 56), "110.7 µs", True),
        ],
        250.0,
    ),
    switch_range(1000, 2000, 1500, 988, (1750, 2100)),
    switch_range(1900, 2000, 1950, 1920, None),
    switch_range(
        1000, 2000, 1500, 988, (1750, 2100), others=[("beeper", 1700, 2100), ("light", 900, 1000)]
    ),
    crossed(
        {
            "roll": ("yaw", True),
            "pitch": ("pitch", False),
            "yaw": ("roll", True),
            "throttle": (None, True),
        }
    ),
    crossed({"roll": ("several", True), "throttle": ("throttle", True)}),
    stick_ends(
        {"roll": ("975", "1504", "2031"), "throttle": ("1000", "1500", "1500")},
        {"roll": (True, False, True), "throttle": (False, False, True)},
    ),
    stick_ends(
        {"yaw": ("0", "0", "0"), "pitch": ("2012", "1500", "988")},
        {"yaw": (True, True, True), "pitch": (True, False, True)},
    ),
    at_rest(
        [
            ("roll", Decimal(1495), Decimal(1509), Decimal(10), True),
            ("pitch", Decimal(1500), Decimal(1500), Decimal(1), False),
        ]
    ),
    at_rest([("yaw", Decimal(0), Decimal(5000), Decimal(3501), True)]),
    cell_zones([(n, Decimal(3 * n), Decimal("4.2") * n) for n in range(4, 9)], Decimal("25.2"), 6),
    cell_zones([(1, Decimal(3), Decimal("4.2"))], Decimal("60.0"), 1),
    switch_range(2000, 1000, None, 2011, (900, 1500)),
    board_in_frame(0, 0, 90),
    board_in_frame(180, 0, -45),
    board_in_frame(0, 90, 0),
    mini_map(example_sheet.sheet()),
    mini_map(samples.rude()),
    mini_map(samples.big()),
    *(pose(kind) for kind in TURNS),
]
SMALL = [
    *(finding_mark(severity, 12) for severity in Severity),
    *(step_mark(state, 4) for state in STEPS),
    *(ticket_mark(state) for state in TICKETS),
    *(power_bars(count) for count in range(4)),
    *(rotation_arc(turn) for turn in ("cw", "ccw")),
    *(face(kind) for kind in FACES),
    *(icon(name) for name in DRAWN),
    logo(),
]


def words(svg: str) -> set[str]:
    return {text for text, _ in looking.texts(looking.parse(svg))}


@pytest.mark.parametrize("svg", WHOLE)
def test_whole_pictures_are_named_and_in_bounds(svg: str) -> None:
    root = looking.parse(svg)
    assert root.attrib["role"] == "img"
    assert root[0].tag.endswith("title")
    assert root[0].text
    wide, high = looking.size(root)
    labels = looking.texts(root)
    for text, (left, top, right, bottom) in labels:
        assert left >= 0, text
        assert right <= wide, text
        assert top >= 0, text
        assert bottom <= high, text
    clash = [(a[0], b[0]) for a, b in combinations(labels, 2) if looking.overlap(a[1], b[1], 1.0)]
    assert not clash


@pytest.mark.parametrize("svg", SMALL)
def test_small_signs_are_decoration_until_named(svg: str) -> None:
    root = looking.parse(svg)
    assert root.attrib["aria-hidden"] == "true"
    assert "role" not in root.attrib
    assert " style=" not in svg


def test_named_sign_is_read_out() -> None:
    root = looking.parse(finding_mark("stop", 1, title="stop 1 <of> 2"))
    assert root.attrib["role"] == "img"
    assert root[0].text == "stop 1 <of> 2"


def test_marks_of_each_kind_differ_without_colour() -> None:
    bare = re.compile(r' (class|aria-hidden)="[^"]*"')
    sets = [
        [finding_mark(severity, 1, colour=False) for severity in Severity],
        [step_mark(state, 4, colour=False) for state in STEPS],
        [ticket_mark(state, colour=False) for state in TICKETS],
        [power_bars(count) for count in range(4)],
    ]
    for found in sets:
        assert len({bare.sub("", svg) for svg in found}) == len(found)


def test_wrong_turn_is_told_and_crossed() -> None:
    svg = craft_from_above(PROPS_IN, PROPS_IN | {"FR": "cw"}, colour=False)
    assert "FR wanted counter-clockwise, found clockwise" in (looking.parse(svg)[0].text or "")
    assert svg.count("<rect") == 2  # the body, and one crossed square
    assert craft_from_above(PROPS_IN, PROPS_IN).count("<rect") == 1


def test_motor_that_did_not_turn_is_wrong() -> None:
    svg = craft_from_above(PROPS_IN, PROPS_IN | {"RL": None})
    assert "found no turn" in words(svg)
    assert svg.count("<rect") == 2


def _arcs(svg: str) -> list[str]:
    return [
        e.attrib["d"]
        for e in looking.parse(svg).iter(f"{looking.SVG}path")
        if " A " in e.attrib["d"]
    ]


def test_arcs_turn_as_their_words_say() -> None:
    # SVG 2, path data: the sweep flag 1 draws towards larger angles, on a page clockwise.
    for turn, flag in (("cw", "1"), ("ccw", "0")):
        (arc,) = _arcs(rotation_arc(turn))
        assert arc.split(" A ")[1].split()[4] == flag


def test_reading_outside_its_limits_says_so() -> None:
    low, high = Decimal("0.24"), Decimal("0.48")
    assert "0.41 A" in words(limits_line(low, high, Decimal("0.41"), "A"))
    assert "0.48 A" in words(limits_line(low, high, Decimal("0.48"), "A"))
    assert "0.49 A, over" in words(limits_line(low, high, Decimal("0.49"), "A"))
    assert "0.2 A, under" in words(limits_line(low, high, Decimal("0.2"), "A"))


@given(st.decimals(-9999, 9999, places=2), st.decimals(0, 99, places=2))
def test_pointer_stands_on_the_readings_side(low: Decimal, span: Decimal) -> None:
    root = looking.parse(limits_line(low, low + span, low - 1, "V"))
    pointer = next(root.iter(f"{looking.SVG}polygon")).attrib["points"].split()
    x = float(pointer[2].split(",")[0])
    assert 0 <= x < 105


@given(st.integers(800, 2200), st.integers(800, 2200), st.integers(800, 2200))
def test_any_switch_can_be_drawn_in_bounds(rest: int, armed: int, middle: int) -> None:
    root = looking.parse(switch_range(rest, armed, middle, rest, (min(rest, armed), 2100)))
    labels = [
        (t, b) for t, b in looking.texts(root) if t.split(" ")[0] in ("rest", "armed", "middle")
    ]
    assert len(labels) == 3
    assert not [1 for a, b in combinations(labels, 2) if looking.overlap(a[1], b[1])]
    wide, high = looking.size(root)
    assert all(b[0] >= 0 and b[2] <= wide and b[1] >= 0 and b[3] <= high for _, b in labels)


def test_switch_axis_is_in_order() -> None:
    places = [x_of(value) for value in (900, 1000, 1500, 2000, 2100)]
    assert places == sorted(set(places))


def test_poses_and_faces_cover_the_trade() -> None:
    assert set(TURNS) == set(POSES)
    assert set(POSE_OF_FACE) == set(FACES)
    for name, held in POSE_OF_FACE.items():
        assert POSES[held] == FACES[name]


def test_side_poses_say_from_behind() -> None:
    for kind in TURNS:
        assert ("from behind" in words(pose(kind))) == (kind in ("right-down", "left-down"))


def _heading(svg: str) -> float:
    turned = [e for e in looking.parse(svg).iter() if "rotate" in e.get("transform", "")]
    return float(turned[0].attrib["transform"].split("rotate(")[1].rstrip(")")) % 360


@pytest.mark.parametrize(
    ("angles", "heading"),
    # ISO 1151-1 axes, worked by hand: where the board's own arrow looks, seen from above.
    [((0, 0, 90), 90), ((0, 0, -45), 315), ((180, 0, 90), 90), ((180, 180, -90), 90)],
)
def test_board_arrow_looks_where_it_should(
    angles: tuple[float, float, float], heading: float
) -> None:
    assert _heading(board_in_frame(*angles)) == heading


def test_board_turned_over_is_told() -> None:
    assert "board turned over" in words(board_in_frame(180, 0, 0))
    assert "board on its edge" in words(board_in_frame(0, 90, 0))
    assert not {w for w in words(board_in_frame(180, 180, -90)) if w.startswith("board")}


def test_small_map_names_ports_and_parts() -> None:
    found = words(mini_map(example_sheet.sheet()))
    assert {"UART1", "receiver", "UART4", "video unit", "UART6", "wireless chip"} <= found
    assert {"free", "LED", "tail light"} <= found


def test_print_has_no_colour_at_all() -> None:
    text = craft_from_above(PROPS_IN, PROPS_IN | {"FR": "cw"}, colour=False)
    found = set(re.findall(r"#[0-9A-Fa-f]{6}", text))
    assert all(len({value[1:3], value[3:5], value[5:7]}) == 1 for value in found)


def test_every_class_has_its_rule() -> None:
    used = {
        name
        for svg in (*WHOLE, *SMALL)
        for c in re.findall(r'class="([^"]*)"', svg)
        for name in c.split()
    }
    hooks = {"dw-text", "dw-part", "dw-taken"}
    css = (Path(__file__).parents[2] / "static/css/drawing.css").read_text()
    for name in used - hooks:
        assert re.search(rf"\.{name}\b", css), name


def test_a_limiter_stands_where_it_cuts_off() -> None:
    svg = limits_line(Decimal("0.21"), Decimal("1.11"), Decimal("0.4"), "A", trips=Decimal("1.5"))
    assert "limiter 1.5 A" in words(svg)
    assert "the limiter cuts off at 1.5 A" in svg


def test_a_frame_longer_than_the_period_is_crossed_out() -> None:
    long = frames([Bar("PWM", (2000.0,), "too long", fits=False)], 250.0)
    short = frames([Bar("DShot300", (53.3, 30.0, 56.0), "110.7 µs", fits=True)], 250.0)
    assert "110.7 µs" in words(short)
    assert len(re.findall("<path", long)) == len(re.findall("<path", short))  # cross, or pause
    ends = [
        float(x) + float(w)
        for x, w in re.findall(r'<rect x="([\d.]+)"[^>]* width="([\d.]+)"', short)
    ]
    period = float(re.search(r'd="M ([\d.]+) 20 V', short)[1])  # type: ignore[index]
    # 139.3 µs of 250 µs is 55.7 %: 16 bits at 300 kbit/s, 30 µs, 21 bits at 375 kbit/s.
    assert (max(ends) - 88) / (period - 88) == pytest.approx(0.557, abs=0.002)


def test_margins_of_an_arming_range_have_their_length() -> None:
    svg = switch_range(1000, 2000, 1500, 988, (1750, 2100))
    shown = [text for text, _ in looking.texts(looking.parse(svg))]
    assert shown.count("250 µs") == 2
    assert "250 µs" not in words(switch_range(1000, 2000, 1500, 988, None))


def test_a_range_that_meets_arming_is_drawn_as_a_fault() -> None:
    svg = switch_range(1000, 2000, radio_off=988, arms=(1500, 2100), others=[("x", 2100, 2200)])
    assert "x 2100 to 2200 µs, with arming" in words(svg)
    clear = switch_range(1000, 2000, radio_off=988, arms=(1500, 2100), others=[("x", 900, 1499)])
    assert "x 900 to 1499 µs" in words(clear)
    assert "dw-signal" not in clear


def test_crossed_sticks_are_faults_in_line_and_word() -> None:
    right = crossed({stick: (stick, True) for stick in ("roll", "yaw")})
    assert "dw-signal" not in right
    wrong = crossed({"roll": ("yaw", True), "yaw": ("roll", False)})
    assert len(re.findall(r'class="dw-signal dw-open"', wrong)) == 2
    assert "falls" in words(wrong)
    assert "roll moves yaw, which rises" in wrong


@given(st.tuples(*[st.integers(0, 5000)] * 3))
def test_any_channel_can_be_drawn_in_bounds(three: tuple[int, int, int]) -> None:
    svg = stick_ends({"throttle": three}, {"throttle": (True, False, True)})
    root = looking.parse(svg)
    wide, _ = looking.size(root)
    assert all(left >= 0 and right <= wide for _, (left, _, right, _) in looking.texts(root))

"""The code against the build-sheet format's own tables, typed here from the format by hand.

Neither runs ahead: a code, a severity, a bar or a word that only one of the two has fails here.
"""

import pytest

from server.trade.rules import RULES, check
from server.trade.sheet.base import LEAD_SIGNALS, SIGNALS
from server.trade.tables.cells import CELLS
from server.trade.tables.kinds import KINDS
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.tables.serial import ROLES, SERIAL, Need, SerialLink
from tests.edits import Edit, add, edited, pad, part, plain_part, port, put, rewire, unwire, wire
from tests.trade.rules.seeding import UART5, gps

# code: severities, and what it may bar as a stop.
FINDINGS = """
pad-unknown             stop          signing power
lead-unknown            stop          signing power battery
device-unknown          stop          signing
pad-crowded             stop          signing
pad-wrong-signal        stop          signing power battery
lines-swapped           stop          signing
lead-forked             stop          signing power
link-split              stop          signing
link-incomplete         stop caution  signing
port-shared             stop          signing
port-taken              stop          signing
port-too-slow           stop          signing
inversion-missing       stop          signing
inversion-unknown       caution       -
inversion-unwanted      stop          signing
one-wire-misplaced      stop          signing
protocol-unspoken       stop          signing
protocol-unset          caution       -
supply-too-high         stop          power battery
supply-too-low          stop caution  signing
supply-missing          stop          signing
ground-missing          stop          power
rail-overloaded         stop          signing
rail-near-limit         caution       -
level-too-high          stop          power signing
receiver-missing        stop          signing
receiver-doubled        stop          signing
output-missing          stop          signing
output-doubled          stop          signing
motor-link-unspoken     stop          signing
feedback-unspoken       stop          signing
motor-link-too-slow     stop          signing
motor-link-tight        caution       -
motor-link-unset        caution       -
timer-clash             caution       -
pack-too-high           stop caution  battery
pack-too-low            stop caution  signing
esc-short-of-current    caution       -
esc-near-limit          note          -
bus-incomplete          stop          signing
ports-beyond-chip       note          -
kind-unknown            note          -
poles-odd               note          -
tip-speed-unlikely      note          -
"""

LINKS = """
CRSF      420000 8N1  upright   yes      caution
SBUS      100000 8E2  inverted  yes      no
FPORT     115200 8N1  inverted  one-wire
IBUS      115200 8N1  upright   yes      no
SUMD      115200 8N1  upright   yes      no
DSM       115200 8N1  upright   yes      no
SRXL2     115200 8N1  upright   one-wire
GHST      420000 8N1  upright   one-wire
MSP       115200 8N1  upright   caution  yes
MAVLINK   57600 8N1   upright   caution  yes
NMEA      115200 8N1  upright   yes      no
UBX       115200 8N1  upright   yes      caution
ESC-TLM   115200 8N1  upright   yes      no
VTX-4800  4800 8N2    upright   one-wire
VTX-9600  9600 8N1    upright   one-wire
SPORT     57600 8N1   inverted  one-wire
EXBUS     125000 8N1  upright   one-wire
"""

SIGNAL_WORDS = "rx tx power ground motor led buzzer ppm sda scl camera analogue video-in video-out"
LEAD_WORDS = "led buzzer camera sda scl analogue video-in video-out"
KIND_WORDS = (
    "receiver video camera overlay position compass light buzzer sensor esc radio-link other"
)
ROLE_WORDS = "receiver telemetry overlay video-control position esc-telemetry ground-link other"
MOTOR_WORDS = "PWM OneShot125 OneShot42 Multishot DShot150 DShot300 DShot600 brushed"
CELL_VOLTS = {"LiPo": (4.20, 3.30), "LiHV": (4.35, 3.30), "Li-ion": (4.20, 2.80)}


def test_codes_severities_and_bars_are_those_of_the_format() -> None:
    wanted = {}
    for line in FINDINGS.strip().splitlines():
        words = line.split()
        severities = {word for word in words[1:] if word in ("stop", "caution", "note")}
        wanted[words[0]] = (severities, set(words[1:]) - severities - {"-"})
    found = {code: ({*rule.severities}, {*rule.bars}) for code, rule in RULES.items()}
    assert found == wanted


@pytest.mark.parametrize("line", LINKS.strip().splitlines(), ids=lambda line: line.split()[0])
def test_links_are_those_of_the_format(line: str) -> None:
    name, baud, frame, level, *ways = line.split()
    row = SERIAL[name]
    assert (row.line, row.level) == (f"{baud} {frame}", level)
    assert _ways(row) == ways


def _ways(row: SerialLink) -> list[str]:
    words = {Need.MUST: "yes", Need.SHOULD: "caution", Need.NO: "no"}
    return ["one-wire"] if row.one_wire else [words[row.hear], words[row.talk]]


def test_no_link_is_in_one_of_the_two_alone() -> None:
    assert SERIAL.keys() == {line.split()[0] for line in LINKS.strip().splitlines()} | {"PPM"}
    assert (SERIAL["PPM"].baud, _ways(SERIAL["PPM"])) == (None, ["yes", "no"])


def test_words_are_those_of_the_format() -> None:
    assert set(SIGNALS) == set(SIGNAL_WORDS.split())
    assert set(LEAD_SIGNALS) == set(LEAD_WORDS.split())
    assert KINDS.keys() == set(KIND_WORDS.split())
    assert ROLES.keys() == set(ROLE_WORDS.split())
    assert MOTOR_LINKS.keys() == set(MOTOR_WORDS.split())
    assert {name: (float(c.full), float(c.empty)) for name, c in CELLS.items()} == CELL_VOLTS


USB = put("board/usb_feeds", ["5V"])
LEAD = "devices/receiver"
CURRENT = (pad("CUR", "analogue"), plain_part("sensor", "analogue", "CUR"))
BARS: list[tuple[str, str, tuple[Edit, ...]]] = [
    ("level-too-high", "power", (UART5, put("board/pads/R5/max_v", 3), gps("R5"))),
    ("level-too-high", "signing", (*CURRENT, put("devices/sensor/leads/0/level_v", 5))),
    ("ground-missing", "power", (unwire("receiver", "GND"),)),
    ("pad-unknown", "signing", (rewire("receiver", "RX", "X9"),)),
    ("pad-unknown", "power", (rewire("receiver", "5V", "X9"),)),
    ("pad-unknown", "power", (rewire("receiver", "GND", "X9"),)),
    ("pad-unknown", "power", (rewire("receiver", "GND", "X9"), rewire("receiver", "TX", "X9"))),
    ("pad-unknown", "signing", (put("esc/outputs/1", "X9"),)),
    ("lead-unknown", "signing", (wire("receiver", "X", "R3"), port("U9", rx="R3"))),
    ("lead-unknown", "power", (wire("receiver", "X", "5V"),)),
    ("lead-unknown", "power", (wire("receiver", "X", "G"),)),
    ("lead-unknown", "battery", (wire("receiver", "X", "M1"),)),
    ("lead-unknown", "power", (wire("receiver", "X", "M1"), wire("receiver", "X", "G"))),
    ("device-unknown", "signing", (wire("nobody", "X", "G"),)),
    ("pad-wrong-signal", "signing", (rewire("receiver", "TX", "LED"),)),
    ("pad-wrong-signal", "battery", (rewire("receiver", "TX", "M1"),)),
    ("pad-wrong-signal", "power", (rewire("receiver", "TX", "5V"),)),
    ("pad-wrong-signal", "power", (rewire("receiver", "TX", "G"),)),
    ("pad-wrong-signal", "power", (rewire("receiver", "5V", "M1"),)),
    ("pad-wrong-signal", "power", (rewire("receiver", "GND", "R1"),)),
    ("pad-wrong-signal", "battery", (put("esc/outputs/1", "LED"),)),
    ("pad-wrong-signal", "power", (put("esc/outputs/1", "VB"),)),
    ("lead-forked", "signing", (UART5, wire("receiver", "TX", "R5"))),
    ("lead-forked", "power", (wire("receiver", "5V", "10V"),)),
    ("supply-too-high", "power", (rewire("receiver", "5V", "10V"),)),
    ("supply-too-high", "battery", (rewire("receiver", "5V", "10V"), USB)),
    (
        "supply-too-high",
        "power",
        (rewire("receiver", "5V", "10V"), put("board/usb_feeds", ["10V"])),
    ),
    ("supply-too-high", "battery", (rewire("receiver", "5V", "VB"),)),
    ("supply-too-high", "battery", (rewire("receiver", "5V", "VB"), USB)),
    (
        "supply-too-high",
        "power",
        (rewire("receiver", "5V", "VB"), put("board/usb_feeds", ["5V", "pack"])),
    ),
    ("supply-too-high", "battery", (rewire("receiver", "5V", "10V"), put("board/usb_feeds", []))),
    ("pack-too-high", "battery", (put("board/supply_v", [9, 25]),)),
    (
        "pack-too-high",
        "battery",
        (put("board/supply_v", [9, 25]), put("board/usb_feeds", ["pack"])),
    ),
    ("pack-too-high", "nothing", (put("battery/chemistry", "LiHV"),)),
    ("pack-too-low", "signing", (put("battery/cells", 2),)),
    ("lines-swapped", "signing", (rewire("video unit", "TX", "T4"),)),
    ("pad-crowded", "signing", (gps("R1"),)),
    ("supply-too-low", "signing", (rewire("video unit", "VIN", "5V"),)),
    (
        "bus-incomplete",
        "signing",
        (
            pad("SDA", "sda"),
            pad("SCL", "scl"),
            wire("compass", "D", "SDA"),
            add(
                "devices",
                device="compass",
                kind="compass",
                supply_v=[3, 6],
                leads=[{"lead": "D", "signal": "sda"}, {"lead": "C", "signal": "scl"}],
            ),
        ),
    ),
    (
        "receiver-doubled",
        "signing",
        (UART5, part("old", "IBUS", role="receiver", leads={"tx": "R5"})),
    ),
    ("timer-clash", "nothing", (put("board/pads/LED/timer", "TIM3"),)),
    ("poles-odd", "nothing", (put("motors/poles", 13),)),
]


@pytest.mark.parametrize(("code", "bars", "edits"), BARS)
def test_a_finding_bars_what_the_format_says(code: str, bars: str, edits: tuple[Edit, ...]) -> None:
    found = {finding.code: finding.bars for finding in check(edited(*edits))}
    assert found[code] == bars


def test_every_bar_of_every_rule_is_shown() -> None:
    shown = {(code, bars) for code, bars, _ in BARS}
    wanted = {(code, str(b)) for code, rule in RULES.items() for b in rule.bars if b != "signing"}
    assert wanted <= shown

"""What a finding says to do names pads that are free and suit, where the board has any."""

import re

import pytest
from hypothesis import given

from server.trade.finding import Finding
from server.trade.rules import check
from server.trade.sheet import Sheet, from_document, to_document
from tests.edits import Edit, drop, edited, pad, part, port, put, rewire, unwire
from tests.strategies import sheets
from tests.trade.rules.seeding import RECEIVER, UART5, gps, vtx


def only(*edits: Edit) -> Finding:
    (finding,) = check(edited(*edits))
    return finding


ADVICE: list[tuple[tuple[Edit, ...], str, str]] = [
    (
        (UART5, gps("SB")),
        "SB has an inverter, and the gps's NMEA is upright.",
        "Move the gps's TX from SB to R5.",
    ),
    (
        (UART5, gps("R1")),
        "The receiver's TX and the gps's TX both drive R1.",
        "Move the gps's TX from R1 to R5.",
    ),
    (
        (rewire("receiver", "TX", "T1"), rewire("receiver", "RX", "R1")),
        "The receiver's TX is on T1, where the board talks too, and the receiver's RX is on R1,"
        " where the board listens too.",
        "Move the receiver's TX from T1 to R1 and move the receiver's RX from R1 to T1.",
    ),
    (
        (unwire("receiver", "RX"),),
        "The receiver speaks CRSF, and its RX is not wired: no telemetry.",
        "Wire the receiver's RX to T1.",
    ),
    (
        (put(f"{RECEIVER}/set_to", "SBUS"), put("board/mcu", "STM32F405")),
        "SBUS is inverted, R1 has no inverter, and the STM32F405 cannot invert.",
        "Set the receiver to CRSF.",
    ),
    (
        (
            put(f"{RECEIVER}/speaks", ["SBUS"]),
            drop(f"{RECEIVER}/set_to"),
            put("board/mcu", "STM32F405"),
        ),
        "SBUS is inverted, R1 has no inverter, and the STM32F405 cannot invert.",
        "Move the receiver's TX from R1 to SB.",
    ),
    (
        (UART5, vtx("R5")),
        "The vtx's ONE is a half-duplex wire on R5, where the board can only listen.",
        "Move the vtx's ONE from R5 to T5.",
    ),
    (
        (rewire("receiver", "5V", "10V"),),
        "Rail 10V gives 10 V, and the receiver takes 5.5 V at most.",
        "Move the receiver's 5V from 10V to 5V.",
    ),
    (
        (UART5, rewire("receiver", "RX", "T5")),
        "The receiver has its two leads on two ports: TX on R1 (UART1) and RX on T5 (UART5).",
        "Move the receiver's RX from T5 to T1.",
    ),
    (
        (rewire("receiver", "TX", "X9"),),
        "The board has no pad X9, and the receiver's TX is wired to it.",
        "Move the receiver's TX from X9 to R1.",
    ),
    (
        (drop("esc/set_to"),),
        "The ESC speaks DShot150, DShot300 and DShot600, and none is chosen.",
        "Set the ESC to DShot300: it fits the loop and leaves the controller headroom.",
    ),
    (
        (put("esc/set_to", "DShot150"),),
        "DShot150 with its reply takes 248.7 µs, 99.47 % of the period of a 4000 Hz loop: it fits"
        " with nothing to spare.",
        "Set the ESC to DShot300 or DShot600, or run the control loop slower.",
    ),
    (
        (put("esc/outputs/2", "M1"),),
        "M1 drives ESC channels 1 and 2 at once.",
        "Wire ESC channel 2 to M2.",
    ),
    (
        (put("devices/video unit/amps", 1.7),),
        "The video unit (1.7 A) draws 1.7 A from rail 10V, over 80 % of its 2 A.",
        "Move the video unit's VIN from 10V to VB.",
    ),
    (
        (gps("R1"),),
        "The receiver's TX and the gps's TX both drive R1.",
        "Set the receiver to SBUS and move the receiver's TX from R1 to SB.",
    ),
    (
        (put("board/pads/LED/timer", "TIM3"), pad("LED2", "led", timer="TIM5")),
        "LED, M1 and M2 share TIM3.",
        "Look up in the board's pad list whether LED, M1 and M2 disturb each other; if they do:"
        " move the tail light's DIN from LED to LED2.",
    ),
]


@pytest.mark.parametrize(("edits", "says", "do"), ADVICE, ids=[do for _, _, do in ADVICE])
def test_the_advice_names_a_free_pad_that_suits(edits, says, do) -> None:
    finding = only(*edits)
    assert finding.says == says
    assert finding.do == do


def test_a_taken_or_slow_port_is_not_advised() -> None:
    taken = port("UART7", rx="R7", tx="T7", taken_by="chip")
    slow = port("UART8", rx="R8", tx="T8", max_baud=9600)
    finding = only(gps("SB"), taken, slow, port("UART9", rx="R9", tx="T9"))
    assert finding.do == "Move the gps's TX from SB to R9."


def test_a_pad_of_too_low_a_level_is_not_advised() -> None:
    low = put("board/pads/R5/max_v", 3.0)
    assert "R5" not in only(UART5, low, gps("SB")).do


def test_a_port_in_use_is_not_advised() -> None:
    finding = only(UART5, part("old", "NMEA", leads={"tx": "R5"}), gps("SB"))
    assert "R5" not in finding.do


MOVE = re.compile(
    r"move the (.+?)'s (\S+) from (.+?) to (.+?)(?= and move | and take | and wire |\.$)", re.I
)


@given(sheets())
def test_taking_the_advice_for_a_link_clears_its_finding(sheet: Sheet) -> None:
    single = ("inversion-unwanted", "inversion-missing", "lines-swapped", "one-wire-misplaced")
    for finding in check(sheet):
        moves = MOVE.findall(finding.do)
        if finding.code not in single or not moves or "take" in finding.do:
            continue
        document = to_document(sheet)
        for device, lead, old, new in moves:
            for wire in document["wires"]:
                if (wire["device"], wire["lead"], wire["pad"]) == (device, lead, old):
                    wire["pad"] = new
        after = check(from_document(document))
        assert all(f.says != finding.says or f.code != finding.code for f in after)

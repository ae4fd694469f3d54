"""Line settings and leads against the published specifications; each row names its source."""

import pytest

from server.trade.tables.serial import SERIAL, Need

MUST, SHOULD, NO = Need.MUST, Need.SHOULD, Need.NO

# (protocol, Bd, frame, inverted, one wire, board hears, board talks, source). A link that is only
# heard or of one wire is so by its source; what is lost without one of two directions is common
# practice, no source.
PUBLISHED = [
    ("CRSF", 420_000, "8N1", False, False, MUST, SHOULD, "crsf.md; its rate is tested below"),
    ("SBUS", 100_000, "8E2", True, False, MUST, NO, "public S.BUS libraries; no specification"),
    ("IBUS", 115_200, "8N1", False, False, MUST, NO, "public i-BUS libraries with protocol notes"),
    ("SUMD", 115_200, "8N1", False, False, MUST, NO, "public SUMD decoder header"),
    ("SRXL2", 115_200, "8N1", False, True, NO, NO, "SRXL2 specification Rev K, 5 and 6.1"),
    ("DSM", 115_200, "8N1", False, False, MUST, NO, "Remote Receiver Interfacing, Rev G, 6 to 8"),
    ("PPM", None, "", False, False, MUST, NO, "public PPM libraries: a timer input, no UART"),
    ("MSP", 115_200, "8N1", False, False, SHOULD, MUST, "from memory"),
    ("NMEA", 115_200, "8N1", False, False, MUST, NO, "common practice, no source"),
    ("UBX", 115_200, "8N1", False, False, MUST, SHOULD, "common practice, no source"),
    ("ESC-TLM", 115_200, "8N1", False, False, MUST, NO, "common practice, no source"),
    ("MAVLINK", 57_600, "8N1", False, False, SHOULD, MUST, "common practice, no source"),
    ("FPORT", 115_200, "8N1", True, True, NO, NO, "common practice, no source"),
    ("GHST", 420_000, "8N1", False, True, NO, NO, "common practice, no source"),
    ("VTX-4800", 4_800, "8N2", False, True, NO, NO, "common practice, no source"),
    ("VTX-9600", 9_600, "8N1", False, True, NO, NO, "common practice, no source"),
    ("SPORT", 57_600, "8N1", True, True, NO, NO, "common practice, no source"),
    ("EXBUS", 125_000, "8N1", False, True, NO, NO, "common practice, no source"),
]


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda row: row[0])
def test_line_and_leads_agree_with_the_source(published) -> None:
    name, *expected, source = published
    row = SERIAL[name]
    found = [row.baud, row.frame, row.inverted, row.one_wire, row.hear, row.talk]
    assert found == expected, source


def test_every_protocol_is_held_against_a_source() -> None:
    assert [row[0] for row in PUBLISHED if not row[-1]] == []
    assert {row[0] for row in PUBLISHED} == SERIAL.keys()


def test_crsf_is_within_a_uarts_tolerance_of_its_specification() -> None:
    # CRSF protocol specification, Hardware: 416666 Bd 8N1, not inverted, full duplex. ST RM0440,
    # table 346: a receiver tolerates 3.33 % on 8N1 with a divider that has a fraction.
    row = SERIAL["CRSF"]
    assert (row.frame, row.inverted, row.one_wire) == ("8N1", False, False)
    assert row.baud is not None
    assert abs(row.baud - 416_666) / 416_666 == pytest.approx(0.0080, abs=0.0001)
    assert abs(row.baud - 400_000) / 420_000 > 0.0333  # the handset side's rate would not do


def test_dsm_is_not_at_the_old_rate() -> None:
    # Remote Receiver Interfacing since Rev E: 115200 8N1. Older texts say 125000, 8.5 % off.
    assert SERIAL["DSM"].baud == 115_200


def test_a_pulse_train_has_no_line() -> None:
    assert (SERIAL["PPM"].line, SERIAL["PPM"].level) == ("", "")

"""Line settings and leads against the published specifications; each row names its source."""

import pytest

from server.trade.tables.serial import SERIAL, Need

# (protocol, Bd, frame, inverted, one wire, source)
PUBLISHED = [
    ("SBUS", 100_000, "8E2", True, False, "public S.BUS libraries; no specification by its owner"),
    ("IBUS", 115_200, "8N1", False, False, "public i-BUS libraries with protocol notes"),
    ("SUMD", 115_200, "8N1", False, False, "public SUMD decoder header"),
    ("SRXL2", 115_200, "8N1", False, True, "SRXL2 specification Rev K, sections 5 and 6.1"),
    ("DSM", 115_200, "8N1", False, False, "Remote Receiver Interfacing, Rev G, sections 6 to 8"),
    ("MSP", 115_200, "8N1", False, False, "from memory"),
    ("NMEA", 115_200, "8N1", False, False, "common practice, no source"),
    ("UBX", 115_200, "8N1", False, False, "common practice, no source"),
    ("ESC-TLM", 115_200, "8N1", False, False, "common practice, no source"),
    ("MAVLINK", 57_600, "8N1", False, False, "common practice, no source"),
    ("FPORT", 115_200, "8N1", True, True, "common practice, no source"),
    ("GHST", 420_000, "8N1", False, True, "common practice, no source"),
    ("VTX-4800", 4_800, "8N2", False, True, "common practice, no source"),
    ("VTX-9600", 9_600, "8N1", False, True, "common practice, no source"),
]


@pytest.mark.parametrize(
    ("name", "baud", "frame", "inverted", "one_wire", "source"), PUBLISHED, ids=lambda v: str(v)
)
def test_line_settings_agree_with_the_source(name, baud, frame, inverted, one_wire, source) -> None:
    row = SERIAL[name]
    found = (row.baud, row.frame, row.inverted, row.one_wire)
    assert found == (baud, frame, inverted, one_wire), source


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


def test_ppm_uses_no_serial_port() -> None:
    # Public PPM libraries: a pulse train into a timer input, not a UART.
    assert (SERIAL["PPM"].baud, SERIAL["PPM"].line, SERIAL["PPM"].level) == (None, "", "")


# CRSF specification (back channel), SRXL2 Rev K, DSM Rev G; the rest common practice, no source.
HEARD_ONLY = {"SBUS", "IBUS", "SUMD", "DSM", "PPM", "NMEA", "ESC-TLM"}


@pytest.mark.parametrize("name", sorted(SERIAL))
def test_a_listening_device_is_not_asked_of_a_talking_one(name: str) -> None:
    row = SERIAL[name]
    if name in HEARD_ONLY:
        assert (row.hear, row.talk) == (Need.MUST, Need.NO)
    elif row.one_wire:
        assert (row.hear, row.talk) == (Need.NO, Need.NO)
    else:
        assert {row.hear, row.talk} == {Need.MUST, Need.SHOULD}


def test_what_is_lost_without_a_direction() -> None:
    # A CRSF receiver on the board's listening pad alone flies, without telemetry: common practice.
    assert (SERIAL["CRSF"].hear, SERIAL["CRSF"].talk) == (Need.MUST, Need.SHOULD)
    assert (SERIAL["UBX"].hear, SERIAL["UBX"].talk) == (Need.MUST, Need.SHOULD)
    assert (SERIAL["MSP"].hear, SERIAL["MSP"].talk) == (Need.SHOULD, Need.MUST)
    assert (SERIAL["MAVLINK"].hear, SERIAL["MAVLINK"].talk) == (Need.SHOULD, Need.MUST)

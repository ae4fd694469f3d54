"""The tables are whole: every row has its source, and every word of the format its row."""

from decimal import Decimal

import pytest

from server.trade.exact import plain, total
from server.trade.tables.cells import CELLS
from server.trade.tables.chips import CHIPS, FAMILIES, family
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.tables.serial import ROLES, ROWS, SERIAL, Need

# The words of the build-sheet format, written out.
PROTOCOLS = (
    "CRSF SBUS FPORT IBUS SUMD SRXL2 DSM GHST PPM MSP MAVLINK NMEA UBX ESC-TLM VTX-4800 VTX-9600"
)
LINKS = "PWM OneShot125 OneShot42 Multishot DShot150 DShot300 DShot600 brushed"
ROLE_WORDS = "receiver overlay video-control position esc-telemetry ground-link other"


def test_the_tables_hold_the_formats_words() -> None:
    assert set(PROTOCOLS.split()) <= SERIAL.keys()
    assert set(LINKS.split()) <= MOTOR_LINKS.keys()
    assert set(ROLE_WORDS.split()) <= ROLES.keys()
    assert {"LiPo", "LiHV", "Li-ion"} <= CELLS.keys()


@pytest.mark.parametrize(
    "row", [*ROWS, *MOTOR_LINKS.values(), *CELLS.values(), *FAMILIES, *CHIPS], ids=str
)
def test_every_row_names_its_source(row) -> None:
    assert len(row.source) > 15


def test_rows_are_not_doubled() -> None:
    assert len(ROWS) == len(SERIAL)
    assert len({row.family for row in FAMILIES}) == len(FAMILIES)


@pytest.mark.parametrize("chip", CHIPS, ids=lambda chip: chip.chip)
def test_every_chip_belongs_to_one_family(chip) -> None:
    found = [row for row in FAMILIES if chip.chip.startswith(row.family)]
    assert found == [family(chip.chip)]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_an_optional_direction_says_what_is_lost(row) -> None:
    assert bool(row.lost) == (Need.SHOULD in (row.hear, row.talk))


def test_only_dshot_can_answer() -> None:
    assert {name for name, row in MOTOR_LINKS.items() if row.digital} == {
        "DShot150",
        "DShot300",
        "DShot600",
    }


def test_a_brushed_link_has_no_frame_time() -> None:
    assert MOTOR_LINKS["brushed"].frame_us() is None
    assert MOTOR_LINKS["brushed"].frame_us(True) is None


def test_sums_do_not_round() -> None:
    parts = [Decimal("1e300"), Decimal("1e-300")]
    assert total(parts) > Decimal("1e300")
    assert total([Decimal("0.1")] * 3) == Decimal("0.3")


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("5.0", "5"),
        ("25.20", "25.2"),
        ("420000", "420000"),
        ("0", "0"),
        ("1E+2", "100"),
        ("0.150", "0.15"),
        ("1E+300", "1E+300"),
        ("1E-300", "1E-300"),
    ],
)
def test_quantities_are_written_without_needless_zeros(number: str, text: str) -> None:
    assert plain(Decimal(number)) == text

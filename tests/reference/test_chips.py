"""Chips against the vendors' register headers and reference manuals."""

import pytest

from server.trade.rules import check
from server.trade.tables.chips import inversion, most_ports
from tests.edits import edited, put

# UART blocks and per-line inversion: ST device headers stm32f303xc.h, stm32f405xx.h,
# stm32f411xe.h, stm32f722xx.h, stm32f745xx.h, stm32h743xx.h, stm32g474xx.h with their reference
# manuals; at32f435_437_usart.h v2.2.4; RP2350: vendor SDK 2.2.0 (two PL011).
CHIPS = [
    ("STM32F303", 5, True),
    ("STM32F405", 6, False),
    ("STM32F411", 3, False),
    ("STM32F722", 8, True),
    ("STM32F745", 8, True),
    ("STM32H743", 9, True),
    ("STM32G474", 6, True),
    ("AT32F435", 8, False),
    ("RP2350", None, True),
]


def ports(chip: str) -> int | None:
    row = most_ports(chip)
    return None if row is None else row.uarts


@pytest.mark.parametrize(("chip", "blocks", "inverts"), CHIPS)
def test_blocks_and_inversion_agree_with_the_vendor(
    chip: str, blocks: int | None, inverts: bool
) -> None:
    assert (ports(chip), inversion(chip)) == (blocks, inverts)


@pytest.mark.parametrize(("chip", "blocks", "inverts"), CHIPS)
@pytest.mark.parametrize("suffix", ["", "RGT6", "vit6", "-A"])
def test_case_and_package_suffix_do_not_matter(chip, blocks, inverts, suffix) -> None:
    for part in (chip + suffix, chip.lower() + suffix):
        assert (ports(part), inversion(part)) == (blocks, inverts)


@pytest.mark.parametrize(("chip", "_blocks", "inverts"), CHIPS)
def test_sbus_needs_an_inverter_where_the_chip_has_none(chip, _blocks, inverts) -> None:
    sheet = edited(put("board/mcu", chip), put("devices/receiver/links/0/set_to", "SBUS"))
    codes = {f.code for f in check(sheet) if f.severity != "note"}
    assert codes == (set() if inverts else {"inversion-missing"})


@pytest.mark.parametrize("chip", ["XMC4700", "STM32L476", "RP2040", "F405", "", "AT32F437"])
def test_a_chip_not_in_the_table_is_not_guessed_at(chip: str) -> None:
    assert inversion(chip) is None
    assert ports(chip) is None

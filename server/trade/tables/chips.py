"""What the flight controllers' chips can do with a serial line by themselves."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Family:
    """A family of chips, named by how its part numbers begin."""

    family: str
    inverts: bool
    source: str


@dataclass(frozen=True, slots=True)
class Chip:
    """One chip's serial blocks: an upper bound, for the board may bring out fewer.

    With `machines` the chip has programmable state machines besides, and no upper bound.
    """

    chip: str
    uarts: int
    source: str
    machines: bool = False


FAMILIES = (
    Family("STM32F3", True, "ST header stm32f303xc.h (CR2 RXINV, TXINV); RM0316"),
    Family("STM32F4", False, "ST headers stm32f405xx.h, stm32f411xe.h: no bit; RM0090, RM0383"),
    Family("STM32F7", True, "ST headers stm32f722xx.h, stm32f745xx.h; RM0431, RM0385"),
    Family("STM32G4", True, "ST header stm32g474xx.h; RM0440 Rev 4, section 37.5.3"),
    Family("STM32H7", True, "ST header stm32h743xx.h; RM0433"),
    Family("AT32F435", False, "vendor register header at32f435_437_usart.h v2.2.4: no such bit"),
    Family("RP2350", True, "vendor SDK 2.2.0, io_bank0.h (INOVER, OUTOVER for each pin)"),
)

# Low-power UARTs are counted: one each on the STM32H743 and the STM32G474.
CHIPS = (
    Chip("STM32F303", 5, "ST header stm32f303xc.h; RM0316"),
    Chip("STM32F405", 6, "ST header stm32f405xx.h; RM0090"),
    Chip("STM32F411", 3, "ST header stm32f411xe.h; RM0383"),
    Chip("STM32F722", 8, "ST header stm32f722xx.h; RM0431"),
    Chip("STM32F745", 8, "ST header stm32f745xx.h; RM0385"),
    Chip("STM32H743", 9, "ST header stm32h743xx.h; RM0433"),
    Chip("STM32G474", 6, "ST header stm32g474xx.h; RM0440 Rev 4"),
    Chip("AT32F435", 8, "vendor register header at32f435_437_usart.h v2.2.4"),
    Chip("RP2350", 2, "vendor SDK 2.2.0, platform_defs.h", machines=True),
)


def family(mcu: str) -> Family | None:
    """The family `mcu` belongs to, in upper or lower case and with any package suffix."""
    part = mcu.upper()
    return next((row for row in FAMILIES if part.startswith(row.family)), None)


def inversion(mcu: str) -> bool | None:
    """Whether the chip inverts a serial line by itself; None for a chip not in the table."""
    row = family(mcu)
    return None if row is None else row.inverts


def most_ports(mcu: str) -> Chip | None:
    """The chip's row, where its serial blocks are the most ports that a board can have.

    None for a chip that is not in the table, and for one with programmable state machines.
    """
    part = mcu.upper()
    row = next((row for row in CHIPS if part.startswith(row.chip)), None)
    return None if row is None or row.machines else row

"""The parts of a build sheet, named and keyed as the build-sheet format names them."""

from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator

from server.trade.sheet.base import (
    A_LIST,
    CHANNELS,
    KEY_OF_SIGNAL,
    LEAD_SIGNALS,
    PACK,
    PROPS,
    SIGNALS,
    SPI,
    Chemistry,
    Loss,
    MotorLinkName,
    Props,
    SheetPart,
    spoken,
    step,
    unique,
    whole,
)
from server.trade.sheet.board import Board, Pad, Port, Rail
from server.trade.sheet.devices import Device, Lead, Link
from server.trade.sheet.types import (
    NAME,
    Amps,
    Flag,
    Name,
    Quantity,
    Span,
    listed,
    read_name,
    refuse,
    shown,
)

USUAL_LOSS = "drop"
USUAL_GUARD_S = "1.5"

__all__ = [
    "CHANNELS",
    "KEY_OF_SIGNAL",
    "LEAD_SIGNALS",
    "PACK",
    "PROPS",
    "SIGNALS",
    "SPI",
    "Battery",
    "Board",
    "Control",
    "Craft",
    "Device",
    "Esc",
    "Lead",
    "Link",
    "LinkLossPlan",
    "Motors",
    "Pad",
    "Port",
    "Rail",
    "Sheet",
    "SheetPart",
    "Wire",
]


class Craft(SheetPart):
    name: Name
    size_in: Quantity | None = None
    props: Props


class Wire(SheetPart):
    device: Name
    lead: Name
    pad: Name


def _outputs(value: Any) -> dict[str, str]:
    if not isinstance(value, dict):
        refuse(f"found {shown(value)}; an object from channel to pad is wanted")
    for channel in value:
        if channel not in CHANNELS:
            refuse(f"unknown channel; allowed: {listed(CHANNELS)}", at=step(channel))
    return {channel: _output(channel, value[channel]) for channel in CHANNELS if channel in value}


def _output(channel: str, value: Any) -> str:
    if type(value) is not str:
        refuse(f"found {shown(value)}; the name of a pad is wanted", at=channel)
    return read_name(value)


Outputs = Annotated[
    dict[str, str],
    PlainValidator(_outputs),
    WithJsonSchema(
        {
            "type": "object",
            "properties": dict.fromkeys(CHANNELS, NAME),
            "additionalProperties": False,
        }
    ),
]


class Esc(SheetPart):
    """The ESC. `amps` and `burst_amps` are per motor; `outputs` is channel to pad."""

    speaks: Annotated[tuple[MotorLinkName, ...], A_LIST]
    set_to: MotorLinkName | None = None
    feedback: Flag = False
    use_feedback: Flag = False
    supply_v: Span
    amps: Amps | None = None
    burst_amps: Amps | None = None
    outputs: Outputs

    @model_validator(mode="after")
    def _speaks_something(self) -> Self:
        spoken(self.speaks)
        return self

    @model_validator(mode="after")
    def _burst_over_rating(self) -> Self:
        if self.amps is not None and self.burst_amps is not None and self.burst_amps < self.amps:
            says = f"found {self.burst_amps}; not less than amps, {self.amps}, is wanted"
            refuse(says, at="burst_amps")
        return self


class Motors(SheetPart):
    """The motors. What no label tells is None."""

    kv: Quantity | None = None
    poles: Annotated[int, *whole(2, 60)] | None = None
    peak_amps: Quantity | None = None


class Battery(SheetPart):
    chemistry: Chemistry
    cells: Annotated[int, *whole(1, 14)]
    capacity_mah: Quantity | None = None


class LinkLossPlan(SheetPart):
    """What the board does once the radio link is lost, and after how many seconds."""

    does: Loss = USUAL_LOSS
    guard_s: Quantity = Decimal(USUAL_GUARD_S)

    @model_validator(mode="after")
    def _both_or_neither(self) -> Self:
        keys = type(self).model_fields
        missing = [key for key in keys if key not in self.model_fields_set]
        if len(missing) == 1:
            refuse("is missing; does and guard_s come together", at=missing[0])
        return self


class Control(SheetPart):
    """The control loop. `loop_hz` is None where the board was erased."""

    loop_hz: Quantity | None = None
    link_loss: LinkLossPlan = Field(default_factory=LinkLossPlan)


class Sheet(SheetPart):
    """One quad's electronics, as found or as left. The rules module's only input."""

    sheet: Annotated[int, *whole(1, 1)]
    craft: Craft
    board: Board
    devices: Annotated[tuple[Device, ...], A_LIST]
    wires: Annotated[tuple[Wire, ...], A_LIST]
    esc: Esc
    motors: Motors
    battery: Battery
    control: Control

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        unique((f"devices[{i}].device", part.device) for i, part in enumerate(self.devices))
        seen: set[tuple[str, str, str]] = set()
        for i, wire in enumerate(self.wires):
            key = (wire.device, wire.lead, wire.pad)
            if key in seen:
                refuse(f"the wire from {shown(wire.device)} is given twice", at=f"wires[{i}]")
            seen.add(key)
        return self

    @model_validator(mode="after")
    def _built_in_parts_fit_the_board(self) -> Self:
        built_in = {part.device for part in self.devices if part.built_in}
        if not built_in:
            return self
        ports = [port.port for port in self.board.ports]
        for i, part in enumerate(self.devices):
            for j, link in enumerate(part.links):
                if link.inside is not None and link.inside not in (*ports, SPI):
                    says = f"found {shown(link.inside)}; ports: {listed([*ports, SPI])}"
                    refuse(says, at=f"devices[{i}].links[{j}].inside")
        for i, wire in enumerate(self.wires):
            if wire.device in built_in:
                says = f"found {shown(wire.device)}, which is built in and has no leads"
                refuse(says, at=f"wires[{i}].device")
        return self

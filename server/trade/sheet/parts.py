"""The parts of a build sheet, named and keyed as the build-sheet format names them."""

from collections.abc import Collection, Iterable, Iterator
from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    PlainValidator,
    WithJsonSchema,
    model_validator,
)

from server.trade.sheet.types import (
    NAME,
    Amps,
    Flag,
    Name,
    Quantity,
    Span,
    listed,
    read_name,
    read_whole,
    read_word,
    refuse,
    shown,
)
from server.trade.tables.cells import CELLS
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.tables.serial import ROLES, SERIAL

PACK = "pack"
DEFAULT_MAX_V = "5.0"
DEFAULT_LEVEL_V = "3.3"
CHANNELS = ("1", "2", "3", "4")
LEAD_SIGNALS = ("led", "buzzer", "camera", "sda", "scl", "analogue")
SIGNALS = ("rx", "tx", "power", "ground", "motor", "ppm", *LEAD_SIGNALS)
PROPS = ("props-in", "props-out")

# The key that only pads of these signals have, and must have.
KEY_OF_SIGNAL = {"port": ("rx", "tx"), "rail": ("power",), "output": ("motor",)}


def _word(allowed: Collection[str]) -> tuple[PlainValidator, WithJsonSchema]:
    return (
        PlainValidator(read_word(allowed)),
        WithJsonSchema({"type": "string", "enum": list(allowed)}),
    )


def _whole(low: int, high: int) -> tuple[PlainValidator, WithJsonSchema]:
    schema = {"type": "integer", "minimum": low, "maximum": high}
    return PlainValidator(read_whole(low, high)), WithJsonSchema(schema)


Signal = Annotated[str, *_word(SIGNALS)]
LeadSignal = Annotated[str, *_word(LEAD_SIGNALS)]
Role = Annotated[str, *_word(ROLES)]
Protocol = Annotated[str, *_word(SERIAL)]
MotorLinkName = Annotated[str, *_word(MOTOR_LINKS)]
Chemistry = Annotated[str, *_word(CELLS)]
Props = Annotated[str, *_word(PROPS)]


class Part(BaseModel):
    """A frozen piece of the sheet that refuses unknown keys and null, by name."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    @model_validator(mode="before")
    @classmethod
    def _known_keys_and_no_null(cls, data: Any) -> Any:
        if isinstance(data, cls):
            return data
        if not isinstance(data, dict):
            refuse(f"found {shown(data)}; an object with keys is wanted")
        known = cls.__pydantic_fields__
        for key, value in data.items():
            if key not in known:
                refuse(f"unknown key; allowed: {listed(known)}", at=_step(key))
            if value is None:
                refuse("found null, which is not a value; leave the key out", at=key)
        return data


def _step(key: object) -> str:
    # A key from outside may hold anything; only plain ones are shown bare.
    plain = isinstance(key, str) and 0 < len(key) <= 60 and key.isprintable()
    return str(key) if plain else shown(key)


def _a_list(value: Any) -> Any:
    if not isinstance(value, list | tuple):
        refuse(f"found {shown(value)}; a list is wanted")
    return value


A_LIST = BeforeValidator(_a_list)


def _spoken(value: tuple[str, ...]) -> None:
    if not value:
        refuse("found an empty list; at least one is wanted", at="speaks")
    for at, word in enumerate(value):
        if word in value[:at]:
            refuse(f"found {shown(word)} twice", at=f"speaks[{at}]")


def _unique(names: Iterable[tuple[str, str]]) -> None:
    """Refuse a (place, name) whose name an earlier one has."""
    seen: dict[str, str] = {}
    for at, name in names:
        if name in seen:
            refuse(f"found {shown(name)}, which {seen[name]} has already", at=at)
        seen[name] = at


class Craft(Part):
    name: Name
    size_in: Quantity | None = None
    props: Props


class Rail(Part):
    rail: Name
    volts: Quantity
    amps: Amps


class Port(Part):
    port: Name
    taken_by: Name | None = None
    software: Flag = False
    max_baud: Quantity | None = None


class Pad(Part):
    """One pad. `max_v` is the highest signal voltage it takes, in V."""

    pad: Name
    signal: Signal
    port: Name | None = None
    rail: Name | None = None
    output: Annotated[int, *_whole(1, 8)] | None = None
    timer: Name | None = None
    max_v: Quantity = Decimal(DEFAULT_MAX_V)
    inverter: Flag = False

    @model_validator(mode="after")
    def _keys_of_its_signal(self) -> Self:
        for key, signals in KEY_OF_SIGNAL.items():
            given = getattr(self, key) is not None
            if given and self.signal not in signals:
                on = " and ".join(signals)
                refuse(f"found on a pad with signal {self.signal!r}; allowed on {on}", at=key)
            if not given and self.signal in signals:
                refuse(f"is missing; a pad with signal {self.signal!r} needs it", at=key)
        return self


class Board(Part):
    maker: Name | None = None
    model: Name
    mcu: Name
    supply_v: Span
    rails: Annotated[tuple[Rail, ...], A_LIST]
    ports: Annotated[tuple[Port, ...], A_LIST]
    pads: Annotated[tuple[Pad, ...], A_LIST]

    @model_validator(mode="after")
    def _names_agree(self) -> Self:
        _unique((f"rails[{i}].rail", rail.rail) for i, rail in enumerate(self.rails))
        _unique((f"ports[{i}].port", port.port) for i, port in enumerate(self.ports))
        _unique((f"pads[{i}].pad", pad.pad) for i, pad in enumerate(self.pads))
        rails = {rail.rail: i for i, rail in enumerate(self.rails)}
        ports = {port.port: i for i, port in enumerate(self.ports)}
        if PACK in rails:
            at = f"rails[{rails[PACK]}].rail"
            refuse("found 'pack', which is the battery itself and not listed", at)
        self._pads_name_what_is_listed(rails, ports)
        return self

    def _pads_name_what_is_listed(self, rails: Collection[str], ports: Collection[str]) -> None:
        for i, pad in enumerate(self.pads):
            if pad.port is not None and pad.port not in ports:
                refuse(f"found {shown(pad.port)}; ports: {listed(ports)}", f"pads[{i}].port")
            if pad.rail is not None and pad.rail not in rails and pad.rail != PACK:
                refuse(f"found {shown(pad.rail)}; rails: {listed(rails)}", f"pads[{i}].rail")


class Link(Part):
    """One serial link of a device. `level_v` is the signal voltage the device drives, in V."""

    role: Role
    speaks: Annotated[tuple[Protocol, ...], A_LIST]
    set_to: Protocol | None = None
    tx: Name | None = None
    rx: Name | None = None
    one_wire: Name | None = None
    in_use: Flag = True
    level_v: Quantity = Decimal(DEFAULT_LEVEL_V)

    @model_validator(mode="after")
    def _speaks_over_a_lead(self) -> Self:
        _spoken(self.speaks)
        if self.tx is None and self.rx is None and self.one_wire is None:
            refuse("has no lead; at least one of tx, rx, one_wire is wanted")
        return self


class Lead(Part):
    lead: Name
    signal: LeadSignal


class Device(Part):
    device: Name
    kind: Name
    maker: Name | None = None
    model: Name | None = None
    supply_v: Span
    amps: Amps
    links: Annotated[tuple[Link, ...], A_LIST] = ()
    leads: Annotated[tuple[Lead, ...], A_LIST] = ()
    power: Name | None = None
    ground: Name | None = None

    @model_validator(mode="after")
    def _lead_names_differ(self) -> Self:
        _unique(self._lead_places())
        return self

    def _lead_places(self) -> Iterator[tuple[str, str]]:
        # One soldering point has one name, whatever it does: all of them share one list.
        for i, link in enumerate(self.links):
            for key in ("tx", "rx", "one_wire"):
                name = getattr(link, key)
                if name is not None:
                    yield f"links[{i}].{key}", name
        for i, lead in enumerate(self.leads):
            yield f"leads[{i}].lead", lead.lead
        for key in ("power", "ground"):
            name = getattr(self, key)
            if name is not None:
                yield key, name


class Wire(Part):
    device: Name
    lead: Name
    pad: Name


def _outputs(value: Any) -> dict[str, str]:
    if not isinstance(value, dict):
        refuse(f"found {shown(value)}; an object from channel to pad is wanted")
    for channel in value:
        if channel not in CHANNELS:
            refuse(f"unknown channel; allowed: {listed(CHANNELS)}", at=_step(channel))
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


class Esc(Part):
    """The ESC. `amps` is per motor; `outputs` is channel to pad."""

    speaks: Annotated[tuple[MotorLinkName, ...], A_LIST]
    set_to: MotorLinkName | None = None
    feedback: Flag = False
    use_feedback: Flag = False
    supply_v: Span
    amps: Amps
    outputs: Outputs

    @model_validator(mode="after")
    def _speaks_something(self) -> Self:
        _spoken(self.speaks)
        return self


class Motors(Part):
    kv: Quantity
    poles: Quantity
    peak_amps: Quantity


class Battery(Part):
    chemistry: Chemistry
    cells: Annotated[int, *_whole(1, 14)]
    capacity_mah: Quantity | None = None


class Control(Part):
    loop_hz: Quantity


class Sheet(Part):
    """One quad's electronics, as found or as left. The rules module's only input."""

    sheet: Annotated[int, *_whole(1, 1)]
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
        _unique((f"devices[{i}].device", part.device) for i, part in enumerate(self.devices))
        seen: set[tuple[str, str, str]] = set()
        for i, wire in enumerate(self.wires):
            key = (wire.device, wire.lead, wire.pad)
            if key in seen:
                refuse(f"the wire from {shown(wire.device)} is given twice", at=f"wires[{i}]")
            seen.add(key)
        return self

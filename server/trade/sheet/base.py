"""What every part of a build sheet is made with: the base model, its words and its lists."""

from collections.abc import Collection, Iterable
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    PlainValidator,
    WithJsonSchema,
    model_validator,
)

from server.trade.sheet.types import listed, read_whole, read_word, refuse, shown
from server.trade.tables.cells import CELLS
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.tables.serial import ROLES, SERIAL

PACK = "pack"
SPI = "SPI"
DEFAULT_MAX_V = "5.0"
ANALOGUE_MAX_V = "3.3"
DEFAULT_LEVEL_V = "3.3"
SOFTWARE_BAUD = "19200"
CHANNELS = ("1", "2", "3", "4")
LEAD_SIGNALS = (
    "led",
    "buzzer",
    "camera",
    "sda",
    "scl",
    "analogue",
    "video-in",
    "video-out",
)
SIGNALS = ("rx", "tx", "power", "ground", "motor", "ppm", *LEAD_SIGNALS)
PROPS = ("props-in", "props-out")
LOSSES = ("drop", "land", "return")

# The key that only pads of these signals have, and must have.
KEY_OF_SIGNAL = {"port": ("rx", "tx"), "rail": ("power",), "output": ("motor",)}


def word(allowed: Collection[str]) -> tuple[PlainValidator, WithJsonSchema]:
    return (
        PlainValidator(read_word(allowed)),
        WithJsonSchema({"type": "string", "enum": list(allowed)}),
    )


def whole(low: int, high: int) -> tuple[PlainValidator, WithJsonSchema]:
    schema = {"type": "integer", "minimum": low, "maximum": high}
    return PlainValidator(read_whole(low, high)), WithJsonSchema(schema)


Signal = Annotated[str, *word(SIGNALS)]
LeadSignal = Annotated[str, *word(LEAD_SIGNALS)]
Role = Annotated[str, *word(ROLES)]
Protocol = Annotated[str, *word(SERIAL)]
MotorLinkName = Annotated[str, *word(MOTOR_LINKS)]
Chemistry = Annotated[str, *word(CELLS)]
Loss = Annotated[str, *word(LOSSES)]
Props = Annotated[str, *word(PROPS)]


class SheetPart(BaseModel):
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
                refuse(f"unknown key; allowed: {listed(known)}", at=step(key))
            if value is None:
                refuse("found null, which is not a value; leave the key out", at=key)
        return data


def step(key: object) -> str:
    # A key from outside may hold anything; only plain ones are shown bare.
    plain = isinstance(key, str) and 0 < len(key) <= 60 and key.isprintable()
    return str(key) if plain else shown(key)


def _a_list(value: Any) -> Any:
    if not isinstance(value, list | tuple):
        refuse(f"found {shown(value)}; a list is wanted")
    return value


A_LIST = BeforeValidator(_a_list)


def spoken(value: tuple[str, ...]) -> None:
    if not value:
        refuse("found an empty list; at least one is wanted", at="speaks")
    for at, word in enumerate(value):
        if word in value[:at]:
            refuse(f"found {shown(word)} twice", at=f"speaks[{at}]")


def unique(names: Iterable[tuple[str, str]]) -> None:
    """Refuse a (place, name) whose name an earlier one has."""
    seen: dict[str, str] = {}
    for at, name in names:
        if name in seen:
            refuse(f"found {shown(name)}, which {seen[name]} has already", at=at)
        seen[name] = at

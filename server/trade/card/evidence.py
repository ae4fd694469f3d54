"""What a step takes as evidence: one small spec a kind, with the limits that it is judged by.

A spec says what to ask for; `judge.py` and `proofs.py` say what an answer is worth.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any, ClassVar

from server.trade.card.text import plain, tie
from server.trade.corners import CORNERS
from server.trade.first_power import Share
from server.trade.poses import FACES

SEEN = {
    "turned": "one motor turned",
    "nothing": "nothing turned",
    "stuttered": "it stuttered",
    "two": "two turned",
}
POSES = {
    "level": "Put the real craft flat, the right way up.",
    "nose-down": "Hold the real craft nose down.",
    "right-down": "Hold the real craft right side down.",
}
STICKS = ("roll", "pitch", "yaw", "throttle")


def _plain(value: object) -> object:
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, str):
        return tie(value)
    if isinstance(value, _Part):
        return value.as_json()
    if isinstance(value, Share):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return dict(value) if isinstance(value, Mapping) else value


@dataclass(frozen=True, slots=True)
class _Part:
    def as_json(self) -> dict[str, Any]:
        """Plain values only; numbers as decimal text."""
        return {field.name: _plain(getattr(self, field.name)) for field in fields(self)}


@dataclass(frozen=True, slots=True)
class Spec(_Part):
    """What one kind of evidence asks for."""

    kind: ClassVar[str]

    def as_json(self) -> dict[str, Any]:
        """The spec with its kind, plain values only."""
        return {"kind": self.kind, **_Part.as_json(self)}


@dataclass(frozen=True, slots=True)
class Option(_Part):
    """One answer of a choice. `says` and `do` are shown when it does not pass."""

    value: str
    label: str
    passes: bool = False
    says: str = ""
    do: str = ""


@dataclass(frozen=True, slots=True)
class Near(_Part):
    """A value lies within `by` of another field, or within `percent` of it where that is more."""

    field: str
    by: Decimal
    percent: Decimal


@dataclass(frozen=True, slots=True)
class Field(_Part):
    """One measured number. Limits are inclusive; None where that side has none.

    `trips` is where a limiter cuts off, in the field's unit. `optional` may be left blank.
    """

    name: str
    label: str
    unit: str
    low: Decimal | None = None
    high: Decimal | None = None
    near: Near | None = None
    under: str = ""
    over: str = ""
    trips: Decimal | None = None
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Tick(Spec):
    """{"done": true}: the hand did what the step says."""

    kind: ClassVar[str] = "tick"
    says: str = "done"


@dataclass(frozen=True, slots=True)
class MotorLink(Tick):
    """A tick for the motor link, with what it was chosen from.

    `link` is the one that the sheet sets, None where none is; `speaks` what the ESC can be set to;
    `loop_hz` the control loop, None where it is not known; `feedback` whether speed comes back on
    it.
    """

    link: str | None = None
    speaks: tuple[str, ...] = ()
    loop_hz: Decimal | None = None
    feedback: bool = False


@dataclass(frozen=True, slots=True)
class Value(Spec):
    """{"values": {name: text}}, or {"instead": value} for one of `instead`.

    `fix` names a correction that is worked out when a value is out: 'voltage-scale' or
    'current-scale'. `alike`: the
    fields are named by outputs, and none may stand out from the others. `shares`: the parts that a
    current is the sum of.
    """

    kind: ClassVar[str] = "value"
    fields: tuple[Field, ...] = ()
    instead: tuple[Option, ...] = ()
    fix: str | None = None
    alike: bool = False
    shares: tuple[Share, ...] = ()


@dataclass(frozen=True, slots=True)
class Cells(Spec):
    """{"cells": "6", "volts": "23.1"}: a pack's cells as counted on it, and its volts by a meter.

    `chemistry` and `wanted` are the sheet's.
    """

    kind: ClassVar[str] = "cells"
    chemistry: str = "LiPo"
    wanted: int = 4


@dataclass(frozen=True, slots=True)
class Choice(Spec):
    """{"choice": value}: what was seen, of the options."""

    kind: ClassVar[str] = "choice"
    asks: str = ""
    options: tuple[Option, ...] = ()


@dataclass(frozen=True, slots=True)
class Order(Spec):
    """{"table": {"1": "FL", ...}}: which corner the firmware in use expects on each output."""

    kind: ClassVar[str] = "order"
    outputs: tuple[int, ...] = (1, 2, 3, 4)
    corners: tuple[str, ...] = CORNERS


@dataclass(frozen=True, slots=True)
class Spins(Spec):
    """{"output": 1, "seen": "turned", "corner": "FL", "turn": "cw"}, one entry a tap.

    `order` is the step whose recorded table says which corner each output has to drive. In a round
    of spinning again a tap has "again": the outputs that are still to come.
    """

    kind: ClassVar[str] = "spins"
    outputs: tuple[int, ...] = (1, 2, 3, 4)
    props: str = "props-in"
    order: str = "motors/order"


@dataclass(frozen=True, slots=True)
class Faces(Spec):
    """{"level": face, "nose-down": face, "right-down": face}, as the screen shows them.

    Or {"level_z": "1" or "-1", "poses": [{"pose", "reading": [x, y, z]}, ...]}, in g, as text.
    """

    kind: ClassVar[str] = "faces"
    poses: tuple[str, ...] = tuple(POSES)
    faces: tuple[str, ...] = tuple(FACES)


@dataclass(frozen=True, slots=True)
class Sticks(Spec):
    """{"stick": "roll", "moved": "roll", "way": "rose"}, one entry a tap.

    `moved` is a channel, 'nothing' or 'several'; `way`, 'rose' or 'fell', belongs to a channel.
    """

    kind: ClassVar[str] = "sticks"
    sticks: tuple[str, ...] = STICKS


@dataclass(frozen=True, slots=True)
class Channels(Spec):
    """{"channel", "low", "centre", "high"} in whole µs, one entry a channel; or all of them at once
    as {"channels": [...]}.

    `unsprung` channels have no rest position, so their centre is recorded and not judged.
    """

    kind: ClassVar[str] = "channels"
    channels: tuple[str, ...] = STICKS
    unsprung: tuple[str, ...] = ("throttle",)
    centre_within: Decimal = Decimal(5)
    ends_within: Decimal = Decimal(10)


@dataclass(frozen=True, slots=True)
class Rest(Spec):
    """{"channels": [{"channel", "low", "high"}, ...]}: the lowest and the highest reading of each
    with nobody's hand on a stick, in whole µs."""

    kind: ClassVar[str] = "rest"
    channels: tuple[str, ...] = ("roll", "pitch", "yaw")
    centre_within: Decimal = Decimal(5)


@dataclass(frozen=True, slots=True)
class Loss(Spec):
    """{"report": "in-time", "channels": {"roll": "nothing", ...}}: with the radio switched off.

    `report` is in-time, late or never; of each channel: nothing, stayed, rest (the middle, for the
    throttle its low end) or elsewhere. `protocol` is the receiver's, where one is set.
    """

    kind: ClassVar[str] = "loss"
    channels: tuple[str, ...] = STICKS
    protocol: str | None = None


@dataclass(frozen=True, slots=True)
class Switch(Spec):
    """{"rest", "armed", "middle"?, "radio_off"} in whole µs; radio_off may be 'none'."""

    kind: ClassVar[str] = "switch"
    switch: str = "arm"


@dataclass(frozen=True, slots=True)
class Others(Spec):
    """{"channel": 5, "others": [{"does", "channel", "low", "high"}, ...]}: what switches bring on.

    `channel` is the one that arms; it may be left out where there are no others. Ends in whole µs.
    `switch` is the step whose readings give the arming range. Channels are counted from 1, sticks
    first.
    """

    kind: ClassVar[str] = "others"
    switch: str = "switches/arm"
    most: int = 8
    channels: tuple[int, int] = (5, 18)


@dataclass(frozen=True, slots=True)
class File(Spec):
    """{"attachment": sha256, "name": ...}, or {"none": reason} where there is nothing to keep."""

    kind: ClassVar[str] = "file"
    says: str = ""
    none_says: str = "There is nothing to keep, because"


@dataclass(frozen=True, slots=True)
class Photo(Spec):
    """{"attachment": sha256, "name": ...}."""

    kind: ClassVar[str] = "photo"
    says: str = ""

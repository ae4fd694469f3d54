"""A tick for the motor link, with what it was chosen from."""

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from server.trade.card.kind import register
from server.trade.card.kinds.tick import Tick, TickKind


@dataclass(frozen=True, slots=True)
class MotorLinkTick(Tick):
    """`{"done": true}`, a tick beside the table that the motor link is chosen from"""

    # `link` is the one that the sheet sets, None where none is; `speaks` what the ESC can be set
    # to; `loop_hz` the control loop; `feedback` whether speed comes back on it.
    kind: ClassVar[str] = "motor-link"
    link: str | None = None
    speaks: tuple[str, ...] = ()
    loop_hz: Decimal | None = None
    feedback: bool = False


@register
class MotorLinkKind(TickKind):
    name = "motor-link"
    spec = MotorLinkTick

"""What the planner answers."""

from dataclasses import dataclass
from typing import Any

from server.trade.wiring.portmap import PortRow

ESC = "esc"
MOTOR_LINK = "motor link"


@dataclass(frozen=True, slots=True)
class Move:
    """One lead moved. `start` None: it was loose; `end` None: it is taken off.

    With `channel` the lead is one of the ESC's motor channels, "1" to "4", and no device's.
    """

    device: str
    lead: str
    start: str | None
    end: str | None
    channel: bool = False

    def as_json(self) -> dict[str, str | None]:
        """The row as the command line prints it."""
        return {"device": self.device, "lead": self.lead, "from": self.start, "to": self.end}


@dataclass(frozen=True, slots=True)
class Change:
    """One setting changed. `link` is the link's number in its device; None for the ESC's own."""

    device: str
    setting: str
    start: str | None
    end: str
    link: int | None = None
    why: str = ""

    def as_json(self) -> dict[str, str | None]:
        """The row as the command line prints it."""
        return {"device": self.device, "setting": self.setting, "from": self.start, "to": self.end}


@dataclass(frozen=True, slots=True)
class Unsolved:
    """What no move and no setting clears: the device or rail, the part of it, and why."""

    device: str
    part: str
    why: str

    def as_json(self) -> dict[str, str | None]:
        """The row as the command line prints it."""
        return {"device": self.device, "part": self.part, "why": self.why}


@dataclass(frozen=True, slots=True)
class Plan:
    """The fewest lead moves, then setting changes, that clear the wiring findings of a sheet.

    `ports` is the port map as wired. What is in `unsolved` stays as it is, but for leads that stood
    in the way of others. `nodes` is how many nodes the searches looked at.
    """

    ports: tuple[PortRow, ...]
    moves: tuple[Move, ...] = ()
    changes: tuple[Change, ...] = ()
    unsolved: tuple[Unsolved, ...] = ()
    nodes: int = 0

    def as_json(self) -> dict[str, Any]:
        """The document that the command line prints."""
        return {
            "ports": [row.as_json() for row in self.ports],
            "moves": [move.as_json() for move in self.moves],
            "changes": [change.as_json() for change in self.changes],
            "unsolved": [item.as_json() for item in self.unsolved],
        }

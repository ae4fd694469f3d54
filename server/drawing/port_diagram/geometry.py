"""Measures of the two layouts, and the places that a laid-out side holds."""

from dataclasses import dataclass, field

from server.drawing.port_diagram.model import Block, DrawnLead, DrawnPart, PadGroup, Run

PITCH = 27.0  # between rows of one block
BLOCK_GAP = 33.0  # between the rows of two blocks, or two groups of pads
HEAD = 40.0  # title strip of a device's box
FIRST, LAST = 61.0, 18.0  # box top to first row, last row to box bottom
BOX_GAP = 14.0


@dataclass(frozen=True, slots=True)
class RoutingChannel:
    """The space between a device's edge and the board's, measured from the device (u = 0).

    Zones in order: tab, label, crossing cell, marks, tracks, pad. `out` is the way from the board
    to the device (1 right, -1 left).
    """

    device_x: float
    board_x: float
    out: int
    device_w: float
    label: tuple[float, float]
    cell: tuple[float, float]
    marks: tuple[float, float]
    tracks: tuple[float, float]
    step: float = 6.5

    @property
    def span(self) -> float:
        """Device edge to board edge."""
        return abs(self.board_x - self.device_x)

    def x(self, u: float) -> float:
        """The page's x of a place in the channel."""
        return self.device_x - self.out * u

    def track(self, index: int) -> float:
        """u of a track; the first lies nearest the device."""
        return self.tracks[0] + index * self.step

    @property
    def capacity(self) -> int:
        """How many tracks there are."""
        return int((self.tracks[1] - self.tracks[0]) // self.step) + 1


@dataclass(slots=True)
class Box:
    """A part's place: top and bottom, and the y of each lead's row."""

    part: DrawnPart
    top: float
    bottom: float
    rows: dict[str, float]


@dataclass(frozen=True, slots=True)
class Trunk:
    """A net that needs an upright piece: rows of its leads and pads, and the track it runs on."""

    net: "Net"
    u: float


@dataclass(slots=True)
class Net:
    """Leads and pads joined by wires: the leads' y after the cell, and the pads' y."""

    runs: list[tuple[DrawnLead, Run]]
    ends: dict[tuple[str, str], float] = field(default_factory=dict)
    pads: dict[str, float] = field(default_factory=dict)

    @property
    def straight(self) -> bool:
        """One lead, one pad, one height."""
        ys = [*self.ends.values(), *self.pads.values()]
        return len(ys) == 2 and abs(ys[0] - ys[1]) < 0.5

    @property
    def reach(self) -> tuple[float, float]:
        """Highest and lowest y of the upright piece."""
        ys = [*self.ends.values(), *self.pads.values()]
        return min(ys), max(ys)


@dataclass(slots=True)
class Side:
    """One column: boxes, pads on that edge of the board, and how the wires run between."""

    channel: RoutingChannel
    boxes: list[Box] = field(default_factory=list)
    groups: list[PadGroup] = field(default_factory=list)
    pads: dict[str, float] = field(default_factory=dict)
    crossed: set[int] = field(default_factory=set)  # id() of blocks whose pair crosses
    nets: list[Net] = field(default_factory=list)
    trunks: list[Trunk] = field(default_factory=list)
    flagged: set[Run] = field(default_factory=set)
    marked: list[float] = field(default_factory=list)  # rows whose end carries marks

    @property
    def bottom(self) -> float:
        """The lowest edge of a box."""
        return max((box.bottom for box in self.boxes), default=0.0)

    @property
    def last_pad(self) -> float:
        """y of the lowest pad."""
        return max(self.pads.values(), default=0.0)


def pair(block: Block) -> tuple[DrawnLead, DrawnLead] | None:
    """The talking and the listening lead of a block that has both."""
    talk = [lead for lead in block if lead.shape == "talk"]
    listen = [lead for lead in block if lead.shape == "listen"]
    return (talk[0], listen[0]) if talk and listen else None

"""The wide port diagram: 800 units, the board in the middle, parts in two columns, ESC below."""

from collections.abc import Sequence

from server.drawing.ink import NAME, TITLE, Ink
from server.drawing.port_diagram.arrange import Cluster, clusters, column
from server.drawing.port_diagram.board import Pads, Plate, gone_stubs, outline, taken_box
from server.drawing.port_diagram.boxes import boxes
from server.drawing.port_diagram.esc import DROP, TALL, esc_below, motor_pads
from server.drawing.port_diagram.filling import fill, label_spans, place_taken
from server.drawing.port_diagram.geometry import FIRST, RoutingChannel, Side
from server.drawing.port_diagram.legend import SIGNS_TALL, signs, wires, wires_tall
from server.drawing.port_diagram.loose import LooseEnds, WireMarks
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import Model
from server.drawing.port_diagram.wires import Wires
from server.drawing.symbols import nose

WIDE = 800.0
TOP = 50.0  # the board's upper edge
BOARD_L, BOARD_R = 300.0, 500.0
BOX_W = 126.0
TAKEN_W = 104.0
ZONES = (
    (16.0, 66.0),  # label
    (66.0, 100.0),  # cell
    (100.0, 126.0),  # marks
    (129.0, 145.0),  # tracks
)
LEFT = RoutingChannel(134.0, BOARD_L, -1, BOX_W, *ZONES)
RIGHT = RoutingChannel(666.0, BOARD_R, 1, BOX_W, *ZONES)
MARKS_A_ROW = 12


def wide(ink: Ink, model: Model, marker: Marker) -> tuple[float, str]:
    """Height and markup of the wide layout."""
    left, right = _halves(clusters(model))
    sides = [column(model, left, LEFT, TOP + 5), column(model, right, RIGHT, TOP + 5)]
    for side in sides:
        marker.note_rows(side)
    held = {group_id for side in sides for group_id in map(id, side.groups)} | _below(model)
    rest = [group for group in model.groups if id(group) not in held]
    fill(sides, rest, TOP + 5 + FIRST)
    taken = [port for port in model.board.ports if port.taken_by is not None]
    spans = label_spans(sides, marker.places.pads(), every_pad=False)
    placed = place_taken(taken, spans, TOP + 52, TAKEN_W)
    low = max([TOP + 90, *(side.last_pad for side in sides), *(span[1] for _, span in placed)])
    bottom = low + 26 + (22 if motor_pads(model) else 0)
    plate = Plate(BOARD_L, TOP, BOARD_R, bottom, 40.0, 97.0)
    middle = (BOARD_L + BOARD_R) / 2
    drawn = [outline(ink, plate)]
    drawn += [taken_box(ink, p, middle - TAKEN_W / 2, TAKEN_W, span) for p, span in placed]
    drawn += [_side(ink, model, side, plate, marker) for side in sides]
    drawn.append(esc_below(ink, model, marker, (BOARD_L, BOARD_R, bottom)))
    legend = wires_tall(model.changed) + 14
    tall = max(
        bottom + DROP + TALL + 8,
        sides[0].bottom + 24 + SIGNS_TALL,
        sides[1].bottom + 24 + legend,
    )
    drawn.append(signs(ink, (9, tall - SIGNS_TALL)))
    drawn.append(wires(ink, (540, tall - legend), model.changed))
    drawn.append(_name(ink, model))
    shift, head = _head(ink, marker)
    return tall + shift, head + f'<g transform="translate(0 {shift:g})">{"".join(drawn)}</g>'


def _below(model: Model) -> set[int]:
    names = set(motor_pads(model))
    return {id(group) for group in model.groups if group.pads[0].pad in names}


def _halves(found: Sequence[Cluster]) -> tuple[Sequence[Cluster], Sequence[Cluster]]:
    """The clusters in order, cut where the taller column is least tall."""
    heights = [cluster.height() for cluster in found]
    cut = min(range(len(found) + 1), key=lambda i: (max(sum(heights[:i]), sum(heights[i:])), -i))
    return found[:cut], found[cut:]


def _side(ink: Ink, model: Model, side: Side, plate: Plate, marker: Marker) -> str:
    wired = Wires(ink, model, side, marker).draw()
    ends = LooseEnds(ink, side, marker).draw()
    marks = WireMarks(side, marker).draw()
    parts = boxes(ink, side, marker)
    pads = Pads(ink, model, side, plate, marker).draw()
    return wired + parts + pads + gone_stubs(ink, model, side) + ends + marks


def _head(ink: Ink, marker: Marker) -> tuple[float, str]:
    """The nose, and marks that had no other place; how far these move the rest down."""
    numbers = marker.left()
    rows = [numbers[i : i + MARKS_A_ROW] for i in range(0, len(numbers), MARKS_A_ROW)]
    marks = [
        marker.draw(n, (520 + 22.5 * i, 24 + 26 * j))
        for j, row in enumerate(rows)
        for i, n in enumerate(row)
    ]
    shift = 26.0 * max(0, len(rows) - 1)
    middle = (BOARD_L + BOARD_R) / 2
    arrow = nose(ink, (middle, TOP + shift - 38))
    said = ink.text((middle + 22, TOP + shift - 20), "nose", NAME, tone="soft")
    return shift, arrow + said + "".join(marks)


def _name(ink: Ink, model: Model) -> str:
    board, middle = model.board, (BOARD_L + BOARD_R) / 2
    room = BOARD_R - BOARD_L - 40
    says = ", ".join(part for part in (board.maker, board.mcu) if part)
    named = ink.text((middle, TOP + 24), board.model, TITLE, "middle", room=room)
    return named + ink.text((middle, TOP + 42), says, anchor="middle", tone="soft", room=room + 20)

"""The narrow port diagram: 350 units, the board down the left, parts stacked at the right."""

from dataclasses import replace

from server.drawing.ink import TITLE, Ink
from server.drawing.port_diagram.arrange import clusters, column
from server.drawing.port_diagram.board import Pads, Plate, gone_stubs, outline, taken_box
from server.drawing.port_diagram.boxes import boxes
from server.drawing.port_diagram.filling import fill, label_spans, place_taken
from server.drawing.port_diagram.geometry import RoutingChannel
from server.drawing.port_diagram.legend import SIGNS_TALL, signs, wires, wires_tall
from server.drawing.port_diagram.loose import LooseEnds, WireMarks
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import DrawnLead, DrawnPart, Model, Run, State
from server.drawing.port_diagram.wires import Wires
from server.drawing.symbols import nose

NARROW = 350.0
TOP = 84.0
BOARD_L, BOARD_R = 6.0, 96.0
ZONES = (
    (16.0, 60.0),  # label
    (60.0, 88.0),  # cell
    (88.0, 114.0),  # marks
    (118.0, 126.0),  # tracks
)
CHANNEL = RoutingChannel(238.0, BOARD_R, 1, 108.0, *ZONES)
MARKS_A_ROW = 13


def narrow(ink: Ink, model: Model, marker: Marker) -> tuple[float, str]:
    """Height and markup of the narrow layout."""
    whole = with_esc(model)
    side = column(whole, clusters(whole), CHANNEL, TOP + 5)
    marker.note_rows(side)
    held = set(map(id, side.groups))
    fill([side], [g for g in whole.groups if id(g) not in held], TOP + 30)
    taken = [port for port in whole.board.ports if port.taken_by is not None]
    width = BOARD_R - BOARD_L - 10
    spans = label_spans([side], (), every_pad=True)
    placed = place_taken(taken, spans, TOP + 14, width)
    low = max([TOP + 60, side.last_pad + 12, *(span[1] for _, span in placed)])
    plate = Plate(BOARD_L, TOP, BOARD_R, max(low + 18, side.bottom), 26.0, 87.0)
    drawn = [outline(ink, plate)]
    drawn += [taken_box(ink, p, BOARD_L + 5, width, span) for p, span in placed]
    drawn.append(Wires(ink, whole, side, marker).draw())
    ends = LooseEnds(ink, side, marker).draw()
    marks = WireMarks(side, marker).draw()
    drawn.append(boxes(ink, side, marker))
    drawn.append(Pads(ink, whole, side, plate, marker).draw())
    drawn += [gone_stubs(ink, whole, side), ends, marks]
    low = plate.bottom + 18
    drawn.append(signs(ink, (6, low)) + wires(ink, (6, low + SIGNS_TALL + 8), model.changed))
    shift, head = _head(ink, model, marker)
    tall = low + SIGNS_TALL + 16 + wires_tall(model.changed)
    return tall + shift, head + f'<g transform="translate(0 {shift:g})">{"".join(drawn)}</g>'


def with_esc(model: Model) -> Model:
    """The same model with the ESC as one part more, its channels as leads in the pads' order."""
    order = {pad.pad: i for i, pad in enumerate(model.board.pads)}
    channels = sorted("1234", key=lambda c: order.get(model.outputs.get(c, ""), len(order)))
    leads = [_channel(model, channel) for channel in channels]
    esc = DrawnPart("", model.esc_says, tuple((lead,) for lead in leads))
    return replace(model, parts=(*model.parts, esc))


def _channel(model: Model, channel: str) -> DrawnLead:
    pad = model.outputs.get(channel)
    state: State = "new" if channel in model.new_outputs else "plain"
    runs = () if pad is None else (Run("", channel, pad, state),)
    return DrawnLead("", channel, "motor", "from-board", runs=runs)


def _head(ink: Ink, model: Model, marker: Marker) -> tuple[float, str]:
    """The board's name and nose, marks without another place; how far these move the rest."""
    board, numbers = model.board, marker.left()
    rows = [numbers[i : i + MARKS_A_ROW] for i in range(0, len(numbers), MARKS_A_ROW)]
    marks = [
        marker.draw(n, (18 + 26 * i, 56 + 26 * j))
        for j, row in enumerate(rows)
        for i, n in enumerate(row)
    ]
    shift = 26.0 * len(rows)
    says = ", ".join(part for part in (board.maker, board.mcu) if part)
    named = ink.text((6, 20), board.model, TITLE, room=NARROW - 12)
    named += ink.text((6, 38), f"{says}, pads grouped by port", tone="soft", room=NARROW - 12)
    middle = (BOARD_L + BOARD_R) / 2
    arrow = nose(ink, (middle, TOP + shift - 32), 24)
    said = ink.text((middle + 20, TOP + shift - 14), "nose", tone="soft")
    return shift, named + "".join(marks) + arrow + said

"""The ESC below the board: motor pads on the board's lower edge, wires straight down."""

from server.drawing.ink import LINE, NAME, TEXT, Ink
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import Model
from server.drawing.svg import Attr, el, escape, group
from server.drawing.symbols import HALF, Point, arrowhead, cross, tab, weight_of

DROP = 62.0  # board's edge to the ESC's edge
TALL = 60.0
MOST = 8  # slots along the board's lower edge
CHANNELS = ("1", "2", "3", "4")

Slot = tuple[str | None, str | None]  # pad on the edge, channel below it


def motor_pads(model: Model) -> tuple[str, ...]:
    """Motor pads that stand on the lower edge: those in use first come in board order."""
    names = [pad.pad for pad in model.board.pads if pad.signal == "motor"]
    used = [name for name in names if name in model.outputs.values()]
    spare = [name for name in names if name not in used][: max(0, MOST - 4 - len(used))]
    return tuple(name for name in names if name in used or name in spare)


def slots(model: Model) -> list[Slot]:
    """Places from left to right. A channel stands below its pad, so that no wire crosses."""
    pads = motor_pads(model)
    made: list[Slot] = []
    for pad in pads:
        channels = [c for c in CHANNELS if model.outputs.get(c) == pad]
        made += [(pad, channel) for channel in channels] or [(pad, None)]
    lost = [c for c in CHANNELS if model.outputs.get(c) not in pads]
    return [*made, *((None, channel) for channel in lost)]


def esc_below(ink: Ink, model: Model, marker: Marker, box: tuple[float, float, float]) -> str:
    """Pads, wires and the ESC's box; `box` is left, right, and y of the board's lower edge."""
    left, right, edge = box
    places = slots(model)
    step = (right - left - 40) / max(4, len(places))
    first = (left + right) / 2 - step * (len(places) - 1) / 2
    xs = [first + step * i for i in range(len(places))]
    top = edge + DROP
    drawn = [_box(ink, model, marker, (left, top, right - left))]
    for pad in dict.fromkeys(pad for pad, _ in places if pad is not None):
        own = [x for x, (p, _) in zip(xs, places, strict=True) if p == pad]
        drawn.append(_pad(ink, pad, sum(own) / len(own), edge, step))
        gone = any(run.pad == pad and not run.device for run in model.gone)
        if gone and pad not in model.outputs.values():
            drawn.append(_gone(ink, (sum(own) / len(own), edge)))
        for x, (p, channel) in zip(xs, places, strict=True):
            if p == pad and channel is not None:
                way = ((x, sum(own) / len(own)), (edge, top))
                drawn.append(_drive(ink, marker, channel, way, channel in model.new_outputs))
    for x, (p, channel) in zip(xs, places, strict=True):
        if p is None and channel is not None:
            drawn.append(_lost(ink, model, marker, channel, (x, top), step))
        if channel is not None:
            drawn.append(ink.circle((x, top), HALF) + _number(ink, channel, (x, top)))
    return group(drawn)


def _number(ink: Ink, channel: str, at: tuple[float, float]) -> str:
    return ink.text((at[0], at[1] + 4.5), channel, anchor="middle")


def _pad(ink: Ink, pad: str, x: float, edge: float, step: float) -> str:
    name = ink.text((x, edge - 14), pad, anchor="middle", room=step - 3)
    title = el("title", {}, escape(f"{pad}: motor"))
    return group([title, tab(ink, (x, edge), "motor", 1), name])


def _drive(ink: Ink, marker: Marker, channel: str, way: tuple[Point, Point], new: bool) -> str:
    """A motor wire, its arrowhead half way; `way` is x of channel and pad, y of both edges."""
    x, y = way
    numbers = marker.places.at("output", channel)
    tone = marker.tone(numbers)
    middle = (y[0] + y[1]) / 2
    top = y[0] + HALF
    steps: list[str | float] = ["M", x[1], top]
    if x[0] != x[1]:
        top = y[0] + 24
        steps += ["L", x[1], y[0] + 15, "L", x[0], top]
    more: dict[str, Attr] = {"stroke_dasharray": "7 4"}
    if tone == "signal":
        steps, more = [*steps, *_teeth(x[0], top, y[1] - HALF)], {}
    steps += ["L", x[0], y[1] - HALF]
    line = ink.line(steps, tone, 6.0 if new else weight_of(tone), **more)
    line += ink.line(steps, "card", LINE - 0.5) if new else ""
    head = arrowhead(ink, (x[0], middle + 6), (0, 1), tone)
    return line + head + marker.row(numbers, [(x[0], middle)], "esc")


def _gone(ink: Ink, at: Point) -> str:
    x, y = at
    steps: list[str | float] = ["M", x, y + HALF + 2, "v", 18]
    dotted = ink.line(steps, stroke_dasharray="1 4", stroke_linecap="round")
    return dotted + cross(ink, (x, y + HALF + 22), 4.5)


def _teeth(x: float, top: float, bottom: float) -> list[str | float]:
    """An upright saw-tooth."""
    steps: list[str | float] = ["L", x, top]
    run = (bottom - top) / 8
    for i in range(4):
        aside = 4.0 if i % 2 == 0 else -4.0
        steps += ["l", aside, run, "l", -aside, run]
    return steps


def _lost(
    ink: Ink, model: Model, marker: Marker, channel: str, at: tuple[float, float], step: float
) -> str:
    """A channel without a motor pad: a short dashed stub, the pad's name, the mark."""
    x, top = at
    pad = model.outputs.get(channel)
    numbers = marker.places.at("output", channel)
    tone = marker.tone(numbers)
    stub = ink.line(["M", x, top - HALF, "V", top - 18], tone, weight_of(tone))
    said = ink.text((x, top - 21), pad, anchor="middle", tone="soft", room=step - 2) if pad else ""
    return stub + said + marker.row(numbers, [(x, top - (44 if pad else 28))], "esc")


def _box(ink: Ink, model: Model, marker: Marker, at: tuple[float, float, float]) -> str:
    x, y, w = at
    numbers = marker.owed("esc", "esc")[:3]
    marks = [marker.draw(n, (x + w - 17 - 28 * i, y + 36)) for i, n in enumerate(reversed(numbers))]
    room = w - 20 - 28 * len(numbers)
    middle = x + 10 + room / 2
    name = ink.text(
        (middle, y + 30),
        "ESC, four motors" if len(numbers) < 2 else "ESC",
        NAME,
        "middle",
        room=room,
    )
    says = ink.text((middle, y + 48), model.esc_says, TEXT, "middle", "soft", room)
    return ink.rect((x, y, w, TALL)) + name + says + "".join(marks)

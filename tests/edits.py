"""Small edits to a build-sheet document, so that a test says only what it changes.

An edit is a function that changes a document in place. Paths step through keys, list places and
the names of pads, ports, rails and devices: 'board/pads/R1/max_v', 'devices/receiver/links/0/tx'.
"""

from collections.abc import Callable
from copy import deepcopy
from typing import Any

from server.trade.sheet import Sheet, from_document
from tests import example_sheet

Document = dict[str, Any]
Edit = Callable[[Document], object]


def edited(*edits: Edit) -> Sheet:
    """The example sheet after the edits, in order."""
    document = example_sheet.document()
    for edit in edits:
        edit(document)
    return from_document(document)


def _step(value: Any, step: str) -> Any:
    if isinstance(value, dict):
        return value[step]
    if step.isdigit():
        return value[int(step)]
    return next(item for item in value if _name(item) == step)


def _name(item: Document) -> str:
    return str(next(iter(item.values())))


def _walk(document: Document, steps: list[str]) -> Any:
    value: Any = document
    for step in steps:
        value = _step(value, step)
    return value


def put(path: str, value: object) -> Edit:
    """Set one key."""
    *steps, last = path.split("/")
    return lambda document: _walk(document, steps).__setitem__(last, deepcopy(value))


def drop(path: str) -> Edit:
    """Leave one key out, or take one named item off its list."""
    *steps, last = path.split("/")

    def edit(document: Document) -> None:
        holder = _walk(document, steps)
        if isinstance(holder, dict):
            del holder[last]
        else:
            holder.remove(_step(holder, last))

    return edit


def add(path: str, **item: object) -> Edit:
    """Add one item to a list: a new one each time, as later edits may change it."""
    return lambda document: _walk(document, path.split("/")).append(deepcopy(item))


def wire(device: str, lead: str, pad: str) -> Edit:
    """One more wire."""
    return add("wires", device=device, lead=lead, pad=pad)


def unwire(device: str, lead: str) -> Edit:
    """No wire on this lead."""

    def edit(document: Document) -> None:
        kept = [w for w in document["wires"] if (w["device"], w["lead"]) != (device, lead)]
        assert len(kept) < len(document["wires"]), f"{device} {lead} has no wire to take off"
        document["wires"] = kept

    return edit


def rewire(device: str, lead: str, pad: str) -> Edit:
    """This lead on another pad."""

    def edit(document: Document) -> None:
        unwire(device, lead)(document)
        wire(device, lead, pad)(document)

    return edit


def pad(name: str, signal: str, **keys: object) -> Edit:
    """One more pad on the board."""
    return add("board/pads", pad=name, signal=signal, **keys)


def port(name: str, rx: str | None = None, tx: str | None = None, **keys: object) -> Edit:
    """One more port, with its pads."""

    def edit(document: Document) -> None:
        add("board/ports", port=name, **keys)(document)
        for signal, pad_name in (("rx", rx), ("tx", tx)):
            if pad_name is not None:
                pad(pad_name, signal, port=name)(document)

    return edit


def part(
    name: str,
    *speaks: str,
    role: str = "other",
    leads: dict[str, str] | None = None,
    **link: object,
) -> Edit:
    """A device without power leads and with one link; `leads` is kind of lead to pad.

    The leads are named after their kinds: 'TX', 'RX', 'ONE'.
    """

    def edit(document: Document) -> None:
        names = {"tx": "TX", "rx": "RX", "one_wire": "ONE"}
        kinds = {kind: names[kind] for kind in leads or {}}
        whole = {"role": role, "speaks": list(speaks), **kinds, **link}
        add("devices", device=name, kind="other", supply_v=[3.0, 6.0], amps=0.0, links=[whole])(
            document
        )
        for kind, pad_name in (leads or {}).items():
            if pad_name:
                wire(name, names[kind], pad_name)(document)

    return edit


def plain_part(name: str, signal: str, *pads: str) -> Edit:
    """A device without power leads and with one lead 'L' of this signal, on these pads."""

    def edit(document: Document) -> None:
        lead = {"lead": "L", "signal": signal}
        add("devices", device=name, kind="other", supply_v=[3.0, 6.0], amps=0.0, leads=[lead])(
            document
        )
        for pad_name in pads:
            wire(name, "L", pad_name)(document)

    return edit

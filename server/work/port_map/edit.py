"""What a hand changes on a map, as a new sheet. Pure: a sheet and the answers in, a sheet out.

Answers are by place: device 0, lead 1, wire 0 is '0-1-0'; device 0, link 1 is '0-1'. An answer that
is not there means not wired, or not set, as an empty select is not sent.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from server.trade import sheet as sheets
from server.trade.sheet import Device, Link, Sheet, Wire
from server.trade.wiring.leads import LeadView, leads_of, links_of
from server.work.errors import Unfit


@dataclass(frozen=True)
class Slot:
    """One end of a lead that can be on a pad; `wire` is its place among the wires, None if loose.

    A lead on two pads has two slots.
    """

    key: str
    lead: LeadView
    wire: int | None
    pad: str


@dataclass(frozen=True)
class Answers:
    """The leads form."""

    pads: Mapping[str, str] = field(default_factory=dict)
    strays: Mapping[str, str] = field(default_factory=dict)
    outputs: Mapping[str, str] = field(default_factory=dict)
    set_to: Mapping[str, str] = field(default_factory=dict)
    in_use: Mapping[str, bool] = field(default_factory=dict)
    esc_set_to: str = ""
    use_feedback: bool = False


def slots(sheet: Sheet) -> tuple[Slot, ...]:
    """Every lead of every device in order, with where it goes."""
    at: dict[tuple[str, str], list[int]] = {}
    for number, wire in enumerate(sheet.wires):
        at.setdefault((wire.device, wire.lead), []).append(number)
    return tuple(
        Slot(f"{d}-{n}-{i}", lead, wire, sheet.wires[wire].pad if wire is not None else "")
        for d, part in enumerate(sheet.devices)
        for n, lead in enumerate(leads_of(part, links_of(part)))
        for i, wire in enumerate(at.get((part.device, lead.name)) or [None])
    )


def strays(sheet: Sheet) -> dict[str, Wire]:
    """Wires that name a device or a lead which the sheet does not have, by their place."""
    known = {slot.wire for slot in slots(sheet)}
    return {str(n): wire for n, wire in enumerate(sheet.wires) if n not in known}


def edited(sheet: Sheet, answers: Answers) -> Sheet:
    """The sheet as it is with these answers. Raises Unfit for a pad or protocol not offered."""
    return sheet.model_copy(
        update={
            "wires": _wires(sheet, answers),
            "devices": tuple(_device(d, part, answers) for d, part in enumerate(sheet.devices)),
            "esc": _esc(sheet, answers),
        }
    )


def _wires(sheet: Sheet, answers: Answers) -> tuple[Wire, ...]:
    wires: list[Wire | None] = list(sheet.wires)
    for slot in slots(sheet):
        pad = answers.pads.get(slot.key, "")
        if pad == slot.pad:
            continue
        wire = _wire(sheet, slot.lead.device.device, slot.lead.name, pad)
        if slot.wire is None:
            wires.append(wire)
        else:
            wires[slot.wire] = wire
    for key, stray in strays(sheet).items():
        pad = answers.strays.get(key, "")
        if pad != stray.pad:
            wires[int(key)] = _wire(sheet, stray.device, stray.lead, pad)
    return tuple(dict.fromkeys(wire for wire in wires if wire is not None))


def _wire(sheet: Sheet, device: str, lead: str, pad: str) -> Wire | None:
    if not pad:
        return None
    _require_pad(sheet, pad)
    return Wire(device=device, lead=lead, pad=pad)


def _require_pad(sheet: Sheet, pad: str) -> None:
    if pad not in {known.pad for known in sheet.board.pads}:
        raise Unfit("", f"The board has no pad {pad}.", "Load the page again.")


def _device(number: int, part: Device, answers: Answers) -> Device:
    links = tuple(
        _link(link, f"{number}-{index}", answers) for index, link in enumerate(part.links)
    )
    return part if links == part.links else part.model_copy(update={"links": links})


def _link(link: Link, key: str, answers: Answers) -> Link:
    update: dict[str, object] = {}
    chosen = _chosen(answers.set_to.get(key, ""), link.set_to, link.speaks)
    if chosen != link.set_to:
        update["set_to"] = chosen
    if answers.in_use.get(key, False) != link.in_use:
        update["in_use"] = not link.in_use
    return link.model_copy(update=update) if update else link


def _chosen(said: str, stands: str | None, speaks: tuple[str, ...]) -> str | None:
    if said and said != stands and said not in speaks:
        raise Unfit("", f"{said} is not among what it speaks.", "Load the page again.")
    return said or None


def _esc(sheet: Sheet, answers: Answers) -> sheets.Esc:
    esc = sheet.esc
    update: dict[str, object] = {}
    outputs = {channel: pad for channel, pad in sorted(answers.outputs.items()) if pad}
    if outputs != esc.outputs:
        for pad in set(outputs.values()) - set(esc.outputs.values()):
            _require_pad(sheet, pad)
        if outputs.keys() - {"1", "2", "3", "4"}:
            raise Unfit("", "An ESC has the channels 1 to 4.", "Load the page again.")
        update["outputs"] = outputs
    chosen = _chosen(answers.esc_set_to, esc.set_to, esc.speaks)
    if chosen != esc.set_to:
        update["set_to"] = chosen
    if answers.use_feedback != esc.use_feedback:
        update["use_feedback"] = answers.use_feedback
    return esc.model_copy(update=update) if update else esc


def with_part(sheet: Sheet, part: Device) -> Sheet:
    """The sheet with one part more, last. Raises SheetError where its name is taken."""
    return _checked(sheet, devices=(*sheet.devices, part))


def without_part(sheet: Sheet, name: str) -> Sheet:
    """The sheet without a part and the wires on its leads."""
    return sheet.model_copy(
        update={
            "devices": tuple(part for part in sheet.devices if part.device != name),
            "wires": tuple(wire for wire in sheet.wires if wire.device != name),
        }
    )


def for_craft(sheet: Sheet, craft: str) -> Sheet:
    """A past build's sheet taken over for another craft: its wiring, this craft's name."""
    named = sheets.part_from_document(
        sheets.Craft, sheet.craft.model_dump(exclude_unset=True) | {"name": craft}
    )
    return sheet.model_copy(update={"craft": named})


def _checked(sheet: Sheet, **parts: object) -> Sheet:
    given = {key: getattr(sheet, key) for key in type(sheet).model_fields}
    return sheets.from_document(given | parts)

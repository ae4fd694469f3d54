"""What is asked on the map's pages, and where a sheet's error belongs among the fields."""

import re
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BaseModel, Field

from server.trade.sheet import SheetError
from server.web.site.forms import Form, Number
from server.work.port_map.edit import Answers

_STEP = re.compile(r"[A-Za-z_]+|\[\d+\]")


class SeenMap(BaseModel):
    """Which map the page showed: the draft's number, and the first digits of its digest."""

    version: Annotated[int, Field(ge=0)] = 0
    base: Annotated[str, Field(max_length=64)] = ""


class LeadsForm(SeenMap):
    """Where each lead goes, and what each link is set to."""

    pads: dict[str, str] = {}
    strays: dict[str, str] = {}
    outputs: dict[str, str] = {}
    set_to: dict[str, str] = {}
    in_use: dict[str, bool] = {}
    esc_set_to: str = ""
    use_feedback: bool = False

    def answers(self) -> Answers:
        """As the edit takes them."""
        return Answers(**self.model_dump(exclude={"version", "base"}))


class SaveForm(SeenMap):
    """Save what is drawn up, or with the planner's moves made; `asked` are the steps that the page
    said it re-opens.
    """

    moves: bool = False
    asked: list[str] = []


class StartForm(BaseModel):
    """Where a first map starts from."""

    build: int | None = None
    board: int | None = None


class SheetForm(BaseModel):
    """A build sheet as a file."""

    sheet: Annotated[Any, Field(description="which file")]


class RemoveForm(SeenMap):
    """The part to take off."""

    device: Annotated[str, Field(description="which part")]


class ValuesForm(SeenMap):
    """All that a sheet needs beside board, parts and wires. `board` where a new map starts."""

    board: int | None = None
    craft_name: Annotated[str, Field(max_length=60, description="the craft’s name")]
    size_in: Number | None = None
    props: Annotated[str, Field(description="which way the props turn")]
    speaks: Annotated[list[str], Field(description="what the ESC speaks")]
    esc_set_to: str | None = None
    feedback: bool = False
    use_feedback: bool = False
    esc_low: Annotated[Number, Field(description="the lowest voltage of the ESC")]
    esc_high: Annotated[Number, Field(description="the highest voltage of the ESC")]
    esc_amps: Annotated[Number, Field(description="the ESC’s current for each motor")]
    outputs: dict[str, str] = {}
    kv: Annotated[Number, Field(description="the motors’ kv")]
    poles: Annotated[Number, Field(description="how many poles a motor has")]
    peak_amps: Annotated[Number, Field(description="the highest current of one motor")]
    chemistry: Annotated[str, Field(description="which chemistry")]
    cells: Annotated[Number, Field(description="how many cells")]
    capacity_mah: Number | None = None
    loop_hz: Annotated[Number, Field(description="how often the controller runs")]

    def document(self) -> dict[str, Any]:
        """The sheet's parts by key; what was left empty is left out."""
        esc = {
            "speaks": self.speaks,
            "set_to": self.esc_set_to,
            "feedback": self.feedback or None,
            "use_feedback": self.use_feedback or None,
            "supply_v": [self.esc_low, self.esc_high],
            "amps": self.esc_amps,
            "outputs": self.outputs,
        }
        return {
            "craft": given(name=self.craft_name, size_in=self.size_in, props=self.props),
            "esc": given(**esc),
            "motors": given(kv=self.kv, poles=self.poles, peak_amps=self.peak_amps),
            "battery": given(
                chemistry=self.chemistry, cells=self.cells, capacity_mah=self.capacity_mah
            ),
            "control": {"loop_hz": self.loop_hz},
        }


class DeviceForm(BaseModel):
    """A part as the catalogue keeps it: up to two serial links, and leads that belong to none."""

    kind: Annotated[str, Field(max_length=60, description="what kind of part it is")]
    maker: str | None = None
    model: str | None = None
    supply_low: Annotated[Number, Field(description="the lowest supply voltage")]
    supply_high: Annotated[Number, Field(description="the highest supply voltage")]
    amps: Annotated[Number, Field(description="how much current it draws")]
    role_1: str | None = None
    speaks_1: list[str] = []
    tx_1: str | None = None
    rx_1: str | None = None
    one_wire_1: str | None = None
    role_2: str | None = None
    speaks_2: list[str] = []
    tx_2: str | None = None
    rx_2: str | None = None
    one_wire_2: str | None = None
    leads: str = ""
    power: str | None = None
    ground: str | None = None

    def document(self) -> dict[str, Any]:
        """The sheet's entry without the part's name."""
        links = [link for link in (self._link("1"), self._link("2")) if link]
        leads = [_other_lead(line) for line in self.leads.splitlines() if line.strip()]
        return given(
            kind=self.kind,
            maker=self.maker,
            model=self.model,
            supply_v=[self.supply_low, self.supply_high],
            amps=self.amps,
            links=links or None,
            leads=leads or None,
            power=self.power,
            ground=self.ground,
        )

    def _link(self, n: str) -> dict[str, Any]:
        told = {key: getattr(self, f"{key}_{n}") for key in ("role", "tx", "rx", "one_wire")}
        speaks = getattr(self, f"speaks_{n}")
        return given(**told, speaks=speaks) if speaks or any(told.values()) else {}


class PartForm(SeenMap, DeviceForm):
    """A part entered on the spot."""

    device: Annotated[str, Field(max_length=60, description="what it is called on this craft")]


class FromModelForm(SeenMap):
    """A part of a model in the catalogue."""

    model_id: Annotated[int, Field(description="which part")]
    device: Annotated[str, Field(max_length=60, description="what it is called on this craft")]


def given(**told: Any) -> dict[str, Any]:
    """What is there; None is left out."""
    return {key: value for key, value in told.items() if value is not None}


def _other_lead(line: str) -> dict[str, str]:
    name, _, signal = line.strip().rpartition(" ")
    return {"lead": name.strip(), "signal": signal} if name else {"lead": signal, "signal": ""}


_VALUES = {
    "craft.name": "craft_name",
    "craft.size_in": "size_in",
    "craft.props": "props",
    "esc.speaks": "speaks",
    "esc.set_to": "esc_set_to",
    "esc.feedback": "feedback",
    "esc.use_feedback": "use_feedback",
    "esc.supply_v": "esc_low",
    "esc.amps": "esc_amps",
    "motors.kv": "kv",
    "motors.poles": "poles",
    "motors.peak_amps": "peak_amps",
    "battery.chemistry": "chemistry",
    "battery.cells": "cells",
    "battery.capacity_mah": "capacity_mah",
    "control.loop_hz": "loop_hz",
}


def value_field(at: str) -> str:
    """The field of ValuesForm that a place in the sheet was filled from; '' is the form."""
    if at.startswith("esc.outputs."):
        return f"outputs[{at.removeprefix('esc.outputs.')}]"
    return next((name for place, name in _VALUES.items() if at.startswith(place)), "")


def device_field(at: str, form: Form[Any]) -> str:
    """The field of DeviceForm that a place in a part's entry was filled from; '' is the form."""
    steps = _STEP.findall(re.sub(r"^devices\[\d+\]\.?", "", at))
    if not steps:
        return ""
    if steps[0] == "links" and len(steps) > 1:
        # A form with only its second link filled makes that the sheet's first.
        told = [n for n in "12" if _has_link(form, n)]
        place = int(steps[1][1:-1])
        n = told[place] if place < len(told) else "1"
        key = steps[2] if len(steps) > 2 else "tx"
        return f"{key if key in ('role', 'speaks', 'tx', 'rx', 'one_wire') else 'tx'}_{n}"
    first = str(steps[0])
    return "supply_low" if first == "supply_v" else first


def _has_link(form: Form[Any], n: str) -> bool:
    return any(form.text(f"{key}_{n}") for key in ("role", "speaks", "tx", "rx", "one_wire"))


def plainly(wrong: SheetError) -> str:
    """The sheet's error as a sentence beside the field."""
    says = wrong.says
    return says[:1].upper() + says[1:] + ("" if says.endswith(".") else ".")


def number_text(value: Decimal | int | None) -> str | None:
    """A quantity as it stands in a field."""
    return (
        None if value is None else format(value, "f") if isinstance(value, Decimal) else str(value)
    )

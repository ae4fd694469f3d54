"""The forms of the bench: for each kind of evidence, what is posted and the answer it makes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from starlette.datastructures import FormData, UploadFile

from server.trade.card import BadAnswer, Step
from server.trade.card.answers import number
from server.trade.card.evidence import POSES
from server.trade.card.text import plain
from server.web.bench.hidden_fields import Answer, Carried, Errors, Texts, moment
from server.web.bench.kinds import radio_forms as radio
from server.web.bench.kinds import solver_forms as solvers
from server.web.site import forms
from server.web.site.forms import Form


class TickForm(Carried):
    """The button is the answer."""


class ValueForm(Carried):
    """Readings by field, or the button for what happened in their place."""

    values: Texts
    instead: str = ""


class CellsForm(Carried):
    """A pack's cells and volts."""

    cells: str = ""
    volts: str = ""


class ChoiceForm(Carried):
    """One button an option."""

    choice: str = ""


class OrderForm(Carried):
    """A corner for each output."""

    table: Texts


class FileForm(Carried):
    """A file, or why there is none. `kept` is the digest of one that was sent before."""

    file: UploadFile | None = None
    none: str = ""
    kept: str = ""


class PhotoForm(FileForm):
    """A photo, which is made anew before it is kept."""


@dataclass(frozen=True)
class Told:
    """A form as it was sent, with its answer; no answer where something is wrong with it."""

    form: Form[Any]
    answer: Answer | None
    given: Carried | None
    basis: str
    seen: int
    under: str
    made_at: datetime | None


def told(step: Step, sent: FormData) -> Told:
    """What was posted for `step`."""
    kind = step.evidence.kind
    form = forms.read(MODELS[kind], sent)
    seen = form.text("seen")
    carried = (
        form.text("basis"),
        int(seen) if seen.isdecimal() else 0,
        form.text("under"),
        moment(form.text("made_at")),
    )
    if form.filled is None:
        return Told(form, None, None, *carried)
    answer, errors = _ANSWERS[kind](step.evidence, form.filled)
    given = form.filled
    for name, says in errors.items():
        form = form.with_error(name, says)
    return Told(form, None if errors else answer, given, *carried)


# Fields of an answer that are posted under their own names.
_PLAIN = ("rest", "armed", "middle", "radio_off", "none", "level_z", "cells", "volts")


def field_name(field: str) -> str:
    """The posted name of an answer's field: 'values.amps' is values[amps]; '' for the form."""
    first, *rest = field.split(".")
    if first in POSES or first == "readings":
        return solvers.field_name(field)
    if first == "channels":
        return f"{rest[1]}[{rest[0]}]" if len(rest) > 1 else ""
    if first in ("values", "table") and rest:
        return f"{first}[{'.'.join(rest)}]"
    if first in _PLAIN:
        return first
    return {"attachment": "file", "name": "file"}.get(first, "")


def with_errors(form: Form[Any], fields: str, says: str) -> Form[Any]:
    """`form` with `says` at the last of the answer's `fields`, and a word at those before it."""
    *others, last = fields.split(", ")
    for other in others:
        form = form.with_error(field_name(other), "This look and another one disagree.")
    return form.with_error(field_name(last), says)


def blank(step: Step, earlier: Mapping[str, Any] | None) -> Form[Any]:
    """The form unsent. An order and a list are filled in from before: readings are read anew."""
    if step.evidence.kind == "order" and earlier:
        return Form.blank(OrderForm, table=earlier["table"])
    if step.evidence.kind == "others" and earlier and earlier["others"]:
        columns = {"does": "does", "on": "channel", "low": "low", "high": "high"}
        rows = list(enumerate(earlier["others"], 1))
        filled = {name: {str(n): row[key] for n, row in rows} for name, key in columns.items()}
        return Form.blank(radio.OthersForm, channel=earlier["channel"], **filled)
    return Form.blank(MODELS[step.evidence.kind])


def _tick(_spec: Any, _given: TickForm) -> tuple[Answer, Errors]:
    return {"done": True}, {}


def _value(spec: Any, given: ValueForm) -> tuple[Answer, Errors]:
    if given.instead:
        return {"instead": given.instead}, {}
    values, errors = dict(given.values), {}
    for field in spec.fields:
        if field.optional and not values.get(field.name):
            values.pop(field.name, None)
            continue
        try:
            values[field.name] = plain(number(values.get(field.name), "", unit=field.unit))
        except BadAnswer as bad:
            errors[f"values[{field.name}]"] = bad.says
    return {"values": values}, errors


def _cells(_spec: Any, given: CellsForm) -> tuple[Answer, Errors]:
    answer, errors = {}, {}
    for name, typed in (("cells", given.cells), ("volts", given.volts)):
        try:
            answer[name] = plain(number(typed, "", unit="V" if name == "volts" else ""))
        except BadAnswer as bad:
            errors[name] = bad.says
    return answer, errors


def _choice(_spec: Any, given: ChoiceForm) -> tuple[Answer, Errors]:
    return {"choice": given.choice}, {}


def _order(_spec: Any, given: OrderForm) -> tuple[Answer, Errors]:
    return {"table": given.table}, {}


def _file(_spec: Any, given: FileForm) -> tuple[Answer, Errors]:
    if given.file is not None and given.none:
        return {}, {"none": "Keep a file, or say why there is none; not both."}
    if given.file is not None or given.kept:
        return {}, {}  # the desk keeps the file and names it
    if given.none:
        return {"none": given.none}, {}
    return {}, {"file": "Choose a file, or say why there is none."}


def _photo(_spec: Any, given: PhotoForm) -> tuple[Answer, Errors]:
    return {}, {} if given.file is not None or given.kept else {"file": "Choose a photo."}


MODELS: dict[str, type[Carried]] = {
    "tick": TickForm,
    "value": ValueForm,
    "cells": CellsForm,
    "choice": ChoiceForm,
    "order": OrderForm,
    "spins": solvers.SpinForm,
    "faces": solvers.FacesForm,
    "sticks": radio.SticksForm,
    "channels": radio.ChannelsForm,
    "rest": radio.RestForm,
    "loss": radio.LossForm,
    "switch": radio.SwitchForm,
    "others": radio.OthersForm,
    "file": FileForm,
    "photo": PhotoForm,
}
_ANSWERS: dict[str, Callable[[Any, Any], tuple[Answer, Errors]]] = {
    "tick": _tick,
    "value": _value,
    "cells": _cells,
    "choice": _choice,
    "order": _order,
    "spins": solvers.spins,
    "faces": solvers.faces,
    "sticks": radio.sticks,
    "channels": radio.channels,
    "rest": radio.rest,
    "loss": radio.loss,
    "switch": radio.switch,
    "others": radio.others,
    "file": _file,
    "photo": _photo,
}

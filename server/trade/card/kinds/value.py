"""Measured numbers with their limits, or what happened in their place."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any, ClassVar

from server.trade.battery.first_power import CurrentShare, Found, causes
from server.trade.card import alike
from server.trade.card.answers import Answer, each, mapping, number, only, word
from server.trade.card.fixes import FIXES
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.kinds.choice import judged
from server.trade.card.spec import Option, Spec, SpecPart
from server.trade.card.text import plain

_HUNDRED = Decimal(100)
_NO_LIMITS = Decimal(1500)  # an example's number where a field has none


@dataclass(frozen=True, slots=True)
class Near(SpecPart):
    """A value lies within `by` of another field, or within `percent` of it where that is more."""

    field: str
    by: Decimal
    percent: Decimal


@dataclass(frozen=True, slots=True)
class Field(SpecPart):
    """One measured number. Limits are inclusive; None where that side has none.

    `trips` is where a limiter cuts off, in the field's unit. `optional` may be left blank.
    """

    name: str
    label: str
    unit: str
    low: Decimal | None = None
    high: Decimal | None = None
    near: Near | None = None
    under: str = ""
    over: str = ""
    trips: Decimal | None = None
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Value(Spec):
    """`{"values": {name: text}}`, comma or point; or `{"instead": value}` where the step offers
    one, as for a limiter that tripped"""

    # `fix` names a correction that is worked out when a value is out: 'voltage-scale' or
    # 'current-scale'. `alike`: the fields are named by outputs, and none may stand out from the
    # others. `shares`: the parts that a current is the sum of.
    kind: ClassVar[str] = "value"
    fields: tuple[Field, ...] = ()
    instead: tuple[Option, ...] = ()
    fix: str | None = None
    alike: bool = False
    shares: tuple[CurrentShare, ...] = ()


@dataclass(frozen=True, slots=True)
class Measured:
    """Every field's number but for optional ones left blank; none where `instead` happened."""

    values: Mapping[str, Decimal]
    instead: str = ""


@register
class ValueKind(WholeKind[Value, Measured]):
    name = "value"
    spec = Value

    def read(self, spec: Value, given: Answer) -> Measured:
        if "instead" in given:
            only(given, ("instead",))
            happened = word(given["instead"], "instead", [o.value for o in spec.instead])
            return Measured({}, happened)
        only(given, ("values",))
        texts = mapping(given.get("values"), "values")
        only(texts, [field.name for field in spec.fields], "values.")
        asked = [f for f in spec.fields if not f.optional or texts.get(f.name) not in (None, "")]
        reads = (
            (f.name, partial(number, texts.get(f.name), f"values.{f.name}", unit=f.unit))
            for f in asked
        )
        return Measured(each(reads))

    def write(self, answer: Measured) -> dict[str, Any]:
        if answer.instead:
            return {"instead": answer.instead}
        return {"values": {name: plain(value) for name, value in answer.values.items()}}

    def judge(self, spec: Value, answer: Measured, before: Results) -> Judgement:
        if answer.instead:
            return judged(spec.instead, answer.instead, _happened(spec, answer.instead))
        return _measured(spec, answer.values)

    def paper(self, spec: Value) -> tuple[Blank, ...]:
        lines = (Blank(field.label, unit=field.unit) for field in spec.fields)
        return (*lines, *(Blank(option.label, "box") for option in spec.instead))

    def example(self, spec: Value) -> tuple[Measured, ...]:
        """Numbers within limits, or the option that spares them."""
        if spared := [option.value for option in spec.instead if option.passes]:
            return (Measured({}, spared[0]),)
        values: dict[str, Decimal] = {}
        for field in (field for field in spec.fields if not field.optional):
            near = values.get(field.near.field) if field.near else None
            values[field.name] = _middle(field) if near is None else near
        return (Measured(values),)


def _middle(field: Field) -> Decimal:
    if field.low is None or field.high is None:
        return field.low or field.high or _NO_LIMITS
    return round((field.low + field.high) / 2, 2)


def _measured(spec: Value, read: Mapping[str, Decimal]) -> Judgement:
    """The numbers against their limits, ends included."""
    shown = [field for field in spec.fields if field.name in read and not field.optional]
    found = ", ".join(_shown(read[field.name], field) for field in shown)
    result: dict[str, Any] = {"values": {name: plain(part) for name, part in read.items()}}
    if spec.alike:
        result |= alike.compared(read)
    off = {field: fault for field in shown if (fault := _fault(field, read))}
    faults = list(off.values()) or alike.faults(result.get("odd", ()))
    if not faults:
        return passed(f"{found}: within limits.", found, result)
    do = dict.fromkeys(do for _, do in faults if do)
    # A correction sets one field right against another, which has to be in its own limits first.
    if spec.fix and all(field.near for field in off):
        fix = FIXES[spec.fix](read)
        do[fix.do] = None
        result |= fix.result
    if spec.shares and off:
        result |= _means(spec, read)
    return failed(" ".join(says for says, _ in faults), " ".join(do), found, result)


def _happened(spec: Value, what: str) -> dict[str, Any]:
    """The likely causes where a limiter tripped or something got hot at a current's reading."""
    if not spec.shares or what not in ("tripped", "heat"):
        return {}
    found: Found = "tripped" if what == "tripped" else "heat"
    return {"causes": [c.as_json() for c in causes(found, spec.shares)]}


def _means(spec: Value, read: Mapping[str, Decimal]) -> dict[str, Any]:
    """The likely causes of a current that is out of its window."""
    (field,) = spec.fields
    amps = read[field.name]
    found: Found = "under" if field.low is not None and amps < field.low else "over"
    return {"causes": [c.as_json() for c in causes(found, spec.shares, amps, field.trips)]}


def _shown(read: Decimal, field: Field) -> str:
    return f"{plain(read)} {field.unit}".strip()


def _fault(field: Field, read: Mapping[str, Decimal]) -> tuple[str, str] | None:
    """What is wrong with one field, by how much, and what to do; None within limits."""
    value = read[field.name]
    low, high, named = _limits(field, read)
    if low is not None and value < low:
        by, side, do = low - value, "under", field.under
    elif high is not None and value > high:
        by, side, do = value - high, "over", field.over
    else:
        return None
    amount = f"{plain(by)} {field.unit}".strip()
    return f"{field.label}: {_shown(value, field)} is {amount} {side} {named}.", do


def _limits(
    field: Field, read: Mapping[str, Decimal]
) -> tuple[Decimal | None, Decimal | None, str]:
    """The inclusive limits of one field in the light of the others, and their name."""
    if field.near is None:
        return field.low, field.high, "the limit"
    centre = read[field.near.field]
    room = max(field.near.by, abs(centre) * field.near.percent / _HUNDRED)
    named = f"the limit, {plain(room)} {field.unit} either side of the {field.near.field}"
    return centre - room, centre + room, named

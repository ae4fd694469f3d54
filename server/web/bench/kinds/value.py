"""Measured numbers: a field each, with its limits drawn."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar

from server.drawing.limits import limits_line
from server.trade.card import Judgement
from server.trade.card.kinds.spins import Tap, Taps
from server.trade.card.kinds.value import Field, Measured, Value
from server.trade.card.spec import Option
from server.trade.card.text import places, plain, tie
from server.web.bench.found import NO_GRID, Causes, FoldedTable, Grid, Result, Shown, causes_of
from server.web.bench.hidden_fields import Carried, Texts
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view


class ValueForm(Carried):
    """Readings by field, or the button for what happened in their place."""

    values: Texts
    instead: str = ""


@dataclass(frozen=True)
class FieldAsked:
    """One measured field. `limits`: its ends as text, where it has both."""

    name: str
    label: str
    unit: str
    hint: str
    limits: tuple[str, str] | None
    drawing: str
    optional: bool


@dataclass(frozen=True)
class ValueAsk:
    """The fields, and what may have happened in their place."""

    fields: tuple[FieldAsked, ...]
    instead: tuple[Option, ...]


@dataclass(frozen=True, kw_only=True)
class ValueResult(Result):
    """The one reading against its limits, or speeds against their median."""

    drawing: str
    grid: Grid
    causes: tuple[Causes, ...]


@register_view
class ValueView(KindView[Value, Measured, ValueForm]):
    name = "value"
    form = ValueForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Value, given: ValueForm) -> Posted:
        return {"instead": given.instead} if given.instead else {"values": given.values}

    def field(self, path: list[str], given: ValueForm) -> str:
        return f"values[{path[1]}]" if len(path) > 1 else ""

    def typed(self, answer: Measured) -> dict[str, Any]:
        if answer.instead:
            return {"instead": answer.instead}
        return {"values": {name: plain(value) for name, value in answer.values.items()}}

    def ask(self, spec: Value, here: Here) -> Asking:
        return Asking(ValueAsk(tuple(_asked(field) for field in spec.fields), spec.instead))

    def found(self, spec: Value, answer: Measured, judgement: Judgement, here: Here) -> ValueResult:
        result = judgement.result
        taps = here.first(here.step.after, Taps) or Taps({})
        speeds = _speeds(taps, answer, judgement) if "scores" in result else NO_GRID
        return ValueResult(
            worth=judgement,
            drawing="" if speeds.rows else self.row_drawing(spec, answer, "result"),
            grid=speeds,
            causes=causes_of(result),
        )

    def shown(self, spec: Value) -> Shown | None:
        """What a current is the sum of."""
        return _shares(spec) if spec.shares else None

    def row_drawing(self, spec: Value, answer: Measured, prefix: str) -> str:
        """The limits of the one field with its reading; empty where there is no such field."""
        if len(spec.fields) != 1 or spec.fields[0].name not in answer.values:
            return ""
        field = spec.fields[0]
        return _drawn(field, answer.values[field.name], prefix)


def _drawn(field: Field, reading: Decimal | None, prefix: str) -> str:
    """A field's limits as a bracket; empty where a side has none."""
    if field.low is None or field.high is None:
        return ""
    low, high = Decimal(plain(field.low)), Decimal(plain(field.high))
    trips = None if field.trips is None else Decimal(plain(field.trips))
    return limits_line(low, high, reading, field.unit, prefix, trips=trips)


def _asked(field: Field) -> FieldAsked:
    low, high = (None if n is None else plain(n) for n in (field.low, field.high))
    both = (low, high) if low is not None and high is not None else None
    drawing = _drawn(field, None, f"ask-{field.name}")
    hint = _hint(field, both)
    return FieldAsked(field.name, field.label, field.unit, hint, both, drawing, field.optional)


def _hint(field: Field, both: tuple[str, str] | None) -> str:
    if both:
        return f"Target {both[0]} to {both[1]} {field.unit}"
    if field.optional:
        return "May be left blank"
    if near := field.near:
        room = f"{plain(near.by)} {field.unit} or {plain(near.percent)} %"
        return f"Within {room} of the {near.field}"
    return ""


def _shares(spec: Value) -> Shown:
    low = sum((share.least for share in spec.shares), Decimal(0))
    high = sum((share.most for share in spec.shares), Decimal(0))
    rows = [
        (
            share.name,
            share.rail or "battery",
            f"{places(share.least, 2)} A",
            f"{places(share.most, 2)} A",
        )
        for share in spec.shares
    ]
    rows.append(("together", "", f"{places(low, 2)} A", f"{places(high, 2)} A"))
    heads = ("Part", "Fed from", "At least", "At most")
    return Shown(tables=(FoldedTable("What the current is the sum of", heads, tuple(rows)),))


def _speeds(taps: Taps, answer: Measured, judgement: Judgement) -> Grid:
    """Each speed against the median."""
    result = judgement.result
    odd = {each["output"] for each in result["odd"]}
    rows = []
    for name, rpm in answer.values.items():
        output = int(name.rpartition("-")[2])
        stands_out = ", stands out" if output in odd else ""
        score = f"{result['scores'][str(output)]:+.1f}{stands_out}"
        tap = taps.by_output.get(output)
        rows.append(_speed_row(output, tap, rpm, result["median"], score))
    return Grid(("Output", "rpm", "Off the median", "Score"), tuple(rows))


def _speed_row(
    output: int, tap: Tap | None, rpm: Decimal, middle: float, score: str
) -> tuple[str, ...]:
    off = f"{(float(rpm) / middle - 1) * 100:+.1f} %" if middle else "not known"
    named = f"{output} {tap.corner if tap else ''}".strip()
    return tuple(tie(text.replace("-", "−")) for text in (named, plain(rpm), off, score))

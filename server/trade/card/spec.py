"""What every spec of evidence shares; each kind's own spec is in its module in `kinds/`."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any, ClassVar

from server.trade.battery.first_power import CurrentShare
from server.trade.card.text import plain, tie


def _plain(value: object) -> object:
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, str):
        return tie(value)
    if isinstance(value, SpecPart):
        return value.as_json()
    if isinstance(value, CurrentShare):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return dict(value) if isinstance(value, Mapping) else value


@dataclass(frozen=True, slots=True)
class SpecPart:
    """A spec or a part of one."""

    def as_json(self) -> dict[str, Any]:
        """Plain values only; numbers as decimal text."""
        return {field.name: _plain(getattr(self, field.name)) for field in fields(self)}


@dataclass(frozen=True, slots=True)
class Spec(SpecPart):
    """What one kind of evidence asks for, with the limits that it is judged by.

    The docstring of each spec is the shape of its answer; docs/bench-card.md is made from it.
    """

    kind: ClassVar[str]

    def as_json(self) -> dict[str, Any]:
        """The spec with its kind, plain values only."""
        return {"kind": self.kind, **SpecPart.as_json(self)}


@dataclass(frozen=True, slots=True)
class Option(SpecPart):
    """One answer of a choice. `says` and `do` are shown when it does not pass."""

    value: str
    label: str
    passes: bool = False
    says: str = ""
    do: str = ""

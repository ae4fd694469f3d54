"""The parts that are fitted to a craft: devices, their links and their leads."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import PlainValidator, WithJsonSchema, model_validator

from server.trade.sheet.base import (
    A_LIST,
    DEFAULT_LEVEL_V,
    SPI,
    LeadSignal,
    Protocol,
    Role,
    SheetPart,
    spoken,
    unique,
)
from server.trade.sheet.types import Amps, Flag, Name, Quantity, Span, refuse, shown

LINK_LEADS = ("tx", "rx", "one_wire")
# Keys of a wired link that a built-in one cannot have, and of a wired device.
WIRED_LINK_KEYS = (*LINK_LEADS, "level_v", "inverted")
WIRED_DEVICE_KEYS = ("supply_v", "leads", "power", "ground")


def _only_true(value: Any) -> bool:
    if value is not True:
        refuse(f"found {shown(value)}; only true is allowed: leave the key out")
    return True


OnlyTrue = Annotated[bool, PlainValidator(_only_true), WithJsonSchema({"const": True})]


class Link(SheetPart):
    """One serial link of a device. `level_v` is the signal voltage the device drives, in V.

    `inverted` is how this part's line really comes; None: as the protocol has it. `inside` is the
    port that a built-in part's link is joined to on the board, or `SPI`; a wired link has None.
    """

    role: Role
    speaks: Annotated[tuple[Protocol, ...], A_LIST] = ()
    set_to: Protocol | None = None
    tx: Name | None = None
    rx: Name | None = None
    one_wire: Name | None = None
    in_use: Flag = True
    level_v: Quantity = Decimal(DEFAULT_LEVEL_V)
    inverted: Flag | None = None
    inside: Name | None = None

    @model_validator(mode="after")
    def _speaks_over_a_lead(self) -> Self:
        given = self.model_fields_set
        if "speaks" in given:
            spoken(self.speaks)
        elif self.inside != SPI:
            refuse("is missing", at="speaks")
        elif self.set_to is not None:
            refuse("found without speaks, which says what it could be set to", at="set_to")
        if self.inside is not None:
            self._is_carried_by_a_port()
        elif self.tx is None and self.rx is None and self.one_wire is None:
            refuse(
                "has no lead; at least one of tx, rx, one_wire is wanted, or inside where the part"
                " is built in"
            )
        return self

    def _is_carried_by_a_port(self) -> None:
        if self.inside == SPI:
            return
        says = f"found 'PPM' inside {shown(self.inside)}; a port does not carry it"
        if "PPM" in self.speaks:
            refuse(says, at=f"speaks[{self.speaks.index('PPM')}]")
        if self.set_to == "PPM":
            refuse(says, at="set_to")


class Lead(SheetPart):
    """A lead of no serial link. `level_v` is what an analogue one drives at most, in V."""

    lead: Name
    signal: LeadSignal
    level_v: Quantity = Decimal(DEFAULT_LEVEL_V)

    @model_validator(mode="after")
    def _level_of_an_analogue_lead(self) -> Self:
        if "level_v" in self.model_fields_set and self.signal != "analogue":
            on = f"found on a lead with signal {self.signal!r}; allowed on analogue"
            refuse(on, at="level_v")
        return self


class Device(SheetPart):
    """One part. A built-in one sits on the board: it has no leads, and `supply_v` is None."""

    device: Name
    kind: Name
    built_in: OnlyTrue | None = None
    maker: Name | None = None
    model: Name | None = None
    supply_v: Span | None = None
    amps: Amps | None = None
    links: Annotated[tuple[Link, ...], A_LIST] = ()
    leads: Annotated[tuple[Lead, ...], A_LIST] = ()
    power: Name | None = None
    ground: Name | None = None

    @model_validator(mode="after")
    def _keys_of_its_kind(self) -> Self:
        if self.built_in:
            self._is_built_in()
        else:
            self._is_wired()
        unique(self._lead_places())
        return self

    def _is_built_in(self) -> None:
        for key in WIRED_DEVICE_KEYS:
            if key in self.model_fields_set:
                refuse("found on a built-in part, which has no leads and no supply", at=key)
        if "links" not in self.model_fields_set:
            refuse("is missing; a built-in part needs it, empty where it has none", at="links")
        for i, link in enumerate(self.links):
            if link.inside is None:
                says = "is missing; a link of a built-in part needs it and has no leads"
                refuse(says, at=f"links[{i}].inside")
            for key in WIRED_LINK_KEYS:
                if key in link.model_fields_set:
                    says = "found on a link that is inside the board; it has no lead"
                    refuse(says, at=f"links[{i}].{key}")

    def _is_wired(self) -> None:
        if self.supply_v is None:
            refuse("is missing", at="supply_v")
        for i, link in enumerate(self.links):
            if link.inside is not None:
                says = "found on a part that is not built in; built_in = true says that it is"
                refuse(says, at=f"links[{i}].inside")

    def _lead_places(self) -> Iterator[tuple[str, str]]:
        # One soldering point has one name, whatever it does: all of them share one list.
        for i, link in enumerate(self.links):
            for key in LINK_LEADS:
                name = getattr(link, key)
                if name is not None:
                    yield f"links[{i}].{key}", name
        for i, lead in enumerate(self.leads):
            yield f"leads[{i}].lead", lead.lead
        for key in ("power", "ground"):
            name = getattr(self, key)
            if name is not None:
                yield key, name

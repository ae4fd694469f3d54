"""The board's parts of a build sheet: rails, ports and pads."""

from collections.abc import Collection
from decimal import Decimal
from typing import Annotated, Self

from pydantic import model_validator

from server.trade.sheet.base import (
    A_LIST,
    ANALOGUE_MAX_V,
    DEFAULT_MAX_V,
    KEY_OF_SIGNAL,
    PACK,
    SOFTWARE_BAUD,
    SPI,
    SheetPart,
    Signal,
    unique,
    whole,
)
from server.trade.sheet.types import Amps, Flag, Name, Quantity, Span, listed, refuse, shown


class Rail(SheetPart):
    rail: Name
    volts: Quantity
    amps: Amps | None = None


class Port(SheetPart):
    """One port. `max_baud` is None where nothing limits it; a software port does 19200."""

    port: Name
    taken_by: Name | None = None
    software: Flag = False
    max_baud: Quantity | None = None

    @model_validator(mode="after")
    def _what_it_does(self) -> Self:
        if self.port == SPI:
            refuse("found 'SPI', which is for a built-in part that uses no port", at="port")
        if self.software and self.max_baud is None:
            self.__dict__["max_baud"] = Decimal(SOFTWARE_BAUD)  # not given, so never written
        return self


class Pad(SheetPart):
    """One pad. `max_v` is the highest signal voltage it takes, in V: 5.0, or 3.3 where analogue."""

    pad: Name
    signal: Signal
    port: Name | None = None
    rail: Name | None = None
    output: Annotated[int, *whole(1, 8)] | None = None
    timer: Name | None = None
    max_v: Quantity = Decimal(DEFAULT_MAX_V)
    inverter: Flag = False

    @model_validator(mode="after")
    def _keys_of_its_signal(self) -> Self:
        for key, signals in KEY_OF_SIGNAL.items():
            given = getattr(self, key) is not None
            if given and self.signal not in signals:
                on = " and ".join(signals)
                refuse(f"found on a pad with signal {self.signal!r}; allowed on {on}", at=key)
            if not given and self.signal in signals:
                refuse(f"is missing; a pad with signal {self.signal!r} needs it", at=key)
        if self.signal == "analogue" and "max_v" not in self.model_fields_set:
            self.__dict__["max_v"] = Decimal(ANALOGUE_MAX_V)  # not given, so never written
        return self


class Board(SheetPart):
    """The flight controller. `usb_feeds` is what is live with the USB lead alone; None: unknown."""

    maker: Name | None = None
    model: Name
    mcu: Name
    supply_v: Span
    rails: Annotated[tuple[Rail, ...], A_LIST]
    ports: Annotated[tuple[Port, ...], A_LIST]
    pads: Annotated[tuple[Pad, ...], A_LIST]
    usb_feeds: Annotated[tuple[Name, ...], A_LIST] | None = None

    @model_validator(mode="after")
    def _names_agree(self) -> Self:
        unique((f"rails[{i}].rail", rail.rail) for i, rail in enumerate(self.rails))
        unique((f"ports[{i}].port", port.port) for i, port in enumerate(self.ports))
        unique((f"pads[{i}].pad", pad.pad) for i, pad in enumerate(self.pads))
        rails = {rail.rail: i for i, rail in enumerate(self.rails)}
        ports = {port.port: i for i, port in enumerate(self.ports)}
        if PACK in rails:
            at = f"rails[{rails[PACK]}].rail"
            refuse("found 'pack', which is the battery itself and not listed", at)
        self._pads_name_what_is_listed(rails, ports)
        self._usb_feeds_what_is_listed(rails)
        return self

    def _pads_name_what_is_listed(self, rails: Collection[str], ports: Collection[str]) -> None:
        for i, pad in enumerate(self.pads):
            if pad.port is not None and pad.port not in ports:
                refuse(f"found {shown(pad.port)}; ports: {listed(ports)}", f"pads[{i}].port")
            if pad.rail is not None and pad.rail not in rails and pad.rail != PACK:
                refuse(f"found {shown(pad.rail)}; rails: {listed(rails)}", f"pads[{i}].rail")

    def _usb_feeds_what_is_listed(self, rails: Collection[str]) -> None:
        fed = self.usb_feeds or ()
        unique((f"usb_feeds[{i}]", name) for i, name in enumerate(fed))
        for i, name in enumerate(fed):
            if name not in rails and name != PACK:
                known = listed([*rails, PACK])
                refuse(f"found {shown(name)}; rails: {known}", f"usb_feeds[{i}]")

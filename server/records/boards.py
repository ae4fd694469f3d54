"""Queries about the catalogue: boards with their rails, ports and pads, and models of parts."""

from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.tables import Board, BoardPad, BoardPort, BoardRail, DeviceModel

_board, _rail, _port = core(Board), core(BoardRail), core(BoardPort)
_pad, _model = core(BoardPad), core(DeviceModel)


class BoardRow(NamedTuple):
    """A board's line in the catalogue. `listed` is false while nobody has looked it over."""

    id: int
    maker: str
    model: str
    mcu: str
    supply_low: str
    supply_high: str
    listed: bool


class RailRow(NamedTuple):
    """A rail; quantities are exact decimal text."""

    rail: str
    volts: str
    amps: str


class PortRow(NamedTuple):
    """A port; None where the sheet left the key out."""

    port: str
    taken_by: str | None
    software: bool | None
    max_baud: str | None


class PadRow(NamedTuple):
    """A pad with the names of its port and rail."""

    pad: str
    signal: str
    port: str | None
    rail: str | None
    output: int | None
    timer: str | None
    max_v: str | None
    inverter: bool | None


class ModelRow(NamedTuple):
    """A part that the shop meets again."""

    id: int
    kind: str
    maker: str
    model: str
    document: str


class WholeBoard(NamedTuple):
    """A board with all of its parts."""

    row: BoardRow
    rails: tuple[RailRow, ...]
    ports: tuple[PortRow, ...]
    pads: tuple[PadRow, ...]


_COLUMNS = (
    _board.c.id,
    _board.c.maker,
    _board.c.model,
    _board.c.mcu,
    _board.c.supply_low,
    _board.c.supply_high,
    _board.c.listed,
)
_BOARDS = select(*_COLUMNS).order_by(_board.c.listed, _board.c.model, _board.c.maker, _board.c.mcu)
_ONE = select(*_COLUMNS).where(_board.c.id == bindparam("board"))
_RAILS = (
    select(_rail.c.rail, _rail.c.volts, _rail.c.amps)
    .where(_rail.c.board_id == bindparam("board"))
    .order_by(_rail.c.position)
)
_PORTS = (
    select(_port.c.port, _port.c.taken_by, _port.c.software, _port.c.max_baud)
    .where(_port.c.board_id == bindparam("board"))
    .order_by(_port.c.position)
)
_PADS = (
    select(
        _pad.c.pad,
        _pad.c.signal,
        _port.c.port,
        _rail.c.rail,
        _pad.c.output,
        _pad.c.timer,
        _pad.c.max_v,
        _pad.c.inverter,
    )
    .outerjoin(_port, _port.c.id == _pad.c.port_id)
    .outerjoin(_rail, _rail.c.id == _pad.c.rail_id)
    .where(_pad.c.board_id == bindparam("board"))
    .order_by(_pad.c.position)
)
_MODEL = (_model.c.id, _model.c.kind, _model.c.maker, _model.c.model, _model.c.document)
_MODELS = select(*_MODEL).order_by(_model.c.kind, _model.c.model, _model.c.maker)
_ONE_MODEL = select(*_MODEL).where(_model.c.id == bindparam("model"))


def boards(connection: Connection) -> list[BoardRow]:
    """Every board, those that wait to be looked over first."""
    return [BoardRow._make(row) for row in connection.execute(_BOARDS)]


def board(connection: Connection, board_id: int) -> WholeBoard | None:
    """One board with its parts in their order; None if unknown."""
    asked = {"board": board_id}
    row = connection.execute(_ONE, asked).first()
    if row is None:
        return None
    return WholeBoard(
        BoardRow._make(row),
        tuple(RailRow._make(r) for r in connection.execute(_RAILS, asked)),
        tuple(PortRow._make(r) for r in connection.execute(_PORTS, asked)),
        tuple(PadRow._make(r) for r in connection.execute(_PADS, asked)),
    )


def models(connection: Connection) -> list[ModelRow]:
    """Every model of a part, by kind."""
    return [ModelRow._make(row) for row in connection.execute(_MODELS)]


def model(connection: Connection, model_id: int) -> ModelRow | None:
    """One model of a part."""
    row = connection.execute(_ONE_MODEL, {"model": model_id}).first()
    return ModelRow._make(row) if row else None

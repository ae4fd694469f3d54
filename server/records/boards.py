"""Queries about the catalogue: boards with their rails, ports and pads, and models of parts."""

from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import BoardPad, BoardPort, BoardRail, BoardRecord, DeviceModel

_board, _rail, _port = core(BoardRecord), core(BoardRail), core(BoardPort)
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


class BoardPortRow(NamedTuple):
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
    ports: tuple[BoardPortRow, ...]
    pads: tuple[PadRow, ...]


_WHOLE = select(*labelled(BoardRow, _board))
_BOARDS = Rows(
    BoardRow,
    _WHOLE.order_by(_board.c.listed, _board.c.model, _board.c.maker, _board.c.mcu),
)
_ONE = Rows(BoardRow, _WHOLE.where(_board.c.id == bindparam("board")))
_RAILS = Rows(
    RailRow,
    select(*labelled(RailRow, _rail))
    .where(_rail.c.board_id == bindparam("board"))
    .order_by(_rail.c.position),
)
_PORTS = Rows(
    BoardPortRow,
    select(*labelled(BoardPortRow, _port))
    .where(_port.c.board_id == bindparam("board"))
    .order_by(_port.c.position),
)
_PADS = Rows(
    PadRow,
    select(*labelled(PadRow, _pad, port=_port.c.port, rail=_rail.c.rail))
    .outerjoin(_port, _port.c.id == _pad.c.port_id)
    .outerjoin(_rail, _rail.c.id == _pad.c.rail_id)
    .where(_pad.c.board_id == bindparam("board"))
    .order_by(_pad.c.position),
)
_MODEL = select(*labelled(ModelRow, _model))
_MODELS = Rows(ModelRow, _MODEL.order_by(_model.c.kind, _model.c.model, _model.c.maker))
_ONE_MODEL = Rows(ModelRow, _MODEL.where(_model.c.id == bindparam("model")))


def boards(connection: Connection) -> list[BoardRow]:
    """Every board, those that wait to be looked over first."""
    return _BOARDS.all(connection)


def board(connection: Connection, board_id: int) -> WholeBoard | None:
    """One board with its parts in their order; None if unknown."""
    asked = {"board": board_id}
    row = _ONE.first(connection, asked)
    if row is None:
        return None
    return WholeBoard(
        row,
        tuple(_RAILS.all(connection, asked)),
        tuple(_PORTS.all(connection, asked)),
        tuple(_PADS.all(connection, asked)),
    )


def models(connection: Connection) -> list[ModelRow]:
    """Every model of a part, by kind."""
    return _MODELS.all(connection)


def model(connection: Connection, model_id: int) -> ModelRow | None:
    """One model of a part."""
    return _ONE_MODEL.first(connection, {"model": model_id})

"""The catalogue: boards and parts that the shop meets again."""

import json
from decimal import Decimal
from typing import Any

from sqlmodel import Session, select

from server.records import boards
from server.records.boards import WholeBoard
from server.records.engine import writing
from server.records.tables import BoardRecord, DeviceModel
from server.trade import sheet as sheets
from server.work.errors import Missing, Unfit
from server.work.permissions import require
from server.work.port_map.revisions import board_row, folded
from server.work.shop import Person, Shop


def board_of(whole: WholeBoard) -> sheets.Board:
    """The board as a build sheet has it; what the sheet left out stays left out."""
    row = whole.row
    document: dict[str, Any] = {
        "model": row.model,
        "mcu": row.mcu,
        "supply_v": [Decimal(row.supply_low), Decimal(row.supply_high)],
        "rails": [
            {"rail": r.rail, "volts": Decimal(r.volts)}
            | ({"amps": Decimal(r.amps)} if r.amps else {})
            for r in whole.rails
        ],
        "ports": [_given(p._asdict(), "max_baud") for p in whole.ports],
        "pads": [_pad(p) for p in whole.pads],
    }
    if row.maker:
        document["maker"] = row.maker
    return sheets.part_from_document(sheets.Board, document)


def _pad(row: boards.PadRow) -> dict[str, Any]:
    given = _given(row._asdict(), "max_v")
    if row.signal == "power" and row.rail is None:
        given["rail"] = sheets.PACK  # the battery is no rail of the board, so it has no row
    return given


def _given(told: dict[str, Any], decimal: str) -> dict[str, Any]:
    given = {key: value for key, value in told.items() if value is not None}
    return given | ({decimal: Decimal(given[decimal])} if decimal in given else {})


def add_board(shop: Shop, by: Person, *, board: sheets.Board) -> int:
    """Enter a board; its id. Sent twice it is entered once. Raises Unfit where another board has
    this maker, model and chip already.
    """
    require(by, "change the catalogue")
    with writing(shop.engine) as session:
        known = _board(session, board)
        if known is None:
            return board_row(session, shop, board, listed=True).id
        whole = boards.board(session.connection(), known)
        if whole is None or board_of(whole) != board:
            raise Unfit(
                "model",
                "The catalogue has a board of this maker, model and chip.",
                "Look at it there, or name what tells the two apart.",
            )
        return known


def _board(session: Session, board: sheets.Board) -> int | None:
    return session.exec(
        select(BoardRecord.id).where(
            BoardRecord.maker == (board.maker or ""),
            BoardRecord.model == board.model,
            BoardRecord.mcu == board.mcu,
        )
    ).one_or_none()


def list_board(shop: Shop, by: Person, board_id: int) -> BoardRecord:
    """Say that a board which was met on a sheet is right. Raises Missing."""
    require(by, "list a board")
    with writing(shop.engine) as session:
        row = session.get(BoardRecord, board_id)
        if row is None:
            raise Missing("There is no such board.", "Look in the catalogue.")
        row.listed = True
        return row


def add_device_model(shop: Shop, by: Person, *, document: dict[str, Any]) -> DeviceModel:
    """Enter a part: an entry of a sheet's `devices` without its name. Sent twice it is entered
    once. Raises SheetError, and Unfit where this kind, maker and model stand there with other data.
    """
    require(by, "change the catalogue")
    part = sheets.part_from_document(sheets.Device, document | {"device": "part"})
    if not part.model:
        raise Unfit("model", "Say the model, so that the part is found again.")
    maker = part.maker or ""
    text = json.dumps(document, default=_number, ensure_ascii=False)
    with writing(shop.engine) as session:
        row = session.exec(
            select(DeviceModel).where(
                DeviceModel.kind == part.kind,
                DeviceModel.maker == maker,
                DeviceModel.model == part.model,
            )
        ).one_or_none()
        if row is None:
            row = DeviceModel(
                kind=part.kind,
                maker=maker,
                model=part.model,
                document=text,
                search_key=folded(part.kind, maker, part.model),
                created_at=shop.now(),
            )
            session.add(row)
        elif row.document != text:
            raise Unfit("model", "The catalogue has this kind, maker and model with other data.")
        return row


def device_of(row: boards.ModelRow, name: str) -> sheets.Device:
    """The part as a sheet has it, called `name` there. Raises SheetError."""
    told = json.loads(row.document, parse_float=Decimal) | {"device": name}
    return sheets.part_from_document(sheets.Device, told)


def _number(value: object) -> int | float:
    """A decimal as JSON has it. A float is written by its shortest digits, so none is lost of the
    dozen that a form takes.
    """
    if not isinstance(value, Decimal):
        raise TypeError(value)
    return int(value) if value == value.to_integral_value() else float(value)

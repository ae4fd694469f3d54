"""Boards with their rails, ports and pads, and models of other parts."""

from datetime import datetime

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import Field, SQLModel

from server.records.columns import filled, key, link, moment


class BoardRecord(SQLModel, table=True):
    """A flight controller that was on the bench, or may be. Quantities are exact decimal text."""

    __tablename__ = "board"
    __table_args__ = (filled("model"), filled("mcu"), UniqueConstraint("maker", "model", "mcu"))
    id: int = key()
    maker: str = ""
    model: str
    mcu: str
    search_key: str  # maker, model and chip, folded, for 'part of a name is enough'
    supply_low: str
    supply_high: str
    listed: bool = True  # false: met on a sheet, not yet looked over by the supervisor
    created_at: datetime = moment()


class BoardRail(SQLModel, table=True):
    """A supply that the board makes."""

    __tablename__ = "board_rail"
    __table_args__ = (
        UniqueConstraint("board_id", "rail"),
        UniqueConstraint("board_id", "position"),
    )
    id: int = key()
    board_id: int = link("board.id")
    position: int
    rail: str
    volts: str
    amps: str


class BoardPort(SQLModel, table=True):
    """A serial port of the board."""

    __tablename__ = "board_port"
    __table_args__ = (
        UniqueConstraint("board_id", "port"),
        UniqueConstraint("board_id", "position"),
    )
    id: int = key()
    board_id: int = link("board.id")
    position: int
    port: str
    taken_by: str | None = None
    software: bool | None = None
    max_baud: str | None = None


class BoardPad(SQLModel, table=True):
    """A pad that a lead can be soldered to."""

    __tablename__ = "board_pad"
    __table_args__ = (
        UniqueConstraint("board_id", "pad"),
        UniqueConstraint("board_id", "position"),
        CheckConstraint("output IS NULL OR output BETWEEN 1 AND 8", name="output_sane"),
    )
    id: int = key()
    board_id: int = link("board.id")
    position: int
    pad: str
    signal: str
    port_id: int | None = link("board_port.id", nullable=True)
    rail_id: int | None = link("board_rail.id", nullable=True)  # empty on a power pad: the pack
    output: int | None = None
    timer: str | None = None
    max_v: str | None = None
    inverter: bool | None = None


class DeviceModel(SQLModel, table=True):
    """A part that the shop meets again; `document` is its entry on a sheet, less the name."""

    __tablename__ = "device_model"
    __table_args__ = (
        filled("kind"),
        filled("model"),
        UniqueConstraint("kind", "maker", "model"),
    )
    id: int = key()
    kind: str
    maker: str = ""
    model: str
    search_key: str
    document: str = Field(description="JSON, an entry of `devices` in the build sheet")
    created_at: datetime = moment()

"""A build: one numbered revision of a ticket's port map, and its parts and wires for the search."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint, text
from sqlmodel import Column, Field, Integer, SQLModel

from server.records.columns import key, link, moment, one_of
from server.trade.finding import Severity

SIGNED_SQL = "signed_at IS NOT NULL"


class Build(SQLModel, table=True):
    """The sheet as it stood; never changed after it was saved."""

    __table_args__ = (
        UniqueConstraint("ticket_id", "revision"),
        CheckConstraint("revision > 0", name="revision_above_zero"),
        Index(
            "ix_build_signed_board",
            "board_id",
            "id",
            sqlite_where=text(SIGNED_SQL),
            postgresql_where=text(SIGNED_SQL),
        ),
    )
    id: int = key()
    ticket_id: int = link("ticket.id")
    revision: int
    sheet: str  # JSON in the build-sheet format
    digest: str = Field(index=True)
    board_id: int = link("board.id")
    came_from_id: int | None = link("build.id", nullable=True)
    created_at: datetime = moment()
    by_id: int = link("staff.id")
    signed_at: datetime | None = moment(nullable=True)


class Component(SQLModel, table=True):
    """A part of a build."""

    __table_args__ = (UniqueConstraint("build_id", "position"), Index("ix_component_kind", "kind"))
    id: int = key()
    build_id: int = link("build.id")
    position: int
    device: str
    kind: str
    maker: str = ""
    model: str = ""
    search_key: str


class WireRecord(SQLModel, table=True):
    """A lead on a pad, with the port and the protocol where it is part of a serial link."""

    __tablename__ = "wire"
    __table_args__ = (
        UniqueConstraint("component_id", "lead", "pad"),
        Index("ix_wire_pad", "pad", "build_id"),
        Index("ix_wire_port", "port", "build_id"),
        Index("ix_wire_protocol", "protocol", "build_id"),
    )
    id: int = key()
    build_id: int = link("build.id")
    component_id: int = Field(
        sa_column=Column(Integer, ForeignKey("component.id"), nullable=False, index=True)
    )
    lead: str
    pad: str
    port: str | None = None
    protocol: str | None = None


class BuildFinding(SQLModel, table=True):
    """What the rules found on a revision, kept for 'what goes wrong on this board'."""

    __tablename__ = "build_finding"
    __table_args__ = (
        UniqueConstraint("build_id", "position"),
        one_of("severity", tuple(Severity)),
        Index("ix_build_finding_code", "code", "build_id"),
    )
    id: int = key()
    build_id: int = link("build.id")
    position: int
    code: str
    severity: str
    subject: str


class MapDraft(SQLModel, table=True):
    """The map as it is being entered, before it becomes a revision."""

    __tablename__ = "map_draft"
    ticket_id: int = Field(foreign_key="ticket.id", primary_key=True)
    sheet: str
    version: int = 1
    came_from_id: int | None = link("build.id", nullable=True)
    changed_at: datetime = moment()
    by_id: int = link("staff.id")

"""Steps, what was seen at them, and the logs that were signed over it. Rows are only ever added."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlmodel import Column, Field, Integer, SQLModel

from server.records.columns import filled, key, link, moment, one_of
from server.trade.events import Event
from server.trade.power import Power


class StepRecord(SQLModel, table=True):
    """A step with the target it had; a changed target is another row, and leaves the old stale."""

    __tablename__ = "step"
    __table_args__ = (UniqueConstraint("ticket_id", "key", "basis"),)
    id: int = key()
    ticket_id: int = link("ticket.id")
    key: str
    basis: str
    stage: str
    title: str
    target: str


class Evidence(SQLModel, table=True):
    """One thing that was seen, by whom, when, and in which power state."""

    __table_args__ = (
        one_of("power", tuple(Power)),
        one_of("verdict", ("pass", "fail", "more")),
        # A powered entry carries the look at the propellers that allowed it.
        CheckConstraint(
            "power IN ('cold', 'usb') OR props_event_id IS NOT NULL", name="powered_has_props_look"
        ),
        Index("ix_evidence_ticket_step", "ticket_id", "step_id", "id"),
    )
    id: int = key()
    ticket_id: int = link("ticket.id", index=False)
    step_id: int = link("step.id", index=False)
    build_id: int = link("build.id")
    act_key: str = Field(unique=True)
    kind: str
    answer: str  # JSON
    verdict: str
    found: str
    says: str = ""
    do: str = ""
    power: str
    props_event_id: int | None = Field(
        default=None, sa_column=Column(Integer, ForeignKey("ticket_event.id"), nullable=True)
    )
    by_id: int = link("staff.id")
    made_at: datetime = moment()
    at: datetime = moment()
    replaces_id: int | None = link("evidence.id", nullable=True)


class TicketEvent(SQLModel, table=True):
    """Anything that happened to a ticket, for its history and its log."""

    __tablename__ = "ticket_event"
    __table_args__ = (one_of("kind", Event), Index("ix_ticket_event_ticket", "ticket_id", "id"))
    id: int = key()
    ticket_id: int = link("ticket.id", index=False)
    at: datetime = moment()
    by_id: int | None = link("staff.id", nullable=True)
    kind: str
    says: str
    power: str | None = None
    act_key: str | None = Field(default=None, unique=True)


class Acceptance(SQLModel, table=True):
    """A caution that the supervisor took on, with the reason."""

    __table_args__ = (filled("reason"), UniqueConstraint("ticket_id", "finding_key", "build_id"))
    id: int = key()
    ticket_id: int = link("ticket.id")
    build_id: int = link("build.id")
    finding_key: str
    reason: str
    by_id: int = link("staff.id")
    at: datetime = moment()
    act_key: str = Field(unique=True)


class AttachmentRecord(SQLModel, table=True):
    """A file kept by its digest outside the database."""

    __tablename__ = "attachment"
    __table_args__ = (
        one_of("kind", ("photo", "settings")),
        UniqueConstraint("ticket_id", "digest", "kind"),
        CheckConstraint("size > 0", name="size_above_zero"),
    )
    id: int = key()
    ticket_id: int = link("ticket.id")
    digest: str = Field(index=True)
    kind: str
    name: str
    media_type: str
    size: int
    at: datetime = moment()
    by_id: int = link("staff.id")


class LogRecord(SQLModel, table=True):
    """A signed log, whole, with its place in the shop's chain."""

    __test__ = False  # not a test case, whatever its name says to pytest
    __tablename__ = "test_log"
    id: int = key()
    number: int = Field(unique=True)
    ticket_id: int = link("ticket.id")
    build_id: int = link("build.id")
    digest: str = Field(unique=True)
    previous_digest: str
    document: str  # the file as it is handed out
    key_id: int = link("signing_key.id")
    signed_by_id: int = link("staff.id")
    signed_at: datetime = moment()
    corrects_id: int | None = link("test_log.id", nullable=True)

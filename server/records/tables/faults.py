"""The search for a fault on a ticket: symptoms, answered checks, the cause found. Only added to."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlmodel import Column, Field, Integer, SQLModel

from server.records.columns import filled, key, link, moment, one_of
from server.trade.power import Power

WITHDRAWN = "withdrawn"  # in place of a cause: it was not that, and the search goes on


class FaultSearch(SQLModel, table=True):
    """One look-out for the cause of some symptoms.

    Other symptoms make another row of the same `round`, which keeps its answers; after a cause was
    found the next row begins a new round.
    """

    __tablename__ = "fault_search"
    __table_args__ = (CheckConstraint("round > 0", name="round_above_zero"),)
    id: int = key()
    ticket_id: int = link("ticket.id")
    round: int
    at: datetime = moment()
    by_id: int = link("staff.id", index=False)
    act_key: str = Field(unique=True)


class FaultSymptom(SQLModel, table=True):
    """One symptom of a search."""

    __tablename__ = "fault_symptom"
    __table_args__ = (filled("code"), Index("ix_fault_symptom_code", "code"))
    search_id: int = Field(foreign_key="fault_search.id", primary_key=True)
    code: str = Field(primary_key=True)


class FaultAnswer(SQLModel, table=True):
    """What a check showed, by whom, when, and in which power state."""

    __tablename__ = "fault_answer"
    __table_args__ = (
        filled("check_code"),
        filled("outcome"),
        one_of("power", tuple(Power)),
        # A powered entry carries the look at the propellers that allowed it.
        CheckConstraint(
            "power IN ('cold', 'usb') OR props_event_id IS NOT NULL", name="powered_has_props_look"
        ),
    )
    id: int = key()
    search_id: int = link("fault_search.id")
    act_key: str = Field(unique=True)
    check_code: str
    outcome: str
    power: str
    props_event_id: int | None = Field(
        default=None, sa_column=Column(Integer, ForeignKey("ticket_event.id"), nullable=True)
    )
    by_id: int = link("staff.id", index=False)
    made_at: datetime = moment()
    at: datetime = moment()
    replaces_id: int | None = link("fault_answer.id", nullable=True, index=False)


class FaultCause(SQLModel, table=True):
    """The cause that was found, and the answer that showed it; the last of a search stands."""

    __tablename__ = "fault_cause"
    __table_args__ = (filled("cause"),)
    id: int = key()
    search_id: int = link("fault_search.id")
    act_key: str = Field(unique=True)
    cause: str
    words: str = ""
    answer_id: int | None = link("fault_answer.id", nullable=True, index=False)
    by_id: int = link("staff.id", index=False)
    at: datetime = moment()
    replaces_id: int | None = link("fault_cause.id", nullable=True, index=False)

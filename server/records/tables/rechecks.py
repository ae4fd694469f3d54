"""The whole archive under newer rules: one run, how far it is, and what it newly found."""

from datetime import datetime

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import SQLModel

from server.records.columns import filled, key, link, moment, one_of
from server.trade.finding import Severity


class Recheck(SQLModel, table=True):
    """One run of the rules over every signed build; goes on after `last_build_id`."""

    __table_args__ = (
        filled("rules_version"),
        CheckConstraint("looked >= 0 AND total >= 0", name="counts_sane"),
    )
    id: int = key()
    rules_version: str
    started_at: datetime = moment()
    finished_at: datetime | None = moment(nullable=True)
    by_id: int | None = link("staff.id", nullable=True)  # None: from the command line
    last_build_id: int = 0
    looked: int = 0
    total: int


class RecheckFinding(SQLModel, table=True):
    """What a run found on a build and its own map check had not."""

    __tablename__ = "recheck_finding"
    __table_args__ = (
        UniqueConstraint(
            "recheck_id",
            "build_id",
            "code",
            "severity",
            "subject",
            "says",
            name="uq_recheck_finding_whole",
        ),
        one_of("severity", tuple(Severity)),
    )
    id: int = key()
    recheck_id: int = link("recheck.id", index=False)
    build_id: int = link("build.id")
    code: str
    severity: str
    subject: str
    says: str

"""The build that a ticket's card comes from."""

from sqlalchemy import bindparam
from sqlmodel import Session, select

from server.records.tables import Build, Ticket
from server.trade.gate import NO_MAP
from server.work.errors import Locked
from server.work.port_map.facts import SheetFacts, facts_of

_IN_FORCE = select(Build).where(
    Build.ticket_id == bindparam("ticket"), Build.revision == bindparam("revision")
)


def build_in_force(session: Session, ticket: Ticket) -> Build | None:
    """The newest revision of the ticket's map; None before the first was saved."""
    given = {"ticket": ticket.id, "revision": ticket.revision}
    return session.exec(_IN_FORCE, params=given).one_or_none()


def facts_in_force(session: Session, ticket: Ticket) -> SheetFacts | None:
    """Findings and card of that revision; None before the first was saved."""
    build = build_in_force(session, ticket)
    return facts_of(build.sheet) if build else None


def require_build(session: Session, ticket: Ticket) -> tuple[Build, SheetFacts]:
    """That revision and its facts. Raises Locked before the first was saved."""
    build = build_in_force(session, ticket)
    if build is None:
        raise Locked(NO_MAP.says, NO_MAP.do)
    return build, facts_of(build.sheet)

"""What happened in the office, written down beside the act that did it."""

from datetime import datetime

from sqlmodel import Session, select

from server.records.tables import ShopEvent
from server.work.shop import Person


def note(
    session: Session, by: Person, at: datetime, kind: str, says: str, act_key: str | None = None
) -> ShopEvent:
    """One line more in the shop's own history."""
    event = ShopEvent(at=at, by_id=by.id, kind=kind, says=says, act_key=act_key)
    session.add(event)
    session.flush()
    return event


def done_before(session: Session, act_key: str | None) -> bool:
    """Whether this very form was sent before."""
    query = select(ShopEvent.id).where(ShopEvent.act_key == act_key)
    return act_key is not None and session.exec(query).first() is not None

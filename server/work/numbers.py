"""Running numbers: tickets and logs."""

from sqlmodel import Session, select

from server.records.tables import Counter


def next_number(session: Session, name: str) -> int:
    """The next number of this row; the row stays locked until the act ends."""
    counter = session.exec(
        select(Counter).where(Counter.name == name).with_for_update()
    ).one_or_none()
    if counter is None:
        counter = Counter(name=name, value=0)
        session.add(counter)
    counter.value += 1
    session.flush()
    return counter.value

"""Running numbers: tickets and logs."""

from sqlmodel import Session, select

from server.records.tables import RunningNumber


def next_number(session: Session, name: str) -> int:
    """The next number of this row; the row stays locked until the act ends."""
    counter = session.exec(
        select(RunningNumber).where(RunningNumber.name == name).with_for_update()
    ).one_or_none()
    if counter is None:
        counter = RunningNumber(name=name, value=0)
        session.add(counter)
    counter.value += 1
    session.flush()
    return counter.value

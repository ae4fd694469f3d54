"""The end of a customer's personal data.

Name, telephone, mail, own words, marks, signatures, photos and files go. The build, the signed logs
and the money stay, under a number. A signed log is never touched: what goes into one is kept free
of the customer's name to begin with (veil.py).
"""

import json
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from sqlalchemy import delete, update
from sqlmodel import Session, select

from server.records import held
from server.records.engine import fold_in, leave_no_trace, writing
from server.records.held import Row
from server.records.tables import Customer, Erasure, Ticket, metadata
from server.trade.events import Event
from server.trade.ticket import CLOSED
from server.work.customers import erasure_rules
from server.work.customers.privacy import SEE_TO, counts, kept_files, rows_of
from server.work.customers.redaction import Veil
from server.work.errors import Locked, Missing, Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import shared
from server.work.ticket.files import path_of, small_path_of

INSTEAD = "[erased]"


def erase(shop: Shop, by: Person, customer_id: int, *, named: str, sure: bool) -> Erasure:
    """End what is personal of this customer's data; it cannot be undone.

    Asked twice: `named` is their name as somebody wrote it, `sure` their second yes. Once more it
    only sees to it that the files are gone. Raises Missing, NotAllowed, Unfit, and Locked while a
    ticket of theirs is open.
    """
    require(by, SEE_TO)
    with writing(shop.engine) as session:
        known = select(Erasure).where(Erasure.customer_id == customer_id)
        erasure = session.exec(known).first()
        if erasure is None:
            leave_no_trace(session)
            customer = _required(session, customer_id, named, sure=sure)
            erasure = _erased(session, by, customer, shop.now())
    for digest in json.loads(erasure.said)["digests"]:
        for path in (path_of(shop, digest), small_path_of(shop, digest)):
            path.unlink(missing_ok=True)
    fold_in(shop.engine)
    return erasure


def _required(session: Session, customer_id: int, named: str, *, sure: bool) -> Customer:
    one = select(Customer).where(Customer.id == customer_id)
    customer = session.exec(one.with_for_update()).one_or_none()
    if customer is None:
        raise Missing("There is no such customer.", "Open one of their tickets.")
    if named.strip().casefold() != customer.name.casefold():
        raise Unfit("named", "That is not this customer’s name.", "Write it as it stands above.")
    if not sure:
        raise Unfit("sure", "Say that it may not come back.")
    for ticket in _tickets(session, customer_id):
        if ticket.state not in CLOSED:
            raise Locked(
                f"Ticket {ticket.number:04d} is still open.",
                "Hand the craft over, or return it unrepaired, first.",
            )
    return customer


def _tickets(session: Session, customer_id: int) -> list[Ticket]:
    theirs = select(Ticket).where(Ticket.customer_id == customer_id)
    return list(session.exec(theirs.order_by(Ticket.id).with_for_update()))  # type: ignore[arg-type]  # a column


def _erased(session: Session, by: Person, customer: Customer, at: datetime) -> Erasure:
    rows = rows_of(session.connection(), customer.id)
    changed = _write_over(session, rows)
    digests = {digest for _, digest, _ in kept_files(rows)}
    customer.erased_at = at
    session.flush()
    for ticket in _tickets(session, customer.id):
        ticket.status_withdrawn_at = ticket.status_withdrawn_at or at
        shared.note(session, ticket, by, at, Event.ERASED)
    left = held.wanted_elsewhere(session.connection(), digests)
    said = {"held": counts(rows), "changed": changed, "digests": sorted(digests - left)}
    erasure = Erasure(customer_id=customer.id, at=at, by_id=by.id, said=json.dumps(said))
    session.add(erasure)
    session.flush()
    return erasure


def _write_over(session: Session, rows: dict[str, list[Row]]) -> int:
    """Give each row its fate, and tell how many were changed. Rows of photos go altogether."""
    veil, changed = Veil(_names(rows), [rows["customer"][0]["phone"]], INSTEAD), 0
    for table, found in rows.items():
        for row in found:
            if told := erasure_rules.changes(table, row, veil):
                changed += 1
                _change(session, table, row, told)
    photos = [row["id"] for row in rows["attachment"] if row["kind"] == "photo"]
    files = metadata.tables["attachment"]
    session.connection().execute(delete(files).where(files.c.id.in_(photos)))
    session.expire_all()
    return changed


def _change(session: Session, table: str, row: Row, told: dict[str, Any]) -> None:
    core = metadata.tables[table]
    same = [column == row[column.name] for column in core.primary_key]
    session.connection().execute(update(core).where(*same).values(**told))


def _names(rows: dict[str, list[Row]]) -> Iterable[str]:
    yield rows["customer"][0]["name"]
    yield from (row["collected_by"] for row in rows["ticket"])
    yield from (row["who"] for row in rows["agreement"] if row["who"] != erasure_rules.NOBODY)

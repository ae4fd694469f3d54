"""Everything that is held on one customer, found by the foreign keys that lead to them."""

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, Table, bindparam, select

from server.records.columns import core
from server.records.tables import AttachmentRecord, Booking, Customer, Ticket, metadata

ROOT = "customer"
# Where several keys lead up, the first of these is taken: each row is found once.
_FIRST = ("customer_id", "ticket_id", "build_id", "search_id")
Row = Mapping[str, Any]

_booking, _file = core(Booking), core(AttachmentRecord)
_ticket, _customer = core(Ticket), core(Customer)
_BEGUN = select(_booking).where(_booking.c.ticket_id.is_(None))
_ELSEWHERE = (
    select(_file.c.digest)
    .join(_ticket, _ticket.c.id == _file.c.ticket_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .where(_customer.c.erased_at.is_(None))
    .where(_file.c.digest.in_(bindparam("digests", expanding=True)))
)


def ups() -> dict[str, tuple[str, str]]:
    """By table, parents first: the column that leads up, and the table that it leads to."""
    found: dict[str, tuple[str, str]] = {}
    tables = {ROOT}
    while True:
        new = {t.name: up for t in metadata.sorted_tables if (up := _up(t, tables))}
        new = {name: up for name, up in new.items() if name not in tables}
        if not new:
            return found
        found |= new
        tables |= new.keys()


def _up(table: Table, known: set[str]) -> tuple[str, str] | None:
    for name in _FIRST:
        column = table.columns.get(name)
        for key in column.foreign_keys if column is not None else ():
            if key.column.table.name in known:
                return name, key.column.table.name
    return None


def rows_of(connection: Connection, customer_id: int) -> dict[str, list[Row]]:
    """Every row of every table that is about this customer, by table, each in its key's order.

    The bookings that never became a ticket are those of this customer by number or by name.
    """
    root = metadata.tables[ROOT]
    found: dict[str, list[Row]] = {}
    query = select(root).where(root.c.id == customer_id)
    found[ROOT] = [row._asdict() for row in connection.execute(query)]
    for name, (column, parent) in ups().items():
        table = metadata.tables[name]
        ids = [row["id"] for row in found[parent]]
        chosen = select(table).where(table.c[column].in_(ids)).order_by(*table.primary_key)
        found[name] = [row._asdict() for row in connection.execute(chosen)] if ids else []
    for root_row in found[ROOT]:
        found["booking"] += _begun(connection, root_row)
    return found


def _begun(connection: Connection, customer: Row) -> Iterator[Row]:
    for row in connection.execute(_BEGUN):
        told = json.loads(row.answers)
        if told.get("customer_id") == customer["id"] or (
            told.get("customer_name", "").strip().casefold() == customer["name"].casefold()
        ):
            yield row._asdict()


def wanted_elsewhere(connection: Connection, digests: Iterable[str]) -> set[str]:
    """Those of these files that a customer who was not erased has too."""
    return set(connection.execute(_ELSEWHERE, {"digests": list(digests)}).scalars())

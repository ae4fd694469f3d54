"""Queries about how a craft left the shop."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import Receipt

_receipt = core(Receipt)


class ReceiptRow(NamedTuple):
    """What was shown, signed, kept back and left open when a craft was given back."""

    shown: str
    signed: str
    signature: str
    kept_back: str
    owed_note: str
    at: datetime


_OF = Rows(
    ReceiptRow,
    select(*labelled(ReceiptRow, _receipt)).where(_receipt.c.ticket_id == bindparam("ticket")),
)


def receipt(connection: Connection, ticket_id: int) -> ReceiptRow | None:
    """The receipt of a ticket; None while the craft is here."""
    return _OF.first(connection, {"ticket": ticket_id})

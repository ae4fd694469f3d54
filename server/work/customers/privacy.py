"""A customer's data: what is held, and all of it to take along."""

import io
import json
import zipfile
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from server.drawing import hand
from server.records import held
from server.records.engine import reading
from server.records.held import Row
from server.trade.ticket import CLOSED
from server.work.bench.log_document import free_text
from server.work.customers.redaction import Veil
from server.work.errors import Missing
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket.files import path_of

SEE_TO = "see to a customer’s data"
_ABOUT = (
    "All that the shop holds on one customer: held.json by table, as it is kept, times in UTC;"
    " files/ the photos and settings files; signatures/ what was signed on the tablet; logs/ the"
    " signed test logs, which anybody can check.\n"
)


@dataclass(frozen=True)
class CustomerData:
    """What is held on a customer, counted. `naming` are the logs that hold their name."""

    id: int
    name: str
    erased_at: datetime | None
    counts: dict[str, int]
    open_tickets: tuple[int, ...]
    naming: tuple[int, ...]


def held_on(connection: Connection, by: Person, customer_id: int) -> CustomerData:
    """What is held on this customer. Raises Missing, NotAllowed."""
    require(by, SEE_TO)
    rows = rows_of(connection, customer_id)
    (root,) = rows["customer"]
    open_ = tuple(t["number"] for t in rows["ticket"] if t["state"] not in CLOSED)
    naming = () if root["erased_at"] else _naming(rows)
    return CustomerData(customer_id, root["name"], root["erased_at"], counts(rows), open_, naming)


def export(shop: Shop, by: Person, customer_id: int) -> bytes:
    """A zip of every row and file that is held on this customer. Raises Missing, NotAllowed."""
    require(by, SEE_TO)
    with reading(shop.engine) as connection:
        rows = rows_of(connection, customer_id)
    told = {name: [_plain(row) for row in found] for name, found in rows.items() if found}
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as whole:
        whole.writestr("README.txt", _ABOUT)
        whole.writestr("held.json", json.dumps(told, ensure_ascii=False, indent=1))
        _put_files(whole, shop, rows)
        for row in rows["test_log"]:
            whole.writestr(f"logs/{row['number']:04d}.qwlog", row["document"])
    return made.getvalue()


def rows_of(connection: Connection, customer_id: int) -> dict[str, list[Row]]:
    """All rows about a customer, by table. Raises Missing."""
    rows = held.rows_of(connection, customer_id)
    if not rows["customer"]:
        raise Missing("There is no such customer.", "Open one of their tickets.")
    return rows


def counts(rows: dict[str, list[Row]]) -> dict[str, int]:
    """How many of what is held."""
    kinds = [row["kind"] for row in rows["attachment"]]
    return {
        "tickets": len(rows["ticket"]),
        "crafts": len(rows["craft"]),
        "photos": kinds.count("photo"),
        "files": kinds.count("settings"),
        "signatures": sum(bool(row["signature"]) for row in rows["receipt"]),
        "builds": len(rows["build"]),
        "logs": len(rows["test_log"]),
        "payments": len(rows["payment"]),
    }


def kept_files(rows: dict[str, list[Row]]) -> list[tuple[str, str, str]]:
    """Every file: where it belongs, its digest, its name; those of a booking left half way too."""
    numbers = _numbers(rows)
    found = [(numbers[r["ticket_id"]], r["digest"], r["name"]) for r in rows["attachment"]]
    for row in rows["booking"]:
        told, belongs = json.loads(row["answers"]), f"booking-{row['id']}"
        found += [(belongs, p["digest"], p["name"]) for p in told.get("photos", [])]
        found += [(belongs, digest, "dropped.jpg") for digest in told.get("dropped", [])]
    return found


def _numbers(rows: dict[str, list[Row]]) -> dict[int, str]:
    return {ticket["id"]: f"{ticket['number']:04d}" for ticket in rows["ticket"]}


def _put_files(whole: zipfile.ZipFile, shop: Shop, rows: dict[str, list[Row]]) -> None:
    for belongs, digest, name in kept_files(rows):
        if (path := path_of(shop, digest)).exists():
            whole.writestr(f"files/{belongs}-{digest[:12]}-{name}", path.read_bytes())
    numbers = _numbers(rows)
    for row in rows["receipt"]:
        if row["signature"]:
            drawn = hand.signature(hand.strokes(row["signature"]))
            whole.writestr(f"signatures/{numbers[row['ticket_id']]}.svg", drawn)


def _naming(rows: dict[str, list[Row]]) -> tuple[int, ...]:
    (root,) = rows["customer"]
    veil = Veil([root["name"]], [root["phone"]])
    logs = ((row["number"], json.loads(row["document"])["log"]) for row in rows["test_log"])
    return tuple(number for number, log in logs if veil.hides("\n".join(free_text(log))))


def _plain(row: Row) -> dict[str, Any]:
    return {k: v.isoformat() if isinstance(v, datetime) else v for k, v in row.items()}

"""Files of a ticket, under their digest, outside the database.

What evidence names and what the customer brings is kept byte for byte and never read; photos are
made anew first (`pictures`).
"""

import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import AttachmentRecord, Ticket
from server.work.errors import Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import pictures, shared

MOST_BYTES = 5 * 1024 * 1024
MOST_PHOTOS, MOST_FILES = 24, 40  # of one ticket, from the counter
LONGEST_NAME = 120


@dataclass(frozen=True)
class Upload:
    """A file that a form brought."""

    data: bytes
    name: str
    media_type: str = "application/octet-stream"

    @property
    def digest(self) -> str:
        """The SHA-256 that it is kept under."""
        return hashlib.sha256(self.data).hexdigest()


def keep_file(
    session: Session, shop: Shop, by: Person, ticket: Ticket, upload: Upload
) -> AttachmentRecord:
    """Keep a file for the evidence of a ticket. For acts. The same bytes twice are one file.

    The file is whole on the disk before its row says so. Raises NotAllowed, Locked, Unfit.
    """
    require(by, "work at the bench")
    shared.require_open(ticket)
    _require_size(upload.data)
    digest = upload.digest
    if kept := _there(session, ticket, "settings", digest):
        return kept
    _store(path_of(shop, digest), upload.data)
    name, size = upload.name, len(upload.data)
    return _row(session, shop, by, ticket, "settings", digest, name, upload.media_type, size)


def keep_customers_file(
    shop: Shop, by: Person, number: int, *, data: bytes, name: str
) -> AttachmentRecord:
    """Keep a file that the customer brought, as it is, to be given back. Never read or run.

    Raises Missing, Locked, Unfit.
    """
    require(by, "book in")
    pictures.require_name(name, "files")
    _require_size(data, "files")
    digest = hashlib.sha256(data).hexdigest()
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        shared.require_open(ticket)
        if kept := _there(session, ticket, "settings", digest):
            return kept
        _require_room(session, ticket, "settings", MOST_FILES, "files")
        _store(path_of(shop, digest), data)
        return _row(
            session,
            shop,
            by,
            ticket,
            "settings",
            digest,
            name,
            "application/octet-stream",
            len(data),
        )


def store_photo(shop: Shop, *, data: bytes, name: str) -> dict[str, Any]:
    """Make a photo anew and lay it down, for a booking or a ticket to name. Raises Unfit.

    Gives its digest, name and size; the small copy lies beside it.
    """
    made = pictures.remade(data, name)
    digest = hashlib.sha256(made.data).hexdigest()
    _store(path_of(shop, digest), made.data)
    _store(small_path_of(shop, digest), made.small)
    return {"digest": digest, "name": plain_name(name), "size": len(made.data)}


def keep_photo(shop: Shop, by: Person, number: int, *, data: bytes, name: str) -> AttachmentRecord:
    """A photo of the craft, kept with its ticket. Raises Missing, Locked, Unfit."""
    require(by, "book in")
    stored = store_photo(shop, data=data, name=name)
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        shared.require_open(ticket)
        return add_photo(session, shop, by, ticket, stored)


def add_photo(
    session: Session, shop: Shop, by: Person, ticket: Ticket, stored: Mapping[str, Any]
) -> AttachmentRecord:
    """Name a stored photo on a ticket; twice it is one. For acts. Raises Unfit for one too many."""
    if kept := _there(session, ticket, "photo", stored["digest"]):
        return kept
    _require_room(session, ticket, "photo", MOST_PHOTOS, "photos")
    return _row(
        session,
        shop,
        by,
        ticket,
        "photo",
        stored["digest"],
        stored["name"],
        "image/jpeg",
        stored["size"],
    )


def path_of(shop: Shop, digest: str) -> Path:
    """Where the bytes of that digest lie."""
    return shop.files / digest[:2] / digest


def small_path_of(shop: Shop, digest: str) -> Path:
    """Where the small copy of that photo lies."""
    return shop.files / digest[:2] / f"{digest}-small"


def plain_name(name: str) -> str:
    """A file's name without folders and control characters; 'file' where nothing is left."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    shown = "".join(c for c in last if c.isprintable()).strip()
    return shown[-LONGEST_NAME:] or "file"


def _require_size(data: bytes, field: str = "attachment") -> None:
    if not data:
        raise Unfit(field, "The file is empty. Choose another.")
    if len(data) > MOST_BYTES:
        raise Unfit(field, f"Keep the file under {MOST_BYTES // 1024 // 1024} MiB.")


def _there(session: Session, ticket: Ticket, kind: str, digest: str) -> AttachmentRecord | None:
    return session.exec(
        select(AttachmentRecord).where(
            AttachmentRecord.ticket_id == ticket.id,
            AttachmentRecord.digest == digest,
            AttachmentRecord.kind == kind,
        )
    ).one_or_none()


def _require_room(session: Session, ticket: Ticket, kind: str, most: int, field: str) -> None:
    held = select(AttachmentRecord.id).where(
        AttachmentRecord.ticket_id == ticket.id, AttachmentRecord.kind == kind
    )
    if len(session.exec(held).all()) >= most:
        raise Unfit(field, f"This ticket has {most} {field} already, and takes no more.")


def _row(
    session: Session,
    shop: Shop,
    by: Person,
    ticket: Ticket,
    kind: str,
    digest: str,
    name: str,
    media_type: str,
    size: int,
) -> AttachmentRecord:
    row = AttachmentRecord(
        ticket_id=ticket.id,
        digest=digest,
        kind=kind,
        name=plain_name(name),
        media_type=media_type,
        size=size,
        by_id=by.id,
        at=shop.now(),
    )
    session.add(row)
    session.flush()
    return row


def _store(path: Path, data: bytes) -> None:
    if path.exists():
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile(dir=path.parent, delete=False) as part:
        part.write(data)
        part.flush()
        os.fsync(part.fileno())
    os.replace(part.name, path)

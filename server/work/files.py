"""Files that evidence names: kept byte for byte under their digest, outside the database."""

import hashlib
import os
from io import BytesIO
from pathlib import Path
from tempfile import NamedTemporaryFile

from PIL import Image, ImageOps, UnidentifiedImageError
from sqlmodel import select

from server.records.engine import writing
from server.records.tables import Attachment
from server.work import tickets
from server.work.errors import Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop

MOST_BYTES = 5 * 1024 * 1024
MOST_PIXELS = 40_000_000
LONGEST_NAME = 120
SIDE = 2400  # px; a photo's longer side as it is kept


def keep_file(shop: Shop, by: Person, number: int, *, data: bytes, name: str,
              media_type: str = "application/octet-stream") -> Attachment:  # fmt: skip
    """Keep `data` for the evidence of a ticket. The same bytes twice are one file.

    The file is whole on the disk before its row says so. Raises Missing, Locked, Unfit.
    """
    require(by, "work at the bench")
    _require_size(data)
    digest = hashlib.sha256(data).hexdigest()
    with writing(shop.engine) as session:
        ticket = tickets.locked(session, number)
        tickets.require_open(ticket)
        kept = session.exec(
            select(Attachment).where(
                Attachment.ticket_id == ticket.id, Attachment.digest == digest,
                Attachment.kind == "settings",
            )
        ).one_or_none()  # fmt: skip
        if kept is not None:
            return kept
        _store(path_of(shop, digest), data)
        kept = Attachment(
            ticket_id=ticket.id, digest=digest, kind="settings", name=plain_name(name),
            media_type=media_type, size=len(data), by_id=by.id, at=shop.now(),
        )  # fmt: skip
        session.add(kept)
        session.flush()
        return kept


def photo_bytes(data: bytes) -> bytes:
    """A photo decoded and made anew as JPEG, upright and without what it says of place and camera.

    Raises Unfit for what is no picture, or too large a one.
    """
    _require_size(data)
    try:
        with Image.open(BytesIO(data)) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise Unfit("attachment", "This picture is too large. Take a smaller one.")
            upright = ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError) as error:
        raise Unfit("attachment", "This file is no picture that can be read.") from error
    upright.thumbnail((SIDE, SIDE))
    made = BytesIO()
    upright.save(made, "JPEG", quality=85)
    return made.getvalue()


def path_of(shop: Shop, digest: str) -> Path:
    """Where the bytes of that digest lie."""
    return shop.files / digest[:2] / digest


def plain_name(name: str) -> str:
    """A file's name without folders and control characters; 'file' where nothing is left."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    shown = "".join(c for c in last if c.isprintable()).strip()
    return shown[-LONGEST_NAME:] or "file"


def _require_size(data: bytes) -> None:
    if not data:
        raise Unfit("attachment", "The file is empty. Choose another.")
    if len(data) > MOST_BYTES:
        raise Unfit("attachment", f"Keep the file under {MOST_BYTES // 1024 // 1024} MiB.")


def _store(path: Path, data: bytes) -> None:
    if path.exists():
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile(dir=path.parent, delete=False) as part:
        part.write(data)
        part.flush()
        os.fsync(part.fileno())
    os.replace(part.name, path)

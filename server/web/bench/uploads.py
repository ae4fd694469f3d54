"""A file or photo that a form brought, or one that it names because it was kept before."""

from typing import Any

from server.records import evidence, tickets
from server.records.engine import reading
from server.web.bench.kinds.forms import FileForm, PhotoForm, Told
from server.work.errors import Unfit
from server.work.shop import Shop
from server.work.ticket import files, pictures
from server.work.ticket.files import Upload


def brought(told: Told) -> Upload | None:
    """What the form brought; None where it brought none. Raises Unfit."""
    given = told.given
    if not isinstance(given, FileForm) or given.file is None:
        return None
    name, media_type = given.file.filename or "", given.file.content_type or ""
    if isinstance(given, PhotoForm):
        photo = given.file.file.read(pictures.MOST_BYTES + 1)
        return Upload(pictures.remade(photo, name, "attachment").data, name, "image/jpeg")
    return Upload(given.file.file.read(files.MOST_BYTES + 1), name, media_type)


def kept_before(shop: Shop, number: int, told: Told) -> dict[str, Any] | None:
    """The answer that names a file of this ticket; None where the form names none. Raises Unfit."""
    given = told.given
    if not isinstance(given, FileForm) or not given.kept or given.file is not None:
        return None
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
        rows = evidence.attached(connection, head.id) if head else []
    for row in rows:
        if row.digest == given.kept:
            return {"attachment": row.digest, "name": row.name}
    raise Unfit("attachment", "That file is not kept on this ticket.", "Choose it again.")

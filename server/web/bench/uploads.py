"""A file or photo that a form brought: kept, and named as the answer."""

from typing import Any

from server.records import evidence, tickets
from server.records.engine import reading
from server.web.bench.kinds.forms import FileForm, PhotoForm, Told
from server.work.errors import Unfit
from server.work.shop import Person, Shop
from server.work.ticket import files, pictures


def kept_answer(shop: Shop, by: Person, number: int, told: Told) -> dict[str, Any] | None:
    """The answer that names the file; None where the form brought none. Raises Unfit."""
    given = told.given
    if not isinstance(given, FileForm):
        return None
    if given.kept and given.file is None:
        return _kept_before(shop, number, given.kept)
    if given.file is None:
        return None
    name, media_type = given.file.filename or "", given.file.content_type or ""
    if isinstance(given, PhotoForm):
        photo = given.file.file.read(pictures.MOST_BYTES + 1)
        data, media_type = pictures.remade(photo, name, "attachment").data, "image/jpeg"
    else:
        data = given.file.file.read(files.MOST_BYTES + 1)
    kept = files.keep_file(shop, by, number, data=data, name=name, media_type=media_type)
    return {"attachment": kept.digest, "name": kept.name}


def _kept_before(shop: Shop, number: int, digest: str) -> dict[str, Any]:
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
        rows = evidence.attached(connection, head.id) if head else []
    for row in rows:
        if row.digest == digest:
            return {"attachment": row.digest, "name": row.name}
    raise Unfit("attachment", "That file is not kept on this ticket.", "Choose it again.")

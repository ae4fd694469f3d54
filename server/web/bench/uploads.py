"""A file or photo that a form brought: kept, and named as the answer."""

from typing import Any

from server.records import evidence, tickets
from server.records.engine import reading
from server.trade.card.kinds.file import KeptFile
from server.web.bench.posted import Submission
from server.work.errors import Unfit
from server.work.shop import Person, Shop
from server.work.ticket import files


def kept_answer(shop: Shop, by: Person, number: int, told: Submission) -> dict[str, Any] | None:
    """The answer that names the file; None where the form brought none. Raises Unfit."""
    brought = told.view.brings(told.given) if told.given else None
    if brought is None:
        return None
    if brought.kept:
        return _kept_before(shop, number, brought.kept)
    kept = files.keep_file(
        shop, by, number, data=brought.data, name=brought.name, media_type=brought.media_type
    )
    return dict(KeptFile(kept.digest, kept.name).as_json())


def _kept_before(shop: Shop, number: int, digest: str) -> dict[str, Any]:
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
        rows = evidence.attached(connection, head.id) if head else []
    for row in rows:
        if row.digest == digest:
            return {"attachment": row.digest, "name": row.name}
    raise Unfit("attachment", "That file is not kept on this ticket.", "Choose it again.")

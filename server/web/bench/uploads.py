"""A file or photo that a form brought, or one that it names because it was kept before."""

from typing import Any

from server.records import evidence, tickets
from server.records.engine import reading
from server.web.bench.posted import Submission
from server.work.errors import Unfit
from server.work.shop import Shop
from server.work.ticket.files import Upload


def brought_with(
    shop: Shop, number: int, told: Submission
) -> tuple[dict[str, Any] | None, Upload | None]:
    """The answer that names a file kept before, or the upload that the act keeps; at most one.

    Raises Unfit.
    """
    brought = told.view.brings(told.given) if told.given else None
    if brought is None:
        return None, None
    if brought.kept:
        return _kept_before(shop, number, brought.kept), None
    return None, Upload(brought.data, brought.name, brought.media_type)


def _kept_before(shop: Shop, number: int, digest: str) -> dict[str, Any]:
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
        rows = evidence.attached(connection, head.id) if head else []
    for row in rows:
        if row.digest == digest:
            return {"attachment": row.digest, "name": row.name}
    raise Unfit("attachment", "That file is not kept on this ticket.", "Choose it again.")

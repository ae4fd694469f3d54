"""Photos and files that are kept: how pages name them, and how they are handed out."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from fastapi import Response

from server.records.counter import PhotoRow
from server.work.errors import Missing
from server.work.shop import Shop
from server.work.ticket import files

# A browser shows these bytes or saves them, and never runs what they may hold.
_QUIET = {
    "Cache-Control": "private, no-store",
    "Content-Security-Policy": "default-src 'none'; sandbox",
    "X-Robots-Tag": "noindex, nofollow",
}


@dataclass(frozen=True)
class ShownPhoto:
    """A photo on a page: its address (`/small` gives its small copy), and what it is called."""

    digest: str
    href: str
    name: str


def photos(rows: Iterable[PhotoRow], number: int) -> tuple[ShownPhoto, ...]:
    """A ticket's photos."""
    return tuple(
        ShownPhoto(row.digest, f"/tickets/{number}/photos/{row.digest}", row.name) for row in rows
    )


def picture_answer(shop: Shop, digest: str, *, small: bool) -> Response:
    """A photo's bytes. Whether they may be seen was asked before. Raises Missing."""
    path = (files.small_path_of if small else files.path_of)(shop, digest)
    if not path.is_file():
        raise Missing("This photo is gone from the disk.", "Ask who runs the server.")
    return Response(path.read_bytes(), media_type="image/jpeg", headers=_QUIET)


def file_answer(shop: Shop, row: PhotoRow) -> Response:
    """A file's own bytes, to be saved under the name it came with. Raises Missing."""
    path = files.path_of(shop, row.digest)
    if not path.is_file():
        raise Missing("This file is gone from the disk.", "Ask who runs the server.")
    named = f"attachment; filename*=UTF-8''{quote(row.name)}"
    headers = _QUIET | {"Content-Disposition": named}
    return Response(path.read_bytes(), media_type="application/octet-stream", headers=headers)

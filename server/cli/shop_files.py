"""Every signed log, key list and head out of the database, as the files that they are."""

from pathlib import Path
from typing import Any

from sqlalchemy import Connection

from server.cli.answer import Unreadable
from server.cli.starting import opened, settings_of_environment, told
from server.ledger import headfile, keylist, signing
from server.records import trust
from server.records.engine import reading

Document = dict[str, Any]
AT_ONCE = 200
SUFFIXES = {"keys": keylist.SUFFIX, "head": headfile.SUFFIX}


def export(folder: Path) -> Document:
    """Write the files into `folder`; those that are there already are written again, alike.

    Raises Unreadable for a database or a folder that cannot be used.
    """
    settings = settings_of_environment()
    shop = opened(settings)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with told(settings), reading(shop.engine) as connection:
            written = {"logs": _logs(connection, folder), **_published(connection, folder)}
        shop.engine.dispose()
    except OSError as error:
        raise Unreadable(str(folder), f"It cannot be written to: {error.strerror}.") from error
    return {"folder": str(folder), **written}


def _logs(connection: Connection, folder: Path) -> int:
    count = trust.how_many(connection)
    for first in range(1, count + 1, AT_ONCE):
        for number, data in trust.some(connection, first, first + AT_ONCE - 1):
            (folder / f"{number:04d}{signing.SUFFIX}").write_bytes(data)
    return count


def _published(connection: Connection, folder: Path) -> dict[str, int]:
    rows = trust.published(connection)
    for row in rows:
        data = trust.file_of(connection, row.kind, row.id) or b""
        (folder / f"{row.kind}-{row.id:04d}{SUFFIXES[row.kind]}").write_bytes(data)
    counted = [row.kind for row in rows]
    return {"lists": counted.count("keys"), "heads": counted.count("head")}

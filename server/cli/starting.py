"""What keeps a shop from being opened, as one sentence: what is wrong, where, and what to do."""

import errno
from collections.abc import Iterator
from contextlib import contextmanager

import typer
from pydantic import ValidationError
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, SQLAlchemyError

from server.app import open_shop
from server.cli.answer import UNREADABLE, Unreadable
from server.records.migrate import NewerDatabase
from server.settings import Settings
from server.work.shop import Shop

ADDRESS = "QUADWRIGHT_DATABASE_URL"

# What a driver says, and what that means to whoever starts the program.
_SAID = {
    "not a database": "is not a database, or is damaged: restore a copy, or move it away",
    "malformed": "is damaged: restore a copy, or move it away",
    "unable to open": "cannot be opened: see whether its folder is there and may be written",
    "readonly": "may only be read: let this user write the file and its folder",
    "disk is full": "does not fit on its disk, which is full: make room, then start again",
    "disk i/o": "is refused by its disk: see whether that is full, read-only or broken",
    "locked": "is held by another process: end that one, then start again",
}
_FOLDER = {
    errno.ENOSPC: "the disk is full: make room, then start again",
    errno.EDQUOT: "this user’s share of the disk is full: make room, then start again",
    errno.EROFS: "the disk is read-only: mount it to be written, or name another folder",
    errno.EACCES: "this user may not write there: give the right, or name another folder",
    errno.EPERM: "this user may not write there: give the right, or name another folder",
}


def settings_of_environment() -> Settings:
    """The settings in force. Raises Unreadable for one that is none."""
    try:
        return Settings()
    except ValidationError as wrong:
        first = wrong.errors(include_url=False)[0]
        name = f"QUADWRIGHT_{str(first['loc'][0]).upper()}"
        says = f"“{first['input']}” will not do: it {first['msg'].removeprefix('Input ')}."
        raise Unreadable(name, says) from wrong


def opened(settings: Settings) -> Shop:
    """The shop of these settings. Raises Unreadable for what keeps it from being opened."""
    with told(settings):
        return open_shop(settings)


@contextmanager
def told(settings: Settings) -> Iterator[None]:
    """Faults of database and folder inside, as Unreadable."""
    try:
        yield
    except NewerDatabase as newer:
        raise Unreadable("database", str(newer)) from newer
    except (ArgumentError, NoSuchModuleError) as wrong:
        says = "This is no address of a database that can be used; such as sqlite:///shop.db."
        raise Unreadable(ADDRESS, says) from wrong
    except SQLAlchemyError as error:
        raise Unreadable("database", f"{_place(settings)} {_of_database(error)}.") from error
    except ModuleNotFoundError as missing:
        if not settings.database_url:
            raise
        says = f"Its driver {missing.name} is not installed: pip install 'quadwright[postgres]'."
        raise Unreadable(ADDRESS, says) from missing
    except OSError as error:
        at = str(error.filename or settings.data)
        raise Unreadable(at, f"It cannot be used: {_of_folder(error)}.") from error


@contextmanager
def or_leave() -> Iterator[None]:
    """Print what cannot be read or opened as one line on standard error, and leave with 2."""
    try:
        yield
    except Unreadable as no:
        typer.echo(str(no), err=True)
        raise typer.Exit(UNREADABLE) from no


def _place(settings: Settings) -> str:
    """The database without the password in its address."""
    url = make_url(settings.database)
    return url.database or "" if url.get_backend_name() == "sqlite" else str(url)


def _of_database(error: SQLAlchemyError) -> str:
    reason = error.orig if isinstance(error, DBAPIError) and error.orig else error
    said = (str(reason).splitlines() or ["no reason given"])[0].strip()
    for part, says in _SAID.items():
        if part in said.lower():
            return says
    return f"cannot be used: {said.rstrip('.')}; see whether it runs and the address is right"


def _of_folder(error: OSError) -> str:
    return _FOLDER.get(error.errno or 0, error.strerror or str(error))

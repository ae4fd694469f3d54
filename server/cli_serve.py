"""Starting the app: the real shop, or the demo shop."""

import socket
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import typer
import uvicorn
from fastapi import FastAPI
from sqlalchemy import select

from server.app import create_app, open_shop
from server.records.engine import open_engine, reading
from server.records.migrate import NewerDatabase
from server.records.tables import Staff
from server.settings import Settings
from server.web.site.requests import set_up_logs
from server.work.people.staff import DEMO_PHRASE, DEMO_STAFF
from server.work.shop import Shop


def make(settings: Settings | None = None) -> FastAPI:
    """The app of these settings, or of the environment's: also what other servers are given."""
    settings = settings or Settings()
    set_up_logs(settings.log_level, as_json=settings.log_json)
    return create_app(
        _opened(settings), cache=settings.data / "cache", secure_cookies=settings.secure_cookies
    )


def serve(host: str, port: int, workers: int) -> None:
    """Serve the shop of the environment's settings."""
    _opened(Settings()).engine.dispose()  # the schema first, once, whatever the number of workers
    given = "server.cli_serve:make"
    uvicorn.run(
        given,
        factory=True,
        host=host,
        port=port,
        workers=workers,
        access_log=False,
        log_level="warning",
    )


def demo(folder: Path | None, port: int, fill_only: bool) -> None:
    """Serve an invented shop from `folder`, or from a temporary one that is gone afterwards."""
    if folder is not None:
        _demo_in(folder, port, fill_only)
        return
    with tempfile.TemporaryDirectory(prefix="quadwright-demo-") as name:
        _demo_in(Path(name), port, fill_only)


def first_supervisor(shop_name: str, name: str, initials: str, sign_in: str, phrase: str) -> None:
    """Make the shop and its first supervisor from the command line."""
    from server.work.errors import Refused
    from server.work.people.staff import set_up

    try:
        set_up(
            _opened(Settings()),
            shop_name=shop_name,
            name=name,
            initials=initials,
            sign_in=sign_in,
            phrase=phrase,
        )
    except Refused as no:
        typer.echo(f"{no.says} {no.do}", err=True)
        raise typer.Exit(2) from no
    typer.echo(f"{name} can sign in as {sign_in}.")


def _demo_in(folder: Path, port: int, fill_only: bool) -> None:
    address = f"http://127.0.0.1:{port or _free_port()}"
    settings = Settings(
        data=folder,
        database_url="",
        base_url=address,
        demo=True,
        log_level="WARNING",
        log_json=False,
    )
    shop = _opened(settings)
    if _is_empty(shop):
        from server.demo.shop import fill

        typer.echo("Making the demo shop: people, boards, past builds, signed logs …")
        hasty = open_engine(settings.database, durable=False)
        fill(replace(shop, engine=hasty))
        hasty.dispose()
    if fill_only:
        return
    typer.echo(f"\nThe demo shop is at {address}\n")
    for name, role in DEMO_STAFF:
        typer.echo(f"  {role:<12} sign in as {name:<10} phrase: {DEMO_PHRASE}")
    typer.echo("\nShop, people, makes and crafts are invented. Stop it with Ctrl+C.")
    sys.stdout.flush()
    uvicorn.run(
        make(settings),
        host="127.0.0.1",
        port=int(address.rsplit(":", 1)[1]),
        access_log=False,
        log_level="warning",
    )


def _opened(settings: Settings) -> Shop:
    try:
        return open_shop(settings)
    except NewerDatabase as newer:
        typer.echo(str(newer), err=True)
        raise typer.Exit(2) from newer


def _is_empty(shop: Shop) -> bool:
    with reading(shop.engine) as connection:
        return connection.execute(select(Staff.id).limit(1)).first() is None  # type: ignore[call-overload]  # a column of a model


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])

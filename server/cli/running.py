"""Starting the app: the real shop, or the demo shop."""

import socket
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI
from sqlalchemy import select

from server.app import create_app
from server.cli.answer import Unreadable, message
from server.cli.starting import opened, or_leave, settings_of_environment, told
from server.records.engine import open_engine, reading
from server.records.tables import Staff
from server.settings import Settings
from server.web.site.requests import set_up_logs
from server.web.site.routing import Desk
from server.work.errors import Refused
from server.work.people.staff import DEMO_PASSWORD, DEMO_STAFF, set_up
from server.work.shop import Shop


def make(settings: Settings | None = None) -> FastAPI:
    """The app of these settings, or of the environment's: also what other servers are given."""
    with or_leave():
        return _made(settings or settings_of_environment())


def prepare() -> None:
    """Everything once before any worker: the schema, the cut fonts, and what stands in the way.

    Raises Unreadable for settings, a database or a folder that cannot be used.
    """
    _made(settings_of_environment()).state.shop.engine.dispose()


def _made(settings: Settings) -> FastAPI:
    set_up_logs(settings.log_level, as_json=settings.log_json)
    shop = opened(settings)
    with told(settings):
        return create_app(
            shop,
            cache=settings.data / "cache",
            secure_cookies=settings.secure_cookies,
            more=_beside(settings),
        )


def serve(host: str, port: int, workers: int) -> None:
    """Serve the shop of the environment's settings."""
    given = "server.cli.running:make"
    uvicorn.run(
        given,
        factory=True,
        host=host,
        port=port,
        workers=workers,
        access_log=False,
        log_level="warning",
    )


@dataclass(frozen=True)
class DemoPlace:
    """A demo shop that is filled: its settings and the port to serve it on."""

    settings: Settings
    port: int

    def as_json(self) -> dict[str, Any]:
        """Where the shop is, and who can sign in."""
        return {
            "address": self.settings.base_url,
            "folder": str(self.settings.data),
            "people": [
                {"sign_in": name, "role": role, "password": DEMO_PASSWORD}
                for name, role in DEMO_STAFF
            ],
        }


def fill_demo(folder: Path, port: int) -> DemoPlace:
    """The invented shop in `folder`, made where there is none; port 0 takes a free one."""
    port = port or _free_port()
    settings = Settings(
        data=folder,
        database_url="",
        base_url=f"http://127.0.0.1:{port}",
        demo=True,
        log_level="WARNING",
        log_json=False,
    )
    shop = opened(settings)
    if _is_empty(shop):
        from server.demo.shop import fill

        message("Making the demo shop: people, boards, past builds, signed logs …")
        hasty = open_engine(settings.database, durable=False)
        fill(replace(shop, engine=hasty))
        hasty.dispose()
    shop.engine.dispose()
    return DemoPlace(settings, port)


def serve_demo(demo: DemoPlace) -> None:
    """Serve the invented shop on this machine alone."""
    uvicorn.run(
        make(demo.settings),
        host="127.0.0.1",
        port=demo.port,
        access_log=False,
        log_level="warning",
    )


def _beside(settings: Settings) -> tuple[Desk, ...]:
    """The page of all components is part of the demo, not of a shop."""
    if not settings.demo:
        return ()
    from server.demo.components import desk

    return (desk,)


def first_supervisor(shop_name: str, name: str, initials: str, sign_in: str, password: str) -> None:
    """Make the shop and its first supervisor. Raises Unreadable where it has people already."""
    try:
        set_up(
            opened(settings_of_environment()),
            shop_name=shop_name,
            name=name,
            initials=initials,
            sign_in=sign_in,
            password=password,
        )
    except Refused as no:
        raise Unreadable("shop", f"{no.says} {no.do}".strip()) from no


def _is_empty(shop: Shop) -> bool:
    with reading(shop.engine) as connection:
        return connection.execute(select(Staff.id).limit(1)).first() is None  # type: ignore[call-overload]  # a column of a model


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])

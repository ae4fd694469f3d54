"""Put it together: the one place that knows everything."""

import gc
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from functools import lru_cache
from pathlib import Path
from zoneinfo import ZoneInfo

from fastapi import FastAPI

from server.places import MIGRATIONS, STATIC, TEMPLATES
from server.records.engine import is_sqlite, open_engine
from server.records.migrate import bring_up_to_date
from server.settings import Settings
from server.web.desks import DESKS
from server.web.site import errors, page, requests, security
from server.web.site.assets import Assets
from server.web.site.routing import Desk
from server.work.shop import Shop, Watch


def open_shop(settings: Settings) -> Shop:
    """The shop of these settings, its database brought up to date. Raises NewerDatabase."""
    settings.data.mkdir(parents=True, exist_ok=True)
    engine = open_engine(settings.database)
    bring_up_to_date(engine, MIGRATIONS)
    files = settings.data / "files"
    files.mkdir(exist_ok=True)
    watch = Watch()
    return Shop(
        engine,
        files,
        base_url=settings.base_url,
        demo=settings.demo,
        now=watch.now,
        watch=watch,
        quick_phrases=settings.demo,
    )


# From the innermost to the outermost.
LAYERS = (
    errors.Bounded,
    security.Unhurried,
    security.SameSite,
    errors.Readable,
    security.SecurityHeaders,
    requests.RequestIds,
)


def create_app(
    shop: Shop, *, cache: Path, secure_cookies: bool = False, more: Sequence[Desk] = ()
) -> FastAPI:
    """The web app for one shop. `cache` is a folder for the cut fonts, `more` are desks beside the
    shop's own."""
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None, lifespan=_lifespan)
    app.state.shop, app.state.secure_cookies = shop, secure_cookies
    app.state.inline = is_sqlite(shop.engine)
    found = Assets.build(STATIC, cache)
    app.add_route("/assets/{digest}/{name}", found.answer, methods=["GET"])
    app.state.pages = _pages(found.url, shop.demo)
    for desk in (*DESKS, *more):
        app.include_router(desk)
    for kind, handler in errors.HANDLERS.items():
        app.add_exception_handler(kind, handler)
    for layer in LAYERS:
        app.add_middleware(layer)
    return app


def _pages(asset: Callable[[str], str], demo: bool) -> Callable[[page.House], page.Pages]:
    """How a shop draws, made once for each name, zone and country that it gives itself."""

    @lru_cache(maxsize=4)
    def pages(house: page.House) -> page.Pages:
        zone = ZoneInfo(house.zone)
        env = page.environment(TEMPLATES, zone=zone, country=house.country, asset=asset)
        return page.Pages(env, house.name, demo)

    return pages


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    # What was made at start stays: without this the collector walks it again and again, and the
    # slowest page in a hundred takes ten times as long (docs/decisions).
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 50)
    yield
    app.state.shop.engine.dispose()

"""What the tests with a server of their own share."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from server.work.shop import Person, Shop
from tests import databases, make
from tests.faults.lives import Server, served


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the shop's database and files lie."""
    return tmp_path_factory.mktemp("shop")


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def shop(request: pytest.FixtureRequest, folder: Path) -> Iterator[Shop]:
    """A shop by the real clock, for the servers have no other."""
    sqlite = request.param == "sqlite"
    engine = databases.fresh_sqlite(folder) if sqlite else databases.fresh_postgres()
    yield Shop(engine, folder / "files", quick_phrases=True)
    if sqlite:
        engine.dispose()


@pytest.fixture(scope="module")
def people(shop: Shop) -> tuple[Person, Person]:
    """Two technicians."""
    lead = make.lead(shop)
    return make.staff(shop, lead, "Kit Thorne"), make.staff(shop, lead, "Bo Larch")


@pytest.fixture(scope="module")
def server(shop: Shop, folder: Path) -> Iterator[Server]:
    """Nobody answers before the first life."""
    with served(folder, shop.engine.url.render_as_string(hide_password=False)) as mother:
        yield mother

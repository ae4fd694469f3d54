"""What the tests with a server of their own share."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from server.work.shop import Person, Shop
from tests import databases, make
from tests.faults.lives import Server, served


@pytest.fixture(params=["sqlite", "postgresql"])
def shop(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Shop]:
    """A shop by the real clock, for the servers have no other."""
    sqlite = request.param == "sqlite"
    engine = databases.fresh_sqlite(tmp_path) if sqlite else databases.fresh_postgres()
    yield Shop(engine, tmp_path / "files", quick_phrases=True)
    if sqlite:
        engine.dispose()


@pytest.fixture
def benches(shop: Shop) -> list[tuple[Person, int]]:
    """Two technicians, each with a craft that is proven up to the spins."""
    lead = make.lead(shop)
    found = []
    for name in ("Kit Thorne", "Bo Larch"):
        person = make.staff(shop, lead, name)
        number = make.on_the_bench(shop, person)
        make.work_through(shop, person, number, until="motors/spins")
        found.append((person, number))
    return found


@pytest.fixture
def server(shop: Shop, benches: object, tmp_path: Path) -> Iterator[Server]:
    """Nobody answers before the first life."""
    with served(tmp_path, shop.engine.url.render_as_string(hide_password=False)) as mother:
        yield mother

"""What every test gets: a shut network and a fast, repeatable hypothesis profile."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from pytest_socket import socket_allow_hosts

from server.work.shop import Shop
from tests import databases, make
from tests.skips import pytest_addoption, pytest_make_collect_report, pytest_runtest_makereport

# pytest finds its hooks here by their names.
__all__ = ["pytest_addoption", "pytest_make_collect_report", "pytest_runtest_makereport"]

settings.register_profile(
    "quick",
    max_examples=50,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
    database=None,
)
settings.register_profile("deep", max_examples=3000, deadline=None, database=None)
settings.load_profile(os.environ.get("QUADWRIGHT_TEST_PROFILE", "quick"))


@pytest.fixture(autouse=True)
def _only_loopback() -> None:
    """Nothing in the tests may talk to another machine."""
    socket_allow_hosts(["127.0.0.1", "localhost", "::1"], allow_unix_socket=True)


@pytest.fixture
def clock() -> make.Clock:
    """The time in the shop, moved by the test."""
    return make.Clock()


@pytest.fixture(params=["sqlite", "postgresql"])
def shop(request: pytest.FixtureRequest, tmp_path: Path, clock: make.Clock) -> Iterator[Shop]:
    """An empty shop, once on each database."""
    sqlite = request.param == "sqlite"
    engine = databases.fresh_sqlite(tmp_path) if sqlite else databases.fresh_postgres()
    yield Shop(engine, tmp_path / "files", now=clock, quick_phrases=True)
    if sqlite:
        engine.dispose()

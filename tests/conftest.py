"""What every test gets: a shut network and a fast, repeatable hypothesis profile."""

import os

import pytest
from hypothesis import HealthCheck, settings
from pytest_socket import socket_allow_hosts

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

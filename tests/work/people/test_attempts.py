"""Wrong tries make everybody wait longer; the rules are common practice, no source."""

import time

import pytest

from server.work.errors import Later
from server.work.people.attempts import Attempts

HOME, AWAY = "192.0.2.7", "198.51.100.9"  # RFC 5737: addresses of nobody


@pytest.fixture
def attempts():
    return Attempts()


@pytest.fixture
def later(monkeypatch):
    """Let seconds go by, for the library too."""
    began, passed = time.time(), [0.0]
    monkeypatch.setattr(time, "time", lambda: began + passed[0])

    def go_by(seconds: float) -> None:
        passed[0] += seconds

    return go_by


def wait(attempts, name="kit", address=HOME):
    try:
        attempts.require("password", name, address)
    except Later as later:
        return later.wait_s
    return 0


def fail(attempts, times, name="kit", address=HOME):
    for _ in range(times):
        attempts.failed("password", name, address)


def test_the_wait_grows_with_wrong_tries(attempts, later):
    fail(attempts, 4)
    assert wait(attempts) == 0
    fail(attempts, 1)
    assert 55 <= wait(attempts) <= 60
    later(61)
    assert wait(attempts) == 0
    fail(attempts, 5)
    assert 13 * 60 <= wait(attempts) <= 15 * 60
    later(15 * 60)
    fail(attempts, 10)
    assert wait(attempts) > 40 * 60


def test_the_sentence_says_how_long(attempts):
    fail(attempts, 5)
    with pytest.raises(Later, match=r"Wait (60|59) seconds, then try again\."):
        attempts.require("password", "kit", HOME)


def test_a_right_password_forgets_the_slips(attempts):
    fail(attempts, 4)
    attempts.passed("password", "kit", HOME)
    fail(attempts, 4)
    assert wait(attempts) == 0


def test_one_address_is_slowed_whatever_names_it_tries(attempts):
    for n in range(20):
        fail(attempts, 1, name=f"guess {n}")
    assert wait(attempts, name="another") > 0
    assert wait(attempts, name="another", address=AWAY) == 0


def test_a_stranger_elsewhere_does_not_lock_somebody_out(attempts):
    fail(attempts, 20, address=AWAY)
    assert wait(attempts, address=AWAY) > 0
    assert wait(attempts, address=HOME) == 0


def test_a_name_tried_from_many_addresses_is_slowed_at_last(attempts):
    for n in range(60):
        fail(attempts, 1, address=f"192.0.2.{n}")
    assert wait(attempts, address=AWAY) > 0
    assert wait(attempts, name="bo", address=AWAY) == 0


def test_addresses_of_one_customer_are_one(attempts):
    # RFC 3849: 2001:db8::/32 is of nobody. A provider hands out 64 bits or more (RFC 6177).
    fail(attempts, 5, address="2001:db8:1:2::5")
    assert wait(attempts, address="2001:db8:1:2:ffff::9") > 0
    assert wait(attempts, address="2001:db8:1:3::5") == 0
    fail(attempts, 5, address="::ffff:192.0.2.44", name="bo")
    assert wait(attempts, address="192.0.2.44", name="bo") > 0


def test_codes_are_counted_by_themselves(attempts):
    fail(attempts, 5)
    attempts.require("code", "kit", HOME)
    assert wait(attempts) > 0

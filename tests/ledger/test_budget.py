"""A check that anybody may ask for has an end: files, bytes, and seconds."""

import pytest

from server.ledger.budget import MIB, Budget, Limits, TooMuch
from server.ledger.checking.bundle import check_bundle
from server.ledger.checking.sorting import Brought
from tests.ledger.samples import row

LOGS = [Brought(f"{made.number}.qwlog", made.data) for made in row(4)]
ROOM = Limits(files=4, bytes=MIB)


class Ticks:
    """A clock that goes on by a second at every look."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        """The seconds until now."""
        self.now += 1
        return self.now


def test_what_is_within_the_budget_is_checked() -> None:
    bundle = check_bundle(LOGS, budget=Budget(ROOM, 60, Ticks()))
    assert (bundle.ok, bundle.row.size) == (True, 4)


@pytest.mark.parametrize(
    ("limits", "says"),
    [
        (Limits(files=3, bytes=MIB), "more than 3 files"),
        (Limits(files=4, bytes=9000), "over 9000 bytes together"),
        (Limits(files=4, bytes=MIB, one=5000), "1.qwlog has over 5000 bytes"),
    ],
    ids=["files", "bytes", "one"],
)
def test_more_than_the_limits_is_refused_before_a_file_is_read(limits: Limits, says: str) -> None:
    clock = Ticks()
    with pytest.raises(TooMuch, match=says):
        check_bundle(LOGS, budget=Budget(limits, 60, clock))
    assert clock.now == 1


@pytest.mark.parametrize("seconds", [1, 3, 6])
def test_a_check_ends_where_its_time_does(seconds: float) -> None:
    clock = Ticks()
    with pytest.raises(TooMuch, match=f"longer than {seconds} s"):
        check_bundle(LOGS, budget=Budget(ROOM, seconds, clock))
    assert clock.now == seconds + 2

"""A shop's opening days and hours: how long it was open between two moments, and what then ends."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

DAY, WEEK = timedelta(days=1), timedelta(days=7)
MOST_DAYS = 800  # further ahead nothing is promised


@dataclass(frozen=True)
class Opening:
    """`days` are ISO weekdays, Monday 1; each is open from `opens` to `closes` in `zone`.

    Raises ValueError where it is never open.
    """

    days: frozenset[int]
    opens: time
    closes: time
    zone: tzinfo

    def __post_init__(self) -> None:
        if not self.days or not self.days <= set(range(1, 8)):
            raise ValueError("A shop is open on one weekday or more, 1 to 7.")
        if self.closes <= self.opens:
            raise ValueError("A shop closes after it opens.")

    @property
    def minutes_a_day(self) -> float:
        """How long an opening day is."""
        noon = datetime(2000, 1, 1)
        return _minutes(datetime.combine(noon, self.opens), datetime.combine(noon, self.closes))

    def between(self, start: datetime, end: datetime) -> float:
        """Open minutes from `start` to `end`, both aware; 0 where `end` is not later."""
        weeks = max(0, (end - start) // WEEK - 1)
        whole = weeks * len(self.days) * self.minutes_a_day
        start += weeks * WEEK
        spans = self._spans(start.astimezone(self.zone).date(), end.astimezone(self.zone).date())
        inside = ((max(start, a), min(end, b)) for a, b in spans)
        return whole + sum(max(0.0, _minutes(a, b)) for a, b in inside)

    def after(self, start: datetime, minutes: float) -> datetime:
        """When so many open minutes will have passed, in the shop's zone.

        Raises OverflowError beyond `MOST_DAYS`.
        """
        first = start.astimezone(self.zone).date()
        left = minutes
        for opens, closes in self._spans(first, first + MOST_DAYS * DAY):
            begins = max(opens, start)
            there = _minutes(begins, closes)
            if there >= left and there > 0:
                return begins + timedelta(minutes=max(0.0, left))
            left -= max(0.0, there)
        raise OverflowError(f"That is more than {MOST_DAYS} days away.")

    def closing(self, moment: datetime) -> datetime:
        """The end of the opening day that `moment` falls on or comes before."""
        first = moment.astimezone(self.zone).date()
        return next(b for _, b in self._spans(first, first + MOST_DAYS * DAY) if b >= moment)

    def _spans(self, first: date, last: date) -> Iterator[tuple[datetime, datetime]]:
        day = first
        while day <= last:
            if day.isoweekday() in self.days:
                yield tuple(
                    datetime.combine(day, at, self.zone) for at in (self.opens, self.closes)
                )  # type: ignore[misc]  # two of them
            day += DAY


def _minutes(start: datetime, end: datetime) -> float:
    # Aware times of one zone subtract by the wall clock; by UTC the hour of a changed clock counts.
    if start.tzinfo is not None:
        start, end = start.astimezone(UTC), end.astimezone(UTC)
    return (end - start).total_seconds() / 60

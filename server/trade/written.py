"""How numbers, times and money are written, on pages and on paper."""

from datetime import UTC, datetime, tzinfo
from decimal import Decimal

THIN = "\N{NO-BREAK SPACE}"
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def ticket(number: int) -> str:
    """A ticket's number as it is written: at least four digits."""
    return f"{number:04d}"


def plain(value: Decimal | float | int) -> str:
    """A number without exponent or trailing zeros: 0.41, 16.8, 1118."""
    exact = value if isinstance(value, Decimal) else Decimal(str(value))
    text = format(exact, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def grouped(value: Decimal | int) -> str:
    """A large number with its thousands apart: 420,000."""
    whole, point, part = plain(value).partition(".")
    return f"{int(whole):,}{point}{part}"


def unit(value: Decimal | float | int | str, sign: str) -> str:
    """A value and its unit, which never break apart: 0.41 A."""
    text = value if isinstance(value, str) else plain(value)
    return f"{text}{THIN}{sign}"


def span(low: Decimal | float | int, high: Decimal | float | int, sign: str = "") -> str:
    """A range: 0.24 to 0.48 A."""
    return f"{plain(low)} to {unit(high, sign) if sign else plain(high)}"


def many(count: int, one: str, more: str = "") -> str:
    """A count with its word: 1 step, 2 steps."""
    return f"{count}{THIN}{one if count == 1 else more or one + 's'}"


def minutes_in_words(minutes: float) -> str:
    """A length of work: 40 min, 1 h 30 min, 12 h; to 5 minutes, and from 10 hours to the hour."""
    if minutes < 5:
        return f"under {unit(5, 'min')}"
    step = 60 if minutes >= 600 else 5
    whole = int(minutes / step + 0.5) * step
    parts = [
        unit(whole // 60, "h") if whole >= 60 else "",
        unit(whole % 60, "min") if whole % 60 else "",
    ]
    return " ".join(filter(None, parts))


class Clock:
    """Times in the shop's zone. One without a zone is taken to be UTC, as the records keep it."""

    def __init__(self, zone: tzinfo) -> None:
        self._zone = zone

    def here(self, moment: datetime) -> datetime:
        """The moment in the shop's zone."""
        aware = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
        return aware.astimezone(self._zone)

    def clock(self, moment: datetime) -> str:
        """14:36"""
        return f"{self.here(moment):%H:%M}"

    def seconds(self, moment: datetime) -> str:
        """14:36:20"""
        return f"{self.here(moment):%H:%M:%S}"

    def day(self, moment: datetime) -> str:
        """Fri 27 Nov"""
        at = self.here(moment)
        return f"{_DAYS[at.weekday()]} {at.day}{THIN}{_MONTHS[at.month - 1]}"

    def date(self, moment: datetime) -> str:
        """2 Nov 2026"""
        at = self.here(moment)
        return f"{at.day}{THIN}{_MONTHS[at.month - 1]}{THIN}{at.year}"

    def when(self, moment: datetime) -> str:
        """Fri 27 Nov 14:36"""
        return f"{self.day(moment)} {self.clock(moment)}"

    def iso(self, moment: datetime) -> str:
        """For the datetime attribute of <time>."""
        return self.here(moment).isoformat(timespec="seconds")

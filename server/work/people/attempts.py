"""Wrong passwords are counted by name and by address, and the wait grows with them.

In memory, a process each (docs/decisions/0012). Only what was really tried is counted, so that a
flood that is turned away does not lengthen anybody's wait.
"""

import hashlib
import math
import time
from ipaddress import IPv6Address, ip_address, ip_network

from limits import RateLimitItem, parse_many
from limits.storage import MemoryStorage
from limits.strategies import MovingWindowRateLimiter

from server.work.errors import Later

ONE_NAME = parse_many("5/minute;10/15 minute;20/hour")  # from one address
ONE_ADDRESS = parse_many("20/minute;100/hour")  # whatever the names
ANYWHERE = parse_many("60/hour;200/day")  # one name, whatever the addresses
SAYS = "Too many wrong tries for this name, or from this device."


class Attempts:
    """The tries of one process."""

    def __init__(self) -> None:
        self._limiter = MovingWindowRateLimiter(MemoryStorage())

    def require(self, kind: str, name: str, address: str) -> None:
        """Raise Later, with how long to wait, where there were too many wrong tries."""
        wait = max(self._wait(rule, keys) for rule, keys in _rules(kind, name, address))
        if wait > 0:
            raise Later(SAYS, wait)

    def failed(self, kind: str, name: str, address: str) -> None:
        """Count a wrong try."""
        for rule, keys in _rules(kind, name, address):
            self._limiter.hit(rule, *keys)

    def passed(self, kind: str, name: str, address: str) -> None:
        """Forget this name's wrong tries from this address: it was a slip of the finger."""
        for rule in ONE_NAME:
            self._limiter.clear(rule, kind, _short(name), _net(address))

    def _wait(self, rule: RateLimitItem, keys: tuple[str, ...]) -> int:
        if self._limiter.test(rule, *keys):
            return 0
        until = self._limiter.get_window_stats(rule, *keys).reset_time
        return max(1, math.ceil(until - time.time()))


def _rules(kind: str, name: str, address: str) -> list[tuple[RateLimitItem, tuple[str, ...]]]:
    who, where = _short(name), _net(address)
    return [
        *((rule, (kind, who, where)) for rule in ONE_NAME),
        *((rule, (kind, "from", where)) for rule in ONE_ADDRESS),
        *((rule, (kind, who, "anywhere")) for rule in ANYWHERE),
    ]


def _short(name: str) -> str:
    """Of one length, whatever was typed; and a password typed in the wrong field is not kept."""
    return hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:24]


def _net(address: str) -> str:
    """The address; of IPv6 the half that a provider gives to one customer."""
    try:
        found = ip_address(address.partition("%")[0])
    except ValueError:
        return address or "here"
    if not isinstance(found, IPv6Address):
        return str(found)
    return str(found.ipv4_mapped or ip_network((found, 64), strict=False))

"""Clock and environment come in at one place each; further in they are handed down.

A rule or an act that looks at the clock by itself cannot be tested at another hour, and one that
reads the environment has a setting that no page tells of.
"""

import ast
from pathlib import Path

import pytest

from tests.architecture.sources import SERVER, name, offenders

CLOCKS = {
    ("datetime", "now"),
    ("datetime", "utcnow"),
    ("datetime", "today"),
    ("date", "today"),
    ("time", "time"),
    ("time", "time_ns"),
    ("time", "monotonic"),
    ("time", "monotonic_ns"),
}
MAY_LOOK_AT_THE_CLOCK = {
    SERVER / "work" / "shop.py": "the clock that acts are handed",
    SERVER / "web" / "public" / "verify.py": "what a stranger's files may cost is timed",
    SERVER
    / "work"
    / "people"
    / "attempts.py": "the limits library counts by the system's clock itself",
}
ENVIRONMENT = {("os", "environ"), ("os", "getenv"), ("os", "environb"), ("os", "putenv")}
MAY_READ_THE_ENVIRONMENT = {
    SERVER / "settings.py": "the only reader; every setting is in docs/settings.md",
}


def uses(source: str, wanted: set[tuple[str, str]]) -> list[int]:
    """The lines that use one of these attributes, or import it by name."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Attribute):
            # datetime.now and datetime.datetime.now alike
            owner = node.value
            holder = getattr(owner, "id", None) or getattr(owner, "attr", None)
            if (holder, node.attr) in wanted:
                found.append(node.lineno)
        elif isinstance(node, ast.ImportFrom):
            found += [node.lineno for a in node.names if (node.module, a.name) in wanted]
    return found


def clocks(source: str) -> list[int]:
    """The lines that look at the clock."""
    return uses(source, CLOCKS)


def environment(source: str) -> list[int]:
    """The lines that read the environment."""
    return uses(source, ENVIRONMENT)


def test_only_the_shop_looks_at_the_clock() -> None:
    assert offenders(clocks, MAY_LOOK_AT_THE_CLOCK) == {}


def test_only_settings_read_the_environment() -> None:
    assert offenders(environment, MAY_READ_THE_ENVIRONMENT) == {}


def test_the_check_sees_each_way() -> None:
    assert uses("datetime.now(UTC)", CLOCKS) == [1]
    assert uses("import datetime\ndatetime.datetime.now()", CLOCKS) == [2]
    assert uses("from time import time\n", CLOCKS) == [1]
    assert uses("age = time.monotonic() - began", CLOCKS) == [1]
    assert uses("import os\nx = os.environ['A']", ENVIRONMENT) == [2]
    assert uses("from os import getenv", ENVIRONMENT) == [1]
    assert uses("time.perf_counter(); datetime.fromtimestamp(1)", CLOCKS) == []


@pytest.mark.parametrize("path", MAY_LOOK_AT_THE_CLOCK, ids=name)
def test_who_may_look_still_does(path: Path) -> None:
    assert uses(path.read_text("utf-8"), CLOCKS)

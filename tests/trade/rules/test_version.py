"""The rules' version changes with what a rule or a table says, and with nothing else."""

from pathlib import Path

import pytest

import server.trade
from server.trade.rules_version import BENEATH, digest, rules_version, sources

RULE = '''"""A rule."""
from x import y

def near(load, most):
    """Whether it is near."""
    # over 80 %
    return load * 100 > most * 80 and f"{load} A" != 'A'
'''
SAME = [
    RULE.replace("# over 80 %", "# more than four fifths"),
    RULE.replace("Whether it is near.", "Is it near?"),
    RULE.replace("from x import y", "from x import (\n    y,\n    z,\n)"),
    RULE.replace("(load, most)", "(\n    load,\n    most,\n)"),
    RULE.replace("load * 100 > most * 80", "(load * 100) > (most * 80)"),
    RULE.replace("'A'", '"A"'),
]
OTHER = [
    RULE.replace("80 and", "81 and"),
    RULE.replace(">", ">="),
    RULE.replace('f"{load} A"', 'f"{load} amps"'),
    RULE.replace("* 100", "* 100.0"),
]


@pytest.mark.parametrize("text", SAME)
def test_the_way_it_is_written_makes_no_version(text: str) -> None:
    assert text != RULE
    assert digest(iter([text])) == digest(iter([RULE]))


@pytest.mark.parametrize("text", OTHER)
def test_what_it_says_makes_a_new_version(text: str) -> None:
    assert text != RULE
    assert digest(iter([text])) != digest(iter([RULE]))


def test_the_version_is_a_short_text_and_no_earlier_one() -> None:
    assert len(rules_version()) == 12
    assert rules_version() == digest(iter(sources().values()))
    assert rules_version() != "1"


def test_every_rule_and_table_counts() -> None:
    names = sources().keys()
    assert {"rules/supply.py", "rules/likely.py", "tables/chips.py", "wiring/wiring.py"} <= names
    assert "rules/advice.py" not in names
    here = Path(server.trade.__file__).parent
    folders = [here / "rules", here / "tables"]
    assert len(names) == sum(len(list(f.glob("*.py"))) for f in folders) - 1 + len(BENEATH)

"""What may be recorded, connected or signed is decided in trade/gate.py, and nowhere else.

Whoever compares an age, a connection or a finding once more decides a second time, and one day
otherwise than the act.
"""

import ast
from collections.abc import Iterator

import pytest

from tests.architecture.sources import SERVER, offenders, python

AGES = {"power_since", "props_seen_at", "power_minutes", "props_minutes"}
CONNECTIONS = {"under", "connection_of"}
BARS = {"bars"}
MAY = {
    SERVER / "web" / "port_map" / "routes.py": "says whether the plan clears every stop",
}


def judges(source: str) -> list[int]:
    """The lines that compare ages, connections or bars, or go by whether there are stops."""
    tree = ast.parse(source)
    found = {
        node.lineno for node in ast.walk(tree) if _compares(node) or any(map(_stops, _asked(node)))
    }
    return sorted(found)


def _compares(node: ast.AST) -> bool:
    if isinstance(node, ast.BinOp):
        return bool(_names(node) & AGES)
    if not isinstance(node, ast.Compare) or _for_none(node):
        return False
    return bool(_names(node) & (AGES | CONNECTIONS | BARS))


def _for_none(node: ast.Compare) -> bool:
    """Whether it only asks if there is a value."""
    last = node.comparators[-1]
    return len(node.ops) == 1 and isinstance(last, ast.Constant) and last.value is None


def _names(node: ast.AST) -> set[str]:
    attributes = {each.attr for each in ast.walk(node) if isinstance(each, ast.Attribute)}
    return attributes | {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}


def _asked(node: ast.AST) -> Iterator[ast.expr]:
    """What is taken for true or false, or compared."""
    if isinstance(node, ast.If | ast.IfExp | ast.While):
        yield node.test
    elif isinstance(node, ast.BoolOp):
        yield from node.values
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node.operand
    elif isinstance(node, ast.Compare):
        yield from (node.left, *node.comparators)
    elif isinstance(node, ast.comprehension):
        yield from node.ifs


def _stops(asked: ast.expr) -> bool:
    if isinstance(asked, ast.Call) and ast.unparse(asked.func) in ("len", "bool", "any"):
        return any(map(_stops, asked.args))
    return isinstance(asked, ast.Attribute) and asked.attr == "stops"


def test_nobody_but_the_gate_decides() -> None:
    among = [path for folder in ("work", "web", "printing") for path in python(SERVER / folder)]
    assert offenders(judges, MAY, among) == {}


@pytest.mark.parametrize(
    "line",
    [
        "at - ticket.power_since > minutes",
        "until = seen.props_seen_at + limit",
        "if head.props_seen_at < at: pass",
        "if profile.power_minutes > 60: pass",
        "if under and under != now: pass",
        "same = connection_of(head) == sent.under",
        "if facts.stops: pass",
        "ready = done == total and not facts.stops",
        "clear = len(facts.stops) == 0",
        "shut = [f for f in found if f.bars is Bars.POWER]",
    ],
)
def test_the_check_sees_who_decides(line: str) -> None:
    assert judges(line) == [1]


@pytest.mark.parametrize(
    "line",
    [
        "if ticket.power_since is None: pass",
        "since = max(at, ticket.power_since)",
        "obey(same_connection(under, ticket))",
        "says = tuple(f.says for f in facts.stops)",
    ],
)
def test_it_lets_be_who_only_passes_on(line: str) -> None:
    assert judges(line) == []


@pytest.mark.parametrize("path", MAY, ids=lambda path: path.name)
def test_each_exception_is_needed(path) -> None:
    assert judges(path.read_text("utf-8"))


def test_the_gate_decides() -> None:
    # If it moves, the rule above moves with it.
    assert judges((SERVER / "trade" / "gate.py").read_text("utf-8"))

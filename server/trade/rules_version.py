"""The version of the rules, worked out from the rules and the tables themselves.

It is a digest of what their source says: comments, docstrings, imports and the way it is set out
do not count, and neither does the version of Python. So it changes by itself when a rule, a table
or what they rest on changes, and only then. Logs signed before this was so name version '1'.
"""

import ast
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from importlib.resources import files

# What the rules and tables rest on; advice comes from the plan and finds nothing.
BENEATH = (
    "exact.py",
    "motors/motor_link.py",
    "sheet/base.py",
    "sheet/board.py",
    "sheet/devices.py",
    "sheet/parts.py",
    "wiring/feeding.py",
    "wiring/joints.py",
    "wiring/leads.py",
    "wiring/wiring.py",
)
ADVICE = "advice.py"
LENGTH = 12


@cache
def rules_version() -> str:
    """Twelve hexadecimal digits that name the rules as they are now."""
    return digest(iter(sources().values()))


def sources() -> dict[str, str]:
    """The texts that decide what is found, by name, in an order that no machine changes."""
    here = files("server.trade")
    found = {name: here / name for name in BENEATH}
    for folder in ("rules", "tables"):
        for each in (here / folder).iterdir():
            if each.name.endswith(".py") and each.name != ADVICE:
                found[f"{folder}/{each.name}"] = each
    return {name: found[name].read_text("utf-8") for name in sorted(found)}


def digest(texts: Iterator[str]) -> str:
    """The version of these source texts, in their order."""
    whole = sha256()
    for text in texts:
        for word in _said(ast.parse(text)):
            whole.update(word.encode("utf-8", "surrogatepass") + b"\0")
    return whole.hexdigest()[:LENGTH]


def _said(node: object) -> Iterator[str]:
    """What a syntax tree says, as words; fields that are empty are left out."""
    if isinstance(node, list):
        yield "["
        for item in node:
            if not _is_idle(item):
                yield from _said(item)
        yield "]"
    elif isinstance(node, ast.AST):
        yield type(node).__name__
        for name, value in sorted(ast.iter_fields(node)):
            if value is not None and value != [] and name not in ("kind", "ctx", "type_comment"):
                yield name
                yield from _said(value)
    else:
        yield f"{type(node).__name__} {node!r}"


def _is_idle(node: object) -> bool:
    """Whether a statement decides nothing: a docstring or an import."""
    if isinstance(node, ast.Import | ast.ImportFrom):
        return True
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)

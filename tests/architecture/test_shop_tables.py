"""No state, event, role or choice is spelled outside its table, and a row's labels are checked.

`"to-sign"` once stood in 24 files, and a list of columns was tied to names by position alone. Many
of these words are everyday ones ('bench', 'ready', 'radio'), so a text counts where it is used as
one of them: beside what is called `state` or `role`, or in a list of nothing but such words.
"""

import ast
from collections.abc import Iterator
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

import pytest
from jinja2 import Environment, nodes
from sqlalchemy import column, select, table

from server.places import TEMPLATES
from server.records.labels import Rows, WrongLabels, labelled
from server.trade.choices import BatteryLook, HandedIn, HowAgreed, Trouble, Wear
from server.trade.events import Event
from server.trade.roles import Role
from server.trade.ticket import State, TicketAct
from tests.architecture.sources import SERVER, name, offenders

TABLES: tuple[type[StrEnum], ...] = (
    State,
    TicketAct,
    Event,
    Role,
    Trouble,
    HandedIn,
    BatteryLook,
    Wear,
    HowAgreed,
)
# What a value of each table is called where it is compared, set or passed.
CALLED = {
    "state": State,
    "role": Role,
    "event": Event,
    "battery_look": BatteryLook,
    "how": HowAgreed,
}
LEAST = 3  # so many words of one table in a list, and nothing else in it
# Words that mean nothing else in this code.
PLAIN = {State.TO_SIGN, State.ON_HOLD, Role.SUPERVISOR, Role.TECHNICIAN} | {
    word for group in (Trouble, Wear, Event) for word in group if "-" in word or " " in word
}
ALLOWED = [
    SERVER / "trade" / f"{module}.py" for module in ("ticket", "events", "roles", "choices")
] + [
    # The demo's stories have ends of their own: halfway, stuck.
    *(SERVER / "demo").rglob("*.py"),
    # The commands have the names that a shop types, `supervisor` among them.
    SERVER / "cli" / "__init__.py",
    # A finding's, a cause's and a check's codes are tables of their own.
    *(SERVER / "trade" / "fault_finder").rglob("*.py"),
]


def spelled(source: str) -> list[int]:
    """The lines on which a word of a table stands as bare text."""
    tree = ast.parse(source)
    return sorted({line for node in ast.walk(tree) for line in _of_node(node)})


def _of_node(node: ast.AST) -> Iterator[int]:
    match node:
        case ast.Constant(value=str(word)) if word in PLAIN:
            yield node.lineno
        case ast.Compare(left=left, comparators=right):
            yield from _beside([left, *right])
        case ast.Assign(targets=targets, value=value):
            yield from _beside([*targets, value])
        case ast.AnnAssign(target=target, value=ast.expr() as value):
            yield from _beside([target, value])
        case ast.keyword(arg=str(arg), value=ast.Constant(value=word)):
            if word in _words(arg):
                yield node.value.lineno
        case ast.Tuple(elts=elts) | ast.List(elts=elts) | ast.Set(elts=elts):
            yield from _listed(elts, node.lineno)
        case ast.Dict(keys=keys):
            yield from _listed([key for key in keys if key], node.lineno)


def _beside(parts: list[ast.expr]) -> Iterator[int]:
    """Texts beside something that is called as a table's values are."""
    called = {n for part in parts for n in _names(part)}
    words = {word for each in called for word in _words(each)}
    for part in parts:
        for text in part.elts if isinstance(part, ast.Tuple | ast.List | ast.Set) else [part]:
            if isinstance(text, ast.Constant) and text.value in words:
                yield text.lineno


def _names(part: ast.expr) -> Iterator[str]:
    if isinstance(part, ast.Attribute):
        yield part.attr
        if part.attr == "kind" and isinstance(part.value, ast.Name):
            yield "event" if part.value.id in ("e", "event", "_event", "TicketEvent") else "kind"
    elif isinstance(part, ast.Name):
        yield part.id
    elif isinstance(part, ast.Tuple):
        for each in part.elts:
            yield from _names(each)


def _words(called: str) -> set[str]:
    return set(CALLED[called]) if called in CALLED else set()


def _listed(elts: list[ast.expr], line: int) -> Iterator[int]:
    texts = [e.value for e in elts if isinstance(e, ast.Constant)]
    if len(texts) == len(elts) >= LEAST and any(set(texts) <= set(each) for each in TABLES):
        yield line


def in_template(text: str) -> list[int]:
    """The same of a template."""
    tree = Environment(extensions=["jinja2.ext.do"]).parse(text)
    found = {n.lineno for n in tree.find_all(nodes.Const) if n.value in PLAIN}
    for compare in tree.find_all(nodes.Compare):
        parts = [compare.expr, *(operand.expr for operand in compare.ops)]
        called = {getattr(part, "attr", getattr(part, "name", "")) for part in parts}
        words = {word for each in called for word in _words(each)}
        texts = [c for part in parts for c in (part, *part.find_all(nodes.Const))]
        found |= {c.lineno for c in texts if isinstance(c, nodes.Const) and c.value in words}
    for listed in tree.find_all((nodes.Tuple, nodes.List)):
        firsts = [e.items[0] if isinstance(e, nodes.Tuple) and e.items else e for e in listed.items]
        texts = [e.value for e in firsts if isinstance(e, nodes.Const)]
        if len(texts) == len(firsts) >= LEAST and any(set(texts) <= set(t) for t in TABLES):
            found.add(listed.lineno)
    return sorted(found)


def test_no_module_spells_a_word_of_the_shops_tables() -> None:
    assert offenders(spelled, ALLOWED) == {}


def test_no_template_spells_a_word_of_the_shops_tables() -> None:
    paths = sorted(TEMPLATES.rglob("*.html"))
    assert len(paths) > 50
    found = {name(path): in_template(path.read_text("utf-8")) for path in paths}
    assert {file: lines for file, lines in found.items() if lines} == {}


@pytest.mark.parametrize(
    "line",
    [
        'if head.state == "ready": pass',
        'if row.state in ("waiting", "bench"): pass',
        'ticket.state = "waiting"',
        'ticket.state, ticket.bench = "ready", ""',
        'state: str = "waiting"',
        'make(role="counter")',
        'if person.role != "counter": pass',
        'if e.kind == "props": pass',
        'BEFORE = ("waiting", "bench", "ready")',
        'WORDS = {"waiting": 1, "bench": 2, "ready": 3}',
        'f("to-sign")',
        'x = "handed in" or "put back"',
        'agree(how="telephone")',
        'if told.battery_look == "unsafe": pass',
    ],
)
def test_the_check_sees_a_line_that_spells_one(line: str) -> None:
    assert spelled(line) == [1]


@pytest.mark.parametrize(
    "line",
    [
        'template = "bench/card.html"',
        'desk: str = "bench"',
        'kinds = ("radio", "goggles")',
        'if result.verdict == "ready": pass',
        "if head.state == State.READY: pass",
        'if step.kind == "props": pass',
    ],
)
def test_the_check_leaves_other_words_alone(line: str) -> None:
    assert spelled(line) == []


@pytest.mark.parametrize(
    "text",
    [
        '{% if head.state == "ready" %}x{% endif %}',
        '{% if head.state in ("ready", "bench") %}x{% endif %}',
        '{{ picks(form, "role", (("counter", "C"), ("technician", "T"), ("supervisor", "L"))) }}',
        '{% for state in ("waiting", "ready", "bench") %}x{% endfor %}',
        '{{ f("no-arm") }}',
    ],
)
def test_the_check_sees_a_template_that_spells_one(text: str) -> None:
    assert in_template(text) == [1]
    assert in_template('{% if head.state == State.READY %}{{ card("bench") }}{% endif %}') == []


class Pair(NamedTuple):
    id: int
    owner: str


_things = table("things", column("id"), column("name"), column("owner"))


def test_a_rows_columns_are_found_by_its_names() -> None:
    query = select(*labelled(Pair, _things, owner=_things.c.name))
    assert [str(c) for c in query.selected_columns] == ["things.id", "things.name"]
    assert Rows(Pair, query).query is query


def test_names_and_columns_that_disagree_are_refused() -> None:
    with pytest.raises(WrongLabels, match="Pair has no colour"):
        list(labelled(Pair, _things, colour=_things.c.name))
    with pytest.raises(WrongLabels, match=r"Pair\.owner is no column of small"):
        list(labelled(Pair, table("small", column("id"))))
    with pytest.raises(WrongLabels, match="its query gives"):
        Rows(Pair, select(_things.c.owner, _things.c.id))


def test_no_query_makes_a_row_by_position_alone() -> None:
    made = {
        name(path): path.read_text("utf-8").count("._make(")
        for path in sorted((SERVER / "records").glob("*.py"))
        if path.name != "labels.py"
    }
    assert len(made) > 15
    assert {file for file, count in made.items() if count} == set()


def test_a_table_has_nothing_to_spell_twice() -> None:
    assert all(len(set(each)) == len(each) >= 3 for each in TABLES)
    assert Path(ALLOWED[0]).is_file()

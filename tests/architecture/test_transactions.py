"""Nobody ends a transaction by hand: an act's block does, in records/engine.py and nowhere else.

A commit in the middle of an act makes half of it durable, and a second one hides in a helper until
something fails between the two.
"""

import ast
import re

from tests.architecture.sources import SERVER, offenders

DOOR = SERVER / "records" / "engine.py"
ENDS = {"commit", "rollback", "begin_nested", "autocommit"}
OPENS = re.compile(r"\b((engine|session|connection)\.(begin|connect)|Session|sessionmaker)$")
MAY_OPEN = {
    DOOR: "the two doors",
    SERVER / "records" / "migrate.py": "asks which revision a database without tables is at",
}


def enders(source: str) -> list[int]:
    """The lines that end a transaction."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Attribute) and node.attr in ENDS
    ]


def openers(source: str) -> list[int]:
    """The lines that make a session or begin a transaction, past the two doors."""
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    return [call.lineno for call in calls if OPENS.search(ast.unparse(call.func))]


def test_nobody_ends_a_transaction_by_hand() -> None:
    assert offenders(enders, [DOOR]) == {}


def test_nobody_opens_one_past_the_doors() -> None:
    assert offenders(openers, MAY_OPEN) == {}


def test_the_checks_see_one() -> None:
    assert enders("def f(s):\n    s.commit()\n") == [2]
    assert enders("with s.begin_nested():\n    pass\n") == [1]
    assert openers("with Session(e) as s:\n    pass\n") == [1]
    assert openers("with orm.Session(e) as s:\n    pass\n") == [1]
    assert openers("with shop.engine.begin() as c:\n    pass\n") == [1]
    assert openers("booking = counter.begin(shop, by)") == []
    assert openers("with writing(e) as s:\n    s.add(x)\n") == []


def test_the_door_itself_has_both() -> None:
    # If it moves, the exception above moves with it.
    assert enders(DOOR.read_text("utf-8"))
    assert openers(DOOR.read_text("utf-8"))

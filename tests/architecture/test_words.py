"""Words that no page, sheet or log may say, and places that no file may name.

A record of bench work that says more than was seen invites somebody to fly on it. A sentence that
says that a sheet is *no* approval is no claim, and the word in it is another one.
"""

import ast
import re
from pathlib import Path

import pytest

from server.ledger.parts import CLAIMS
from tests.architecture.sources import ROOT, SERVER, name, tracked

SAYS = re.compile(r"\b(certified|approved|ready[ -]to[ -]fly|legal|legally|airworthy)\b", re.I)
TONE = re.compile(r"\b(please|successfully|oops|sorry)\b", re.I)
SHOWN = [
    *sorted((ROOT / "templates").rglob("*.html")),
    *sorted((ROOT / "static").rglob("*.js")),
    *sorted(SERVER.rglob("*.typ")),
]
IN_CODE = [
    p
    for room in ("trade", "printing", "drawing", "web", "work", "demo")
    for p in sorted((SERVER / room).rglob("*.py"))
]
# Paths of one person's machine. /usr/bin, /usr/lib and /dev are every Debian's.
HOME = re.compile(r"(?<![\w.<{}/*-])/(work|root|home|tmp|opt|Users|mnt)/[\w.-]+|[A-Z]:\\\\Users")
HOST = re.compile(r"\b(?:https?|wss?|ftp)://([^\s/\"'`)<>\]}{:?#,;|\\]+)", re.I)
# Names that stand for no machine (RFC 2606, RFC 6761), and names that are words of a format.
OURS = re.compile(
    r"^(127\.0\.0\.1|localhost|\[?::1\]?|0\.0\.0\.0|([\w-]+\.)*(example|test|invalid)"
    r"|([\w-]+\.)*example\.(com|org|net))$"
)
ALLOWED = {
    "www.w3.org": "the name of the SVG namespace",
    "json-schema.org": "the name of JSON Schema's dialect",
}


def claims(text: str) -> list[str]:
    """What the text claims."""
    return [found.group(0) for found in SAYS.finditer(text)]


def strings(source: str) -> str:
    """What a module may show: its quoted text, without comments."""
    nodes = ast.walk(ast.parse(source))
    quoted = [node.value for node in nodes if isinstance(node, ast.Constant)]
    return "\n".join(value for value in quoted if isinstance(value, str))


def elsewhere(text: str) -> list[str]:
    """The hosts that a text names, those allowed and names without a dot left out."""
    hosts = [found.group(1).lower().split("@")[-1] for found in HOST.finditer(text)]
    return [host for host in hosts if "." in host and not OURS.match(host) and host not in ALLOWED]


def test_there_is_text_to_look_at() -> None:
    assert len(SHOWN) > 30
    assert len(IN_CODE) > 100
    assert len(tracked()) > 300


@pytest.mark.parametrize("path", SHOWN, ids=name)
def test_no_page_claims_more_than_was_seen(path: Path) -> None:
    text = path.read_text("utf-8")
    assert claims(text) == []
    assert TONE.findall(text) == []


def test_no_words_in_the_code_claim_more() -> None:
    said = {name(path): claims(strings(path.read_text("utf-8"))) for path in IN_CODE}
    assert {file: words for file, words in said.items() if words} == {}


def test_the_ledger_refuses_the_same_words() -> None:
    assert [claims(word) for word in CLAIMS] == [[word] for word in CLAIMS]


def test_no_file_names_a_path_of_one_machine() -> None:
    found = {name(p): HOME.search(p.read_text("utf-8")) for p in tracked() if p != Path(__file__)}
    assert {file: hit.group(0) for file, hit in found.items() if hit} == {}


def test_no_file_names_another_host() -> None:
    found = {name(p): elsewhere(p.read_text("utf-8")) for p in tracked() if p != Path(__file__)}
    assert {file: hosts for file, hosts in found.items() if hosts} == {}


def test_the_checks_see_one() -> None:
    assert claims("This craft is Approved and ready to fly.") == ["Approved", "ready to fly"]
    assert claims("It is no airworthiness approval.") == []
    assert strings('# "certified"\nx = f"this is certified {y}"') == "this is certified "
    assert HOME.search("see /home/kit/quad.json")
    assert not HOME.search("GET /tickets/work/3 and /usr/bin/chromium")
    assert elsewhere('src="https://cdn.somewhere.io/x.js"') == ["cdn.somewhere.io"]
    assert elsewhere("http://127.0.0.1:8000 http://shop.example/a http://www.w3.org/2000/svg") == []

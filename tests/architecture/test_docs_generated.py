"""The pages made from the code agree with it, and the schema with the reader."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from jsonschema import Draft202012Validator

from docs.generate import PAGES
from server.trade.rules import RULES
from server.trade.sheet import SheetError, from_document
from server.trade.tables.serial import SERIAL
from tests import example_sheet
from tests.edits import Edit, add, drop, put
from tests.strategies import Document, documents

DOCS = Path(__file__).parents[2] / "docs"
SCHEMA: dict[str, Any] = json.loads((DOCS / "build-sheet.schema.json").read_text("utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)


@pytest.mark.parametrize("name", sorted(PAGES))
def test_the_page_on_disk_is_up_to_date(name: str) -> None:
    assert (DOCS / name).read_text("utf-8") == PAGES[name](), "run: python -m docs.generate"


def test_every_finding_has_its_heading() -> None:
    page = (DOCS / "findings.md").read_text("utf-8")
    assert len(RULES) > 30
    assert [line for line in page.splitlines() if line.startswith("## ")] == [
        f"## {code}" for code in sorted(RULES)
    ]


def test_every_protocol_has_its_row() -> None:
    page = (DOCS / "tables.md").read_text("utf-8")
    assert all(f"| `{name}` |" in page for name in SERIAL)


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert not list(VALIDATOR.iter_errors(example_sheet.document()))


@given(documents())
def test_what_the_reader_takes_the_schema_takes(document: Document) -> None:
    from_document(document)
    plain = json.loads(json.dumps(document, default=float))
    assert not list(VALIDATOR.iter_errors(plain))


BROKEN: list[Edit] = [
    put("colour", "red"),
    drop("board/model"),
    put("board/maker", None),
    put("craft/name", ""),
    put("motors/kv", 0),
    put("motors/kv", "1900"),
    put("battery/cells", 15),
    put("battery/cells", 6.5),
    put("sheet", 2),
    put("board/pads/R4/signal", "RX"),
    put("board/pads/5V/port", "UART1"),
    put("board/pads/LED/output", 1),
    drop("board/pads/R4/port"),
    drop("board/pads/M1/output"),
    put("esc/outputs/5", "M1"),
    put("esc/speaks", []),
    put("devices/receiver/links/0/speaks", ["CRSF", "CRSF"]),
    put("devices/receiver/links", [{"role": "receiver", "speaks": ["CRSF"]}]),
    put("board/supply_v", [9]),
    add("wires", device="receiver", lead="TX"),
]


@pytest.mark.parametrize("number", range(len(BROKEN)))
def test_what_the_schema_sees_the_reader_refuses(number: int) -> None:
    document = example_sheet.document()
    BROKEN[number](document)
    assert list(VALIDATOR.iter_errors(document))
    with pytest.raises(SheetError):
        from_document(document)

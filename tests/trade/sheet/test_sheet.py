"""A sheet comes back as it went in."""

import copy
import json
import tomllib
from decimal import Decimal

import pytest
from hypothesis import given
from pydantic import ValidationError

from server.trade.sheet import (
    Link,
    Pad,
    Sheet,
    dump_json,
    from_document,
    read_json,
    read_toml,
    to_document,
)
from tests import example_sheet
from tests.edits import edited, put
from tests.strategies import Document, documents, sheets


def test_the_example_comes_back_as_written() -> None:
    assert to_document(example_sheet.sheet()) == example_sheet.document()


def test_attributes_are_the_formats_own_keys() -> None:
    sheet = example_sheet.sheet()
    assert sheet.board.pads[2].inverter is True
    assert sheet.devices[0].links[0].speaks == ("CRSF", "SBUS")
    assert sheet.esc.outputs == {"1": "M1", "2": "M2", "3": "M3", "4": "M4"}
    assert sheet.devices[1].supply_v == (Decimal(8), Decimal(26))
    assert sheet.control.loop_hz == 4000


def test_what_is_left_out_has_its_default() -> None:
    sheet = example_sheet.sheet()
    assert sheet.board.pads[0].max_v == Decimal("5.0")
    assert sheet.board.pads[0].inverter is False
    assert sheet.board.ports[0].max_baud is None
    assert sheet.devices[0].links[0].level_v == Decimal("3.3")
    assert sheet.devices[0].links[0].in_use is True
    assert sheet.devices[0].leads == ()


@given(sheets())
def test_dumping_and_reading_gives_the_same_sheet(sheet: Sheet) -> None:
    again = read_json(dump_json(sheet).encode())
    assert again == sheet
    assert dump_json(again) == dump_json(sheet)


@given(sheets())
def test_the_plain_document_is_what_json_reads(sheet: Sheet) -> None:
    text = dump_json(sheet)
    assert to_document(read_json(text.encode())) == json.loads(text)
    json.dumps(to_document(sheet), allow_nan=False)


@given(documents())
def test_what_was_left_out_stays_left_out(document: Document) -> None:
    written = to_document(from_document(document))
    assert written.keys() == document.keys()
    for kind in ("pads", "ports"):
        for given_, back in zip(document["board"][kind], written["board"][kind], strict=True):
            assert given_.keys() == back.keys()


@pytest.mark.parametrize(
    "digits", ["0.1", "25.20", "1E+2", "0.30000000000000004", "1e-7", "3.0000000000000000000001"]
)
def test_numbers_keep_every_digit(digits: str) -> None:
    text = example_sheet.TEXT.replace(b'"amps": 0.15', b'"amps": ' + digits.encode())
    sheet = read_json(text)
    assert sheet.devices[0].amps == Decimal(digits)
    assert read_json(dump_json(sheet).encode()).devices[0].amps == Decimal(digits)


def test_a_float_counts_by_its_shortest_writing() -> None:
    assert edited(put("devices/receiver/amps", 0.1)).devices[0].amps == Decimal("0.1")


def test_toml_with_the_same_keys_reads_alike() -> None:
    text = as_toml(example_sheet.document())
    assert tomllib.loads(text) == example_sheet.document()
    assert read_toml(text.encode()) == example_sheet.sheet()


def as_toml(document: Document) -> str:
    """One inline value a key: TOML enough for a test."""
    return "\n".join(f"{key} = {toml_value(value)}" for key, value in document.items())


def toml_value(value: object) -> str:
    if isinstance(value, dict):
        pairs = (f'"{key}" = {toml_value(inner)}' for key, inner in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(inner) for inner in value) + "]"
    return json.dumps(value)


def test_a_leading_byte_order_mark_is_passed_over() -> None:
    assert read_json(b"\xef\xbb\xbf" + example_sheet.TEXT) == example_sheet.sheet()
    toml = as_toml(example_sheet.document()).encode()
    assert read_toml(b"\xef\xbb\xbf" + toml) == example_sheet.sheet()


def test_key_order_means_nothing() -> None:
    document = example_sheet.document()
    backwards = dict(reversed(document.items()))
    backwards["esc"]["outputs"] = dict(reversed(document["esc"]["outputs"].items()))
    assert from_document(backwards) == example_sheet.sheet()
    assert dump_json(from_document(backwards)) == dump_json(example_sheet.sheet())


def test_reading_does_not_change_the_document() -> None:
    document = example_sheet.document()
    before = copy.deepcopy(document)
    from_document(document)
    assert document == before


def test_a_sheet_cannot_be_changed() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        example_sheet.sheet().battery.cells = 4  # type: ignore[misc]


def test_a_key_set_to_nothing_is_left_out() -> None:
    sheet = example_sheet.sheet()
    esc = sheet.esc.model_copy(update={"set_to": None})
    assert "set_to" not in to_document(sheet.model_copy(update={"esc": esc}))["esc"]


def test_parts_can_be_built_by_keys() -> None:
    assert Pad(pad="R1", signal="rx", port="UART1").max_v == Decimal("5.0")
    assert Link(role="receiver", speaks=("CRSF",), tx="TX").one_wire is None


def test_the_dump_reads_as_it_is_meant_to() -> None:
    lines = dump_json(example_sheet.sheet()).splitlines()
    assert lines[:3] == [
        "{",
        '  "sheet": 1,',
        '  "craft": {"name": "Kittiwake", "size_in": 5.0, "props": "props-in"},',
    ]
    assert max(map(len, lines)) <= 120


@pytest.mark.parametrize("name", ["a", " ", "x" * 60, "光", "G2", "a/b.c[0]", '"', "\\"])
def test_printable_names_are_kept_exactly(name: str) -> None:
    sheet = edited(put("craft/name", name), put("board/model", name))
    assert read_json(dump_json(sheet).encode()).craft.name == name

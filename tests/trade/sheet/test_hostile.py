"""Whatever is done to a sheet, it is read or refused with a place, and checked without an error."""

import copy
import json
import time
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from server.trade.finding import Finding
from server.trade.rules import check
from server.trade.sheet import Sheet, SheetError, dump_json, from_document, read_json, read_toml
from server.trade.wiring.portmap import port_map
from tests import example_sheet

SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=70),
    st.sampled_from(["pack", "rx", "CRSF", "R1", "\ud800", "1", "UART1", "receiver"]),
    st.sampled_from([10**400, 5, 0.1]),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=5,
)


def places(value: Any) -> list[tuple[Any, Any]]:
    """Every (holder, key) in a document."""
    found = []
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in items:
        found.append((value, key))
        if isinstance(inner, dict | list):
            found += places(inner)
    return found


PLACES = len(places(example_sheet.document()))
CHANGES = st.lists(
    st.tuples(st.integers(0, PLACES - 1), st.sampled_from(["put", "drop", "copy"]), VALUES),
    min_size=1,
    max_size=3,
)


def change(document: Any, changes: list[tuple[int, str, Any]]) -> None:
    for number, act, value in changes:
        everywhere = places(document)
        holder, key = everywhere[number % len(everywhere)]
        if act == "put":
            holder[key] = value
        elif act == "drop":
            del holder[key]
        elif isinstance(holder, list):
            holder.insert(key, copy.deepcopy(holder[key]))
        else:
            holder[f"{key}x"] = holder[key]


def outcome(read: Any, data: Any) -> list[Finding] | None:
    try:
        sheet: Sheet = read(data)
    except SheetError as wrong:
        refused = wrong
    else:
        return judged(sheet)
    assert refused.at
    assert refused.says
    str(refused).encode()
    return None


def judged(sheet: Sheet) -> list[Finding]:
    assert read_json(dump_json(sheet).encode()) == sheet
    port_map(sheet)
    return check(sheet)


@given(CHANGES)
def test_any_change_is_refused_or_judged(changes: list[tuple[int, str, Any]]) -> None:
    document = example_sheet.document()
    change(document, changes)
    outcome(from_document, document)
    outcome(read_json, json.dumps(document).encode())


@given(st.binary(max_size=200))
def test_any_bytes_are_refused_with_a_place(data: bytes) -> None:
    assert outcome(read_json, data) is None
    assert outcome(read_toml, data) is None


@given(st.integers(0, len(example_sheet.TEXT) - 1), st.integers(0, 255))
def test_one_changed_byte_is_refused_or_judged(at: int, byte: int) -> None:
    data = bytearray(example_sheet.TEXT)
    data[at] = byte
    outcome(read_json, bytes(data))


@given(VALUES)
def test_any_value_for_a_sheet_is_refused(value: Any) -> None:
    assert outcome(from_document, value) is None


def crowd(wires: int) -> bytes:
    """Near a mebibyte of leads that all drive one pad, on many ports."""
    document = example_sheet.document()
    board = document["board"]
    board["ports"] += [{"port": f"P{n}"} for n in range(wires // 3)]
    board["pads"] += [{"pad": f"Q{n}", "signal": "rx", "port": f"P{n}"} for n in range(wires // 3)]
    links = [{"role": "other", "speaks": ["SBUS"], "tx": f"L{n}"} for n in range(wires)]
    document["devices"].append(
        {"device": "hub", "kind": "hub", "supply_v": [1, 2], "amps": 0, "links": links}
    )
    document["wires"] += [{"device": "hub", "lead": f"L{n}", "pad": "R1"} for n in range(wires)]
    document["board"]["mcu"] = "STM32F405"
    return json.dumps(document, separators=(",", ":")).encode()


def test_the_largest_sheet_is_judged_in_bounded_time() -> None:
    data = crowd(8900)
    assert 900_000 < len(data) <= 1024 * 1024
    start = time.process_time()
    findings = check(read_json(data))
    assert time.process_time() - start < 20
    assert {"pad-crowded", "inversion-missing"} <= {finding.code for finding in findings}

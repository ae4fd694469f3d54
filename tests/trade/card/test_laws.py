"""Laws of the card: every sheet that can be read has one, and the order of its lists is nothing."""

import random
import re
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from server.trade.card import compare, derive
from server.trade.sheet import from_document
from server.trade.tables.cells import CELLS
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.tables.serial import ROLES, SERIAL
from tests import example_sheet

# Awkward on purpose: blanks, marks with a meaning in addresses, other scripts, the row's own mark.
NAMES = [
    "UART1",
    "a b",
    "a-b",
    "A-B",
    "a  b",
    " ",
    "~",
    "%41",
    "ä/ö",
    "東",
    "x + y",
    "..",
    "5V",
    "?",
]
SIGNALS = [
    "rx",
    "tx",
    "rx",
    "tx",
    "power",
    "ground",
    "motor",
    "led",
    "buzzer",
    "ppm",
    "sda",
    "camera",
]
LEADS = ["led", "buzzer", "camera", "sda", "scl", "analogue"]
names = st.sampled_from(NAMES)
amount = st.sampled_from([0.001, 0.15, 1, 4.0, 25.2, 4000, 1e12, 1e300, 1e-300])
span = st.tuples(amount, amount).map(sorted)
unique = st.lists(names, max_size=4, unique=True)
some = st.booleans


def part(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """One device whose leads have names of their own."""
    leads = iter(draw(st.permutations(NAMES)))
    found: dict[str, Any] = {
        "device": name, "kind": draw(st.sampled_from(["video", "Camera", "x"])),
        "supply_v": draw(span), "amps": draw(amount), "power": next(leads), "ground": next(leads),
    }  # fmt: skip
    found["links"] = [link(draw, leads) for _ in range(draw(st.integers(0, 2)))]
    signals = draw(st.lists(st.sampled_from(LEADS), max_size=2))
    found["leads"] = [{"lead": next(leads), "signal": signal} for signal in signals]
    return found


def link(draw: st.DrawFn, leads: Any) -> dict[str, Any]:
    speaks = draw(st.lists(st.sampled_from(sorted(SERIAL)), min_size=1, max_size=3, unique=True))
    found: dict[str, Any] = {"role": draw(st.sampled_from(list(ROLES))), "speaks": speaks}
    if draw(some()):
        found["set_to"] = draw(st.sampled_from(sorted(SERIAL)))
    if draw(some()):
        found |= {"tx": next(leads), "rx": next(leads)}
    else:
        found["one_wire"] = next(leads)
    return found | {"in_use": draw(st.sampled_from([True, True, False]))}


def pad(draw: st.DrawFn, name: str, ports: list[str], rails: list[str]) -> dict[str, Any]:
    signal = draw(st.sampled_from(SIGNALS if ports else SIGNALS[4:]))
    found: dict[str, Any] = {"pad": name, "signal": signal}
    if signal in ("rx", "tx"):
        found["port"] = draw(st.sampled_from(ports))
    if signal == "power":
        found["rail"] = draw(st.sampled_from([*rails, "pack"]))
    if signal == "motor":
        found["output"] = draw(st.integers(1, 8))
    return found


def wire(document: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Mostly from a serial lead that is there to a pad that is there, so that ports are shared."""
    serial = [
        (d["device"], link[key])
        for d in document["devices"]
        for link in d["links"]
        for key in ("tx", "rx", "one_wire")
        if key in link
    ]
    fed = [(d["device"], d["power"]) for d in document["devices"]]
    lone = [(d["device"], lead["lead"]) for d in document["devices"] for lead in d["leads"]]
    ends = st.sampled_from([*serial * 3, *fed, *lone, ("no part", "no lead")])
    pads = [pad["pad"] for pad in document["board"]["pads"]]
    to = st.sampled_from([*pads, "no pad"])
    return st.builds(lambda end, pad: {"device": end[0], "lead": end[1], "pad": pad}, ends, to)


@st.composite
def documents(draw: st.DrawFn) -> dict[str, Any]:
    """Sheets that can be read, most of them with something wrong on them."""
    document = example_sheet.document()
    ports, rails = draw(unique), draw(unique)
    document["board"] |= {
        "rails": [{"rail": rail, "volts": draw(amount), "amps": draw(amount)} for rail in rails],
        "ports": [{"port": port} | ({"taken_by": "x"} if draw(some()) else {}) for port in ports],
        "pads": [pad(draw, name, ports, rails) for name in draw(unique)],
    }
    document["devices"] = [part(draw, name) for name in draw(unique)]
    document["wires"] = draw(
        st.lists(wire(document), max_size=14, unique_by=lambda w: (*w.values(),))
    )
    channels = draw(st.lists(st.sampled_from(["1", "2", "3", "4"]), unique=True))
    document["esc"]["outputs"] = {channel: draw(names) for channel in channels}
    document["esc"]["set_to"] = draw(st.sampled_from(sorted(MOTOR_LINKS)))
    document["motors"]["poles"] = draw(amount)
    document["control"]["loop_hz"] = draw(amount)
    document["battery"] = {
        "chemistry": draw(st.sampled_from(sorted(CELLS))), "cells": draw(st.integers(1, 14)),
    }  # fmt: skip
    return document


def shuffled(document: dict[str, Any], seed: int) -> dict[str, Any]:
    """The same sheet with every list in another order."""
    order = random.Random(seed)

    def mix(value: Any, key: str = "") -> Any:
        if isinstance(value, dict):
            pairs = [(name, mix(inner, name)) for name, inner in value.items()]
            order.shuffle(pairs)
            return dict(pairs)
        if isinstance(value, list) and key != "supply_v":
            return order.sample([mix(inner) for inner in value], len(value))
        return value

    return mix(document)


@given(documents())
def test_every_sheet_that_can_be_read_has_a_card(document: dict[str, Any]) -> None:
    steps = list(derive(from_document(document)).steps())
    keys = [step.key for step in steps]
    assert "motors/first-power" in keys
    assert len(set(keys)) == len(keys)
    assert all(re.fullmatch(r"[A-Za-z0-9~/-]+", key) for key in keys)
    assert all(step.target and step.do and step.source for step in steps)
    assert all(set(step.after) | set(step.reads) <= set(keys) for step in steps)


@given(documents(), st.integers(0, 2**32))
def test_the_order_of_lists_changes_no_basis(document: dict[str, Any], seed: int) -> None:
    one, other = derive(from_document(document)), derive(from_document(shuffled(document, seed)))
    assert {s.key: s.basis for s in one.steps()} == {s.key: s.basis for s in other.steps()}


@given(documents(), documents())
def test_every_step_is_kept_reopened_new_or_gone(
    one: dict[str, Any], other: dict[str, Any]
) -> None:
    old, new = derive(from_document(one)), derive(from_document(other))
    changes = compare(old, new)
    again = {opened.step.key for opened in changes.reopened}
    assert again | set(changes.kept) | set(changes.new) == {s.key for s in new.steps()}
    assert set(changes.gone) | again | set(changes.kept) == {s.key for s in old.steps()}
    assert all(new.step(key).basis == old.step(key).basis for key in changes.kept)
    assert all(opened.says.endswith(".") for opened in changes.reopened)

"""What holds for the findings of every sheet."""

import copy
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.finding import RANK, Finding, Severity, worst
from server.trade.rules import RULES, Doubled, check, rule
from server.trade.sheet import Sheet, from_document
from tests import example_sheet
from tests.strategies import Document, clean_sheets, documents, sheets


def keys(findings: list[Finding]) -> set[tuple[str, str, str]]:
    return {(f.code, f.severity, f.subject) for f in findings}


def test_the_formats_own_example_is_clean() -> None:
    assert check(example_sheet.sheet()) == []


@given(clean_sheets())
def test_a_clean_sheet_has_neither_stop_nor_caution(sheet: Sheet) -> None:
    assert worst(check(sheet)) in {None, Severity.NOTE}


@given(sheets())
def test_each_finding_comes_once_with_its_words(sheet: Sheet) -> None:
    findings = check(sheet)
    assert len(findings) == len(set(findings))
    for finding in findings:
        assert finding.severity in RULES[finding.code].severities
        assert finding.subject
        assert finding.source
        for text in (finding.says, finding.do):
            assert text.endswith(".")
            assert "None" not in text
            assert "  " not in text


@given(sheets())
def test_the_same_sheet_gives_the_same_answer(sheet: Sheet) -> None:
    assert check(sheet) == check(sheet)


@given(sheets())
def test_stops_stand_first_then_cautions(sheet: Sheet) -> None:
    ranks = [RANK[finding.severity] for finding in check(sheet)]
    assert ranks == sorted(ranks)


@given(documents(), st.randoms(use_true_random=False))
def test_the_order_of_parts_changes_nothing(document: Document, dice: random.Random) -> None:
    shuffled = copy.deepcopy(document)
    board = shuffled["board"]
    for items in (
        board["pads"],
        board["ports"],
        board["rails"],
        shuffled["devices"],
        shuffled["wires"],
    ):
        dice.shuffle(items)
    assert keys(check(from_document(shuffled))) == keys(check(from_document(document)))


@given(documents())
def test_a_new_name_for_a_part_changes_names_only(document: Document) -> None:
    renamed = copy.deepcopy(document)
    new = {device["device"]: f"~{n}" for n, device in enumerate(document["devices"])}
    for holder in (*renamed["devices"], *renamed["wires"]):
        holder["device"] = new.get(holder["device"], holder["device"])
    for port in renamed["board"]["ports"]:
        if port.get("taken_by") in new:
            port["taken_by"] = new[port["taken_by"]]
    before = check(from_document(document))
    of_devices = {
        (
            f.code,
            f.severity,
            f.subject if f.code not in BY_DEVICE else new.get(f.subject, f.subject),
        )
        for f in before
    }
    assert keys(check(from_document(renamed))) == of_devices


BY_DEVICE = {
    "lead-unknown",
    "device-unknown",
    "lines-swapped",
    "one-wire-misplaced",
    "lead-forked",
    "link-split",
    "link-incomplete",
    "protocol-unspoken",
    "protocol-unset",
    "supply-too-high",
    "supply-too-low",
    "supply-missing",
    "ground-missing",
    "bus-incomplete",
    "kind-unknown",
    "port-shared",
}


@given(sheets())
def test_never_two_sides_of_one_limit(sheet: Sheet) -> None:
    found = {(f.code, f.subject) for f in check(sheet)}
    for worse, milder in (
        ("rail-overloaded", "rail-near-limit"),
        ("esc-short-of-current", "esc-near-limit"),
        ("motor-link-too-slow", "motor-link-tight"),
        ("inversion-missing", "inversion-unknown"),
    ):
        assert not {s for code, s in found if code == worse} & {
            s for code, s in found if code == milder
        }


@given(documents())
def test_an_unused_link_is_as_good_as_absent(document: Document) -> None:
    for device in document["devices"]:
        for link in device["links"]:
            link["in_use"] = False
    without = copy.deepcopy(document)
    idle = {
        (device["device"], link[kind])
        for device in document["devices"]
        for link in device["links"]
        for kind in ("tx", "rx", "one_wire")
        if kind in link
    }
    for device in without["devices"]:
        device["links"] = []
    pads = {pad["pad"] for pad in document["board"]["pads"]}
    without["wires"] = [w for w in document["wires"] if (w["device"], w["lead"]) not in idle]
    lost = {w["pad"] for w in document["wires"]} - pads
    expected = keys(check(from_document(without))) | {("pad-unknown", "stop", pad) for pad in lost}
    assert keys(check(from_document(document))) == expected


def test_a_code_has_one_rule_only() -> None:
    with pytest.raises(Doubled, match="pad-crowded"):
        rule("pad-crowded", "stop")(lambda wiring: iter(()))

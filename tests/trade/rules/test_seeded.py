"""Each fault put in on purpose is found, and nothing else; what is right stays clean."""

from collections import Counter

import pytest

from server.trade.finding import Finding
from server.trade.rules import RULES, check
from tests.edits import edited
from tests.trade.rules.seeded import FAULTS
from tests.trade.rules.seeded_clean import CLEAN
from tests.trade.rules.seeding import Expected, Fault


def found(findings: list[Finding]) -> Expected:
    return {(f.code, str(f.severity), f.subject) for f in findings}


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_seeded_fault_is_found_and_nothing_else(fault: Fault) -> None:
    findings = check(edited(*fault.edits))
    assert found(findings) == fault.found
    assert len(findings) == len(set(findings))


@pytest.mark.parametrize(("name", "edits"), CLEAN, ids=[name for name, _ in CLEAN])
def test_what_is_right_has_no_finding(name, edits) -> None:
    assert check(edited(*edits)) == []


def test_every_code_is_seeded_three_times() -> None:
    seeded = Counter(code for fault in FAULTS for code in {code for code, _, _ in fault.found})
    assert {code: n for code, n in seeded.items() if n < 3} == {}
    assert seeded.keys() == RULES.keys()


def test_every_severity_of_a_rule_is_seeded() -> None:
    seeded = {(code, severity) for fault in FAULTS for code, severity, _ in fault.found}
    assert seeded == {(rule.code, str(s)) for rule in RULES.values() for s in rule.severities}


@pytest.mark.parametrize("code", sorted(RULES))
def test_each_rule_has_a_fault_that_only_it_finds(code, monkeypatch) -> None:
    own = next(fault for fault in FAULTS if {c for c, _, _ in fault.found} == {code})
    assert {f.code for f in check(edited(*own.edits))} == {code}
    monkeypatch.delitem(RULES, code)
    assert check(edited(*own.edits)) == []


def test_seeded_names_are_not_doubled() -> None:
    names = Counter([fault.name for fault in FAULTS] + [name for name, _ in CLEAN])
    assert [name for name, n in names.items() if n > 1] == []

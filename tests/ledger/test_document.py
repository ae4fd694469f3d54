"""The shape of the log, its schema, and what must hold between its parts."""

import json
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from server.ledger.document import BadDocument, read_document, schema
from server.ledger.parts import CLAIMS, moment
from server.ledger.signing import sign
from tests.ledger.samples import entry, event, finding, key, log, signed, step

DOCS = Path(__file__).parents[2] / "docs"
VALIDATOR = jsonschema.Draft202012Validator(schema())


def test_a_log_goes_through_the_model_unchanged() -> None:
    assert read_document(log()).document() == log()


def test_the_published_schema_is_the_models() -> None:
    written = (DOCS / "test-log.schema.json").read_text(encoding="utf-8")
    assert written == json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


def test_the_schema_is_itself_sound() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())


def test_a_signed_file_fits_the_schema() -> None:
    VALIDATOR.validate(json.loads(signed().data))


@pytest.mark.parametrize("name", sorted(log()))
def test_a_missing_field_is_refused_by_model_and_schema(name: str) -> None:
    lacking = {k: v for k, v in log().items() if k != name}
    with pytest.raises(BadDocument) as refused:
        read_document(lacking)
    assert refused.value.at == name
    assert not VALIDATOR.is_valid(json.loads(signed().data) | {"log": lacking})


WRONG_SHAPE = [
    ("customer", {"name": "N. N."}, "customer"),
    ("number", 0, "number"),
    ("number", "1", "number"),
    ("number", True, "number"),
    ("version", 2, "version"),
    ("previous", "ABC", "previous"),
    ("ticket", "", "ticket"),
    ("done_by", [], "done_by"),
    ("statement", "Ready.", "statement"),
    ("completed_at", "2030-03-01 11:00", "completed_at"),
    ("findings", [finding("grave", None)], "findings[0].severity"),
    ("power", [event("state", "solar", "2030-03-01T10:01:00Z")], "power[0].state"),
]


@pytest.mark.parametrize(("name", "value", "at"), WRONG_SHAPE)
def test_a_wrong_shape_is_refused_by_both(name: str, value: Any, at: str) -> None:
    wrong = log() | {name: value}
    with pytest.raises(BadDocument) as refused:
        read_document(wrong)
    assert refused.value.at == at
    assert not VALIDATOR.is_valid(json.loads(signed().data) | {"log": wrong})


@pytest.mark.parametrize("claim", CLAIMS)
def test_no_work_description_claims_what_no_log_may(claim: str) -> None:
    with pytest.raises(BadDocument, match=claim.upper()):
        read_document(log(work=f"Set up and {claim.upper()} to fly."))


@pytest.mark.parametrize("claim", CLAIMS)
def test_the_schema_and_the_docs_claim_nothing_either(claim: str) -> None:
    assert claim not in json.dumps(schema()).lower()
    assert claim not in (DOCS / "test-log.md").read_text(encoding="utf-8").lower()


def test_no_calendar_holds_the_thirtieth_of_february() -> None:
    with pytest.raises(BadDocument, match="signed_at: There is no such day or time"):
        read_document(log(signed_at="2030-02-30T10:00:00Z"))


def test_a_time_is_written_in_whole_seconds_of_utc() -> None:
    at = datetime(2030, 3, 1, 0, 30, 5, 999, tzinfo=timezone(timedelta(hours=1)))
    assert moment(at) == "2030-02-28T23:30:05Z"
    assert moment(datetime(2030, 3, 1, tzinfo=UTC)) == "2030-03-01T00:00:00Z"
    with pytest.raises(ValueError, match="zone"):
        moment(datetime(2030, 3, 1))


def with_step(
    *evidence: dict[str, Any], needed: bool = True, seen_by: dict[str, str] | None = None
) -> dict[str, Any]:
    steps = [step("1.1", *evidence, needed=needed)]
    return {"stages": [{"key": "a", "title": "A", "steps": steps, "seen_by": seen_by}]}


TICK = {"done": True}
OTHER = {"by": "Ines Prado", "at": "2030-03-01T09:00:00Z"}
UNSOUND = [
    ({"number": 2}, "previous"),
    ({"previous": "0" * 64}, "previous"),
    ({"completed_at": "2030-03-02T00:00:00Z"}, "signed_at"),
    ({"craft": {"name": "Kittiwake", "props": "props-out", "cells": 6}}, "craft.props"),
    ({"craft": {"name": "Kittiwake", "props": "props-in", "cells": 4}}, "craft.cells"),
    ({"sheet": {}}, "craft.name"),
    ({"findings": [finding("stop", None)]}, "findings[0].settled"),
    ({"findings": [finding("stop", "accepted")]}, "findings[0].settled"),
    ({"findings": [finding("caution", None)]}, "findings[0].settled"),
    (with_step(entry("1", TICK), seen_by=OTHER), "stages[0].seen_by"),
    (with_step(), "stages[0].steps[0]"),
    (with_step(entry("1", TICK, stale=True)), "stages[0].steps[0]"),
    (with_step(entry("1", TICK, verdict="fail")), "stages[0].steps[0]"),
    (with_step(entry("1", TICK, verdict="more")), "stages[0].steps[0]"),
    (with_step(entry("1", TICK, stale=True), needed=False), "stages[0].steps[0]"),
    (with_step(entry("1", TICK, replaces="9")), "stages[0].steps[0].evidence[0].replaces"),
    (with_step(entry("1", TICK, replaces="1")), "stages[0].steps[0].evidence[0].replaces"),
    (
        with_step(entry("1", TICK, power="limited", props_off=None)),
        "stages[0].steps[0].evidence[0].props_off",
    ),
    (
        with_step(entry("1", TICK, power="limited", props_off=OTHER)),
        "stages[0].steps[0].evidence[0].props_off",
    ),
    (
        with_step(
            entry(
                "1", TICK, power="battery", props_off=entry("1", {}, power="limited")["props_off"]
            )
        ),
        "stages[0].steps[0].evidence[0].props_off",
    ),
    (
        with_step(entry("1", {"values": [{"amps": 0.41}]})),
        "stages[0].steps[0].evidence[0].found.values[0].amps",
    ),
    (
        with_step(entry("1", {"attachment": "0" * 64})),
        "stages[0].steps[0].evidence[0].found.attachment",
    ),
    ({"power": [event("props-off", "limited", "2030-03-01T10:02:00Z")]}, "power[0].state"),
    (
        {
            "power": [
                event("state", "usb", "2030-03-01T10:02:00Z"),
                event("state", "battery", "2030-03-01T10:02:00Z"),
            ]
        },
        "power[1].state",
    ),
    ({"signed_by": {"name": "Ines Prado", "initials": "IP", "key": "A" * 43}}, "signed_by.key"),
]


@pytest.mark.parametrize(("change", "at"), UNSOUND)
def test_a_log_that_must_not_be_signed_is_not(change: dict[str, Any], at: str) -> None:
    with pytest.raises(BadDocument) as refused:
        sign(log() | change, key("Ines Prado"))
    assert refused.value.at == at


def test_a_confirmation_without_a_name_is_none() -> None:
    nameless = event("props-off", "limited", "2030-03-01T10:02:00Z", by=None)
    history = [event("state", "limited", "2030-03-01T10:01:00Z"), nameless]
    with pytest.raises(BadDocument, match="confirmation has a name"):
        sign(log(power=history), key("Ines Prado"))


def test_a_step_the_craft_may_do_without_needs_no_evidence() -> None:
    assert sign(log(**with_step(needed=False)), key("Ines Prado")).number == 1


def test_a_note_and_a_cleared_stop_hold_nothing_up() -> None:
    settled = [finding("note", None), finding("stop", "cleared")]
    assert sign(log(findings=settled), key("Ines Prado")).number == 1


def test_a_fresh_entry_after_a_stale_one_passes() -> None:
    evidence = entry("1", TICK, stale=True), entry("2", TICK, replaces="1")
    assert sign(log(**with_step(*evidence)), key("Ines Prado")).number == 1


def test_an_answer_given_in_parts_ends_in_its_pass() -> None:
    evidence = entry("1", TICK, verdict="more"), entry("2", TICK)
    assert sign(log(**with_step(*evidence)), key("Ines Prado")).number == 1


def test_a_log_too_large_to_read_is_not_signed() -> None:
    sheet = log()["sheet"] | {"wires": ["x" * 1000] * 4000}
    with pytest.raises(BadDocument, match="at most"):
        sign(log(sheet=sheet), key("Ines Prado"))


@pytest.mark.parametrize("stale", [False, True])
def test_a_second_pair_of_eyes_is_another_pair(stale: bool) -> None:
    """Somebody whose entries all went stale did nothing of what counts."""
    theirs = entry("1", TICK, by="Omar Haddad", stale=stale)
    seen = {"by": "Omar Haddad", "at": "2030-03-01T11:00:00Z"}
    looked = log(**with_step(theirs, entry("2", TICK), seen_by=seen))
    if stale:
        assert sign(looked, key("Ines Prado")).number == 1
    else:
        with pytest.raises(BadDocument, match="no second pair of eyes"):
            sign(looked, key("Ines Prado"))

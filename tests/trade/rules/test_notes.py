"""A note can be told to be right, and is quiet then; a stop and a caution cannot."""

from server.trade.rules import RULES, check
from tests.edits import edited, put, rewire

ODD = put("motors/poles", 13)
STRANGE = put("devices/receiver/kind", "kite")


def test_a_confirmed_note_is_quiet_and_others_are_not() -> None:
    sheet = edited(ODD, STRANGE)
    keys = {finding.code: finding.key for finding in check(sheet)}
    assert keys.keys() == {"poles-odd", "kind-unknown"}
    assert [f.code for f in check(sheet, {keys["poles-odd"]})] == ["kind-unknown"]
    assert check(sheet, keys.values()) == []


def test_a_note_that_says_something_else_is_new() -> None:
    (before,) = check(edited(ODD))
    (after,) = check(edited(put("motors/poles", 15)), {before.key})
    assert after.code == "poles-odd"


def test_a_stop_or_a_caution_cannot_be_confirmed() -> None:
    sheet = edited(rewire("receiver", "TX", "T1"), put("board/pads/LED/timer", "TIM3"))
    found = check(sheet)
    assert {f.severity for f in found} == {"stop", "caution"}
    assert check(sheet, {f.key for f in found}) == found


def test_every_note_says_what_it_holds_for() -> None:
    notes = {c: r.holds_for for c, r in RULES.items() if "note" in r.severities}
    assert notes == {
        "esc-near-limit": "craft",
        "kind-unknown": "craft",
        "poles-odd": "craft",
        "ports-beyond-chip": "board",
        "tip-speed-unlikely": "craft",
    }
    assert all(not rule.holds_for for code, rule in RULES.items() if code not in notes)

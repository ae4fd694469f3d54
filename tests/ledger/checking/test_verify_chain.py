"""Checking a row of logs: swapped, removed, doubled, foreign, and cut off at the end."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.ledger.checking.report import ChainReport
from server.ledger.head import head, root
from tests.ledger.rows import verify_chain
from tests.ledger.samples import key_list, listed, row, signed

ROW = row(6)
FILES = [made.data for made in ROW]
DIGESTS = [made.digest for made in ROW]
KEYS = key_list(listed("Ines Prado"))
HEAD = head(DIGESTS, "Harbour Bench", "2030-03-02T00:00:00Z")


def problems(report: ChainReport) -> list[str]:
    return [f"{p.at}: {p.says}" for p in report.problems]


def test_a_whole_row_is_found_whole() -> None:
    report = verify_chain(FILES, KEYS, head=HEAD)
    assert report.ok
    assert report.notes == ()
    assert (report.size, report.root) == (6, root(DIGESTS))
    assert [log.number for log in report.logs] == [1, 2, 3, 4, 5, 6]


def test_an_empty_row_is_no_chain_and_no_fault() -> None:
    report = verify_chain([])
    assert report.ok
    assert (report.size, report.root) == (0, None)


def test_what_cannot_be_seen_is_said() -> None:
    assert len(verify_chain(FILES).notes) == 2


@given(st.permutations(range(6)).filter(lambda order: order != sorted(order)))
def test_every_other_order_is_found(order: list[int]) -> None:
    report = verify_chain([FILES[i] for i in order], KEYS)
    assert not report.ok
    assert "stands after" in problems(report)[0]


@given(st.sets(st.integers(0, 5), min_size=1, max_size=5))
def test_every_removal_is_found_with_the_head(gone: set[int]) -> None:
    left = [data for i, data in enumerate(FILES) if i not in gone]
    assert not verify_chain(left, KEYS, head=HEAD).ok


@pytest.mark.parametrize("gone", range(5))
def test_a_removal_before_the_end_is_named(gone: int) -> None:
    report = verify_chain(FILES[:gone] + FILES[gone + 1 :], KEYS)
    n = gone + 1
    assert problems(report) == [f"log {n}: Log {n} is missing before log {n + 1}."]
    assert report.root is None


def test_a_removal_at_the_end_needs_a_head() -> None:
    assert verify_chain(FILES[:5], KEYS).ok
    report = verify_chain(FILES[:5], KEYS, head=HEAD)
    assert problems(report) == ["head: The head counts 6 logs; whole here are 5."]


def test_a_younger_row_holds_what_an_older_head_counts() -> None:
    older = head(DIGESTS[:4], "Harbour Bench", "2030-03-01T00:00:00Z")
    assert verify_chain(FILES, KEYS, head=older).ok


def test_several_missing_logs_are_named_together() -> None:
    report = verify_chain(FILES[4:], KEYS)
    assert problems(report) == ["log 1: Logs 1 to 4 are missing before log 5."]


def test_a_part_of_the_row_may_begin_later() -> None:
    report = verify_chain(FILES[2:], KEYS, part=True)
    assert report.ok
    assert (report.size, report.root) == (0, None)


def test_a_part_with_a_gap_is_still_found() -> None:
    assert not verify_chain([FILES[1], FILES[3]], KEYS, part=True).ok


def test_a_doubled_log_is_found() -> None:
    report = verify_chain([*FILES[:3], *FILES[2:]], KEYS)
    assert problems(report) == ["log 3: It is there 2 times."]


def test_a_log_put_in_anothers_place_breaks_the_row() -> None:
    other = signed(3, DIGESTS[1], ticket="9999")
    report = verify_chain([*FILES[:2], other.data, *FILES[3:]], KEYS)
    assert all(log.ok for log in report.logs)
    assert problems(report) == [
        "log 4: It does not follow the log 3 given here, but one of another digest."
    ]


def test_a_rewritten_end_is_found_with_the_head() -> None:
    other = signed(6, DIGESTS[4], ticket="9999")
    assert verify_chain([*FILES[:5], other.data], KEYS).ok
    report = verify_chain([*FILES[:5], other.data], KEYS, head=HEAD)
    assert problems(report) == ["head: The first 6 logs here are not those of the head."]


def test_a_foreign_key_in_the_row_is_found() -> None:
    foreign = signed(6, DIGESTS[4], owner="Bo")
    report = verify_chain([*FILES[:5], foreign.data], KEYS)
    assert not report.ok
    assert [log.ok for log in report.logs] == [True] * 5 + [False]


def test_a_file_that_is_no_log_spoils_the_row() -> None:
    report = verify_chain([*FILES[:5], b"{}"], KEYS)
    assert not report.ok
    assert report.root is None


def test_a_closed_key_cannot_sign_late_under_an_old_date() -> None:
    late = signed(3, DIGESTS[1], owner="Bo", signed_at="2030-03-01T11:30:00Z")
    keys = key_list(listed("Ines Prado"), listed("Bo", until="2030-03-01T11:59:00Z"))
    report = verify_chain([*FILES[:2], late.data], keys)
    assert all(log.ok for log in report.logs)
    assert problems(report) == [
        "log 3: Its key was closed 2030-03-01T11:59:00Z; the log before it is of "
        "2030-03-01T12:02:00Z."
    ]


@pytest.mark.parametrize(
    ("corrects", "ok"), [(DIGESTS[0], True), ("0" * 64, False)], ids=["one", "none"]
)
def test_a_correction_names_a_log_before_it(corrects: str, ok: bool) -> None:
    report = verify_chain([*FILES[:2], signed(3, DIGESTS[1], corrects=corrects).data], KEYS)
    assert report.ok is ok


def test_the_row_report_is_plain_json() -> None:
    report = verify_chain(FILES, KEYS).as_json()
    assert report["ok"]
    assert len(report["logs"]) == 6

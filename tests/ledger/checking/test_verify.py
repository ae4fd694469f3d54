"""Checking one log: every change is found, and the first thing wrong is named."""

import json
import random
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.ledger import base64url, jws
from server.ledger.canonical import canonical
from server.ledger.checking.verify import verify_log
from server.ledger.envelope import pack
from server.ledger.keys import SigningKey
from server.ledger.reading import LIMIT
from tests.ledger.samples import finding, key, key_list, listed, log, signed

GOOD = signed().data
FILE: dict[str, Any] = json.loads(GOOD)
KEYS = key_list(listed("Ines Prado"))
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.floats(-1, 1) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
)


def written(**changes: Any) -> bytes:
    """The good file with members changed, spelt as a file is."""
    return canonical(FILE | changes) + b"\n"


def first(data: bytes) -> tuple[str, str]:
    """Place and words of the first thing wrong."""
    report = verify_log(data, keys=KEYS)
    assert not report.ok
    return report.problems[0].at, report.problems[0].says


def test_a_good_log_is_found_good() -> None:
    report = verify_log(GOOD, keys=KEYS)
    assert report.ok
    assert report.notes == ()
    assert (report.number, report.ticket, report.signer) == (1, "1041", "Ines Prado")
    assert report.digest == signed().digest
    assert report.fingerprint == key("Ines Prado").public.fingerprint


def test_without_a_list_nobody_is_named() -> None:
    report = verify_log(GOOD)
    assert report.ok
    assert report.signer is None
    assert report.claims == "Ines Prado"
    assert "Whose key that is, is not known" in report.notes[0]


def test_the_report_is_plain_json() -> None:
    report = verify_log(GOOD, keys=KEYS).as_json()
    assert json.loads(json.dumps(report)) == report
    assert report["key"] == key("Ines Prado").kid


# Every third position, each with one of the 255 other bytes; the same sample in every run.
RANDOM = random.Random(8785)
SAMPLE = [(at, RANDOM.randrange(1, 256)) for at in range(0, len(GOOD), 3)]


@pytest.mark.parametrize("tenth", range(10))
def test_every_changed_byte_is_found_and_placed(tenth: int) -> None:
    for at, flip in SAMPLE[tenth::10]:
        changed = GOOD[:at] + bytes([GOOD[at] ^ flip]) + GOOD[at + 1 :]
        report = verify_log(changed)
        assert not report.ok, f"byte {at} changed by {flip:#x} went unseen"
        assert all(problem.at and problem.says for problem in report.problems)


def test_every_flipped_bit_of_jws_and_key_is_found() -> None:
    # The last characters of signature and key have unused bits, which many decoders pass over.
    end_of_jws, end_of_key = GOOD.index(b'","key"'), GOOD.index(b'"},"log"')
    for end in (end_of_jws, end_of_key):
        for at in range(end - 3, end):
            for bit in range(8):
                changed = GOOD[:at] + bytes([GOOD[at] ^ 1 << bit]) + GOOD[at + 1 :]
                assert not verify_log(changed).ok


@given(st.integers(0, len(GOOD) - 1), st.integers(1, 40))
def test_every_cut_and_every_doubling_is_found(at: int, length: int) -> None:
    assert not verify_log(GOOD[:at] + GOOD[at + length :]).ok
    assert not verify_log(GOOD[:at] + GOOD[at : at + length] + GOOD[at:]).ok


@given(st.binary(max_size=300))
def test_no_bytes_make_it_raise(data: bytes) -> None:
    assert not verify_log(data).ok


@given(
    VALUES,
    st.sampled_from(["jws", "key", "log"]),
)
def test_no_member_of_another_kind_makes_it_raise(value: Any, name: str) -> None:
    assert not verify_log(canonical(FILE | {name: value}) + b"\n").ok


def places(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The way to everything in a document."""
    if not isinstance(value, dict | list):
        return
    for name, inner in value.items() if isinstance(value, dict) else enumerate(value):
        yield (*path, name)
        yield from places(inner, (*path, name))


@given(st.sampled_from([*places(FILE["log"])]), VALUES)
def test_no_value_signed_in_any_place_makes_it_raise(path: tuple[Any, ...], value: Any) -> None:
    report = verify_log(pack("log", changed_log([*path], value), key("Ines Prado")))
    assert all(problem.at and problem.says for problem in report.problems)


def test_an_attachment_that_is_no_text_is_refused() -> None:
    path = ["stages", 0, "steps", 0, "evidence", 0, "found", "attachment"]
    at, _ = first(pack("log", changed_log([*path], [1]), key("Ines Prado")))
    assert at == "stages[0].steps[0].evidence[0].found.attachment"


def changed_log(path: list[str | int], value: Any) -> dict[str, Any]:
    changed: Any = json.loads(json.dumps(FILE["log"]))
    here = changed
    for name in path[:-1]:
        here = here[name]
    here[path[-1]] = value
    return dict(changed)


@pytest.mark.parametrize(
    ("path", "value", "at"),
    [
        (
            ["stages", 1, "steps", 0, "evidence", 1, "found", "values", "amps"],
            "0.42",
            "stages[1].steps[0].evidence[1].found.values.amps",
        ),
        (["craft", "name"], "Kittiwakf", "craft.name"),
        (["sheet", "battery", "cells"], 4, "sheet.battery.cells"),
        (["ticket"], None, "ticket"),
        (["findings"], [], "findings[0]"),
    ],
)
def test_a_changed_reading_is_named_by_its_path(path: list[Any], value: Any, at: str) -> None:
    place, says = first(written(log=changed_log(path, value)))
    assert place == at
    assert says.startswith("It differs: to be read is ")


def test_a_changed_reading_is_shown_both_ways() -> None:
    _, says = first(written(log=changed_log(["ticket"], "1099")))
    assert says == 'It differs: to be read is "1099", in the JWS is "1041".'


def test_a_log_printed_prettily_is_named_as_such() -> None:
    at, says = first(json.dumps(FILE, indent=1).encode())
    assert (at, says) == ("byte 1", "The file is not in its canonical form from here on.")


@pytest.mark.parametrize("more", [b"\n", b" ", b"\r\n", b"\x00"])
def test_bytes_after_the_end_are_found(more: bytes) -> None:
    assert first(GOOD + more)[0] == f"byte {len(GOOD)}"


def test_a_lost_last_byte_is_found() -> None:
    assert first(GOOD[:-1])[0] == f"byte {len(GOOD) - 1}"


def test_a_log_with_a_member_more_is_refused() -> None:
    assert first(written(note="x")) == ("file", "It must hold jws, key and log, and nothing else.")


def test_a_file_over_the_limit_is_refused() -> None:
    assert "at most" in first(b"{" + b" " * LIMIT + b"}")[1]


def resealed(header: dict[str, Any] | bytes, owner: str = "Ines Prado") -> bytes:
    """The good log under another protected header, with a signature that fits."""
    raw = header if isinstance(header, bytes) else canonical(header)
    payload = FILE["jws"].split(".")[1]
    signing_input = f"{base64url.encode(raw)}.{payload}"
    signature = key(owner)._private.sign(signing_input.encode())
    return written(jws=f"{signing_input}.{base64url.encode(signature)}")


HEADER = {"alg": "EdDSA", "kid": key("Ines Prado").kid, "typ": "quadwright-log"}


def test_our_own_header_put_together_by_hand_is_good() -> None:
    assert resealed(HEADER) == GOOD


@pytest.mark.parametrize(
    ("header", "says"),
    [
        (HEADER | {"alg": "none"}, "header's alg is not EdDSA"),
        (HEADER | {"alg": "HS256"}, "header's alg is not EdDSA"),
        (HEADER | {"alg": "Ed25519"}, "header's alg is not EdDSA"),
        (HEADER | {"typ": "quadwright-keys"}, "header's typ is not quadwright-log"),
        (HEADER | {"kid": key("Bo").kid}, "header's kid is not"),
        (HEADER | {"crit": ["b64"], "b64": False}, "must hold alg, kid and typ"),
        (HEADER | {"jwk": key("Bo").public.jwk}, "must hold alg, kid and typ"),
        ({"alg": "EdDSA"}, "must hold alg, kid and typ"),
        (b"[]", "must hold alg, kid and typ"),
        (b"{", "header is not JSON"),
        (json.dumps(HEADER).encode(), "header is not in its canonical form"),
    ],
    ids=str.split("none HS256 Ed25519 typ kid crit jwk short list torn spaced"),
)
def test_another_header_is_refused_though_signed(header: Any, says: str) -> None:
    at, found = first(resealed(header))
    assert at == "jws"
    assert says in found


def test_an_unsigned_log_is_refused() -> None:
    head = base64url.encode(canonical({"alg": "none"}))
    assert first(written(jws=f"{head}.{FILE['jws'].split('.')[1]}."))[0] == "jws"


@pytest.mark.parametrize("text", ["", "a.b", "a.b.c.d", "..", "a=.b.c", "é.b.c", 7, None])
def test_what_is_no_compact_jws_is_refused(text: Any) -> None:
    assert first(written(jws=text))[0] == "jws"


def test_anothers_signature_does_not_fit() -> None:
    assert first(resealed(HEADER, owner="Bo")) == (
        "jws",
        "The signature does not fit what is signed.",
    )


def test_anothers_key_beside_the_log_does_not_fit() -> None:
    assert "kid is not" in first(written(key=key("Bo").public.jwk))[1]


def test_a_signature_for_another_kind_of_document_does_not_fit() -> None:
    text = jws.seal(canonical(FILE["log"]), key("Ines Prado"), "quadwright-keys")
    assert "typ is not quadwright-log" in first(written(jws=text))[1]


def test_a_log_signed_outside_our_gate_is_still_judged() -> None:
    open_stop = log(findings=[finding("stop", None)])
    at, says = first(pack("log", open_stop, key("Ines Prado")))
    assert (at, says) == ("findings[0].settled", "link-incomplete is a stop: it cannot be signed.")


def test_a_signed_document_of_another_shape_is_refused() -> None:
    at, _ = first(pack("log", {"kind": "other"}, key("Ines Prado")))
    assert at == "kind"


def test_a_log_signed_by_another_key_than_it_names_is_found() -> None:
    assert first(pack("log", log(), key("Omar Haddad")))[0] == "signed_by.key"


def test_a_foreign_key_is_found_with_the_list() -> None:
    foreign = signed(owner="Bo").data
    assert verify_log(foreign).ok
    at, says = first(foreign)
    assert at == "key"
    assert says.endswith("is not on the key list of Harbour Bench.")


def test_another_name_over_a_listed_key_is_found() -> None:
    signer = {"name": "Omar Haddad", "initials": "OH", "key": key("Ines Prado").kid}
    at, says = first(pack("log", log(signed_by=signer), key("Ines Prado")))
    assert at == "signed_by.name"
    assert says == "The log says Omar Haddad; by the key list the key is Ines Prado's."


@pytest.mark.parametrize(
    ("until", "ok"), [("2030-03-01T12:01:00Z", True), ("2030-03-01T12:00:59Z", False)]
)
def test_a_closed_key_signs_until_its_date(until: str, ok: bool) -> None:
    report = verify_log(GOOD, keys=key_list(listed("Ines Prado", until=until)))
    assert report.ok is ok
    assert [p.at for p in report.problems] == ([] if ok else ["signed_at"])


def test_a_published_test_key_signs_nothing_here(published: SigningKey) -> None:
    signer = {"name": "Ines Prado", "initials": "IP", "key": published.kid}
    report = verify_log(pack("log", log(signed_by=signer), published))
    assert [p.at for p in report.problems] == ["key"]
    assert "printed in RFC 8032" in report.problems[0].says

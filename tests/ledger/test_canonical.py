"""Canonical JSON: what it refuses, and that reading it back gives the same."""

import enum
import json
from decimal import Decimal
from typing import Any

import jcs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.ledger.canonical import DEPTH, LARGEST, NotCanonical, canonical
from server.ledger.difference import first_difference, value_at
from server.ledger.reading import LIMIT, read_json

SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-LARGEST, LARGEST)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text()
)
DOCUMENTS = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
)


@given(DOCUMENTS)
def test_reading_back_gives_the_same_bytes(document: Any) -> None:
    assert canonical(read_json(canonical(document))) == canonical(document)


@given(DOCUMENTS)
def test_another_canonicaliser_gives_the_same_bytes(document: Any) -> None:
    assert canonical(document) == jcs.canonicalize(document)


@given(DOCUMENTS)
def test_any_json_reader_gets_the_values_back(document: Any) -> None:
    # As RFC 8785 §3.2.2.3 has it, a number is a double.
    assert json.loads(canonical(document), parse_int=float) == document


@pytest.mark.parametrize(
    ("document", "at", "word"),
    [
        ({"amps": Decimal("0.41")}, "amps", "Decimal"),
        ({"steps": [{"found": float("nan")}]}, "steps[0].found", "nan"),
        ({"a": float("inf")}, "a", "inf"),
        ({"a": 2**53}, "a", "whole number"),
        ([-(2**53)], "[0]", "whole number"),
        ({"a": {1: "b"}}, "a", "not text"),
        ({"a": "\ud800"}, "a", "surrogate"),
        ({"\udc00": 1}, "", "surrogate"),
        ({"a": b"bytes"}, "a", "bytes"),
        ({"a": {1, 2}}, "a", "set"),
    ],
)
def test_what_has_no_form_is_refused_with_its_place(document: Any, at: str, word: str) -> None:
    with pytest.raises(NotCanonical, match=word) as refused:
        canonical(document)
    assert refused.value.at == at


def test_the_ends_of_the_whole_numbers_are_taken() -> None:
    assert canonical([2**53 - 1, -(2**53) + 1]) == b"[9007199254740991,-9007199254740991]"


def test_words_of_an_enumeration_are_plain_text() -> None:
    assert canonical([enum.StrEnum("Word", ["USB"]).USB]) == b'["usb"]'


def test_nesting_past_the_limit_is_refused_both_ways() -> None:
    deep: Any = []
    for _ in range(DEPTH - 1):
        deep = [deep]
    assert read_json(canonical(deep)) == deep
    with pytest.raises(NotCanonical, match="deeper"):
        canonical([deep])
    with pytest.raises(NotCanonical, match="deeper"):
        read_json(b"[" + canonical(deep) + b"]")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b'{"a":1,"a":2}', '"a" is given twice'),
        (b'{"a":NaN}', "NaN is no JSON number"),
        (b"[-Infinity]", "-Infinity is no JSON number"),
        (b"[1e400]", "inf is no JSON number"),
        (b'["\xff"]', "byte 2: not UTF-8"),
        (b"\xef\xbb\xbf{}", "byte 0: not JSON"),
        (b'{"a":}', "byte 5: not JSON"),
        ('["é",]'.encode(), "byte 6: not JSON"),
        (b'["\\ud800"]', "surrogate"),
        (b"", "byte 0: not JSON"),
    ],
)
def test_texts_that_are_no_strict_json_are_refused(text: bytes, says: str) -> None:
    with pytest.raises(NotCanonical, match=says):
        read_json(text)


def test_a_text_over_the_size_limit_is_refused() -> None:
    with pytest.raises(NotCanonical, match="at most"):
        read_json(b" " * (LIMIT + 1))


@pytest.mark.parametrize("text", [b"[" * 100_000, b'{"a":' * 100_000, b'"' + b'\\"' * 500_000])
def test_hostile_texts_are_refused_without_effort(text: bytes) -> None:
    with pytest.raises(NotCanonical):
        read_json(text)


def test_brackets_inside_strings_count_for_nothing() -> None:
    assert read_json(b'["' + b"[" * 200 + b'\\"["]') == ["[" * 200 + '"[']


@given(st.binary(max_size=200))
def test_no_bytes_make_reading_raise_otherwise(data: bytes) -> None:
    try:
        document = read_json(data)
    except NotCanonical:
        return
    assert json.loads(data, parse_int=float) == document


@pytest.mark.parametrize(
    ("one", "other", "path"),
    [
        ({"a": 1}, {"a": 1.0}, None),
        ({"a": 1}, {"a": True}, "a"),
        ({"steps": [{"found": "x"}, {}]}, {"steps": [{"found": "y"}, {}]}, "steps[0].found"),
        ({"a": [1, 2]}, {"a": [1, 2, 3]}, "a[2]"),
        ({"a": 1, "b": 2}, {"b": 2}, "a"),
        ({"a b": 1}, {"a b": 2}, '["a b"]'),
        ({"a": []}, {"a": {}}, "a"),
        ([], {}, ""),
    ],
)
def test_the_first_difference_is_named(one: Any, other: Any, path: str | None) -> None:
    assert first_difference(one, other) == path


def test_a_value_is_shown_short_or_missing() -> None:
    document = {"a b": [{"c": "d"}], "long": "x" * 100}
    assert value_at(document, '["a b"][0].c') == '"d"'
    assert value_at(document, "a.b") == "nothing"
    assert len(value_at(document, "long")) == 60

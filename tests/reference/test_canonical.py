"""Canonical JSON against RFC 8785: its worked examples, key order and Appendix B's numbers."""

import hashlib
import struct

import pytest

from server.ledger.canonical import NotCanonical, canonical
from server.ledger.reading import read_json

# RFC 8785 §3.2.2, as it stands there before and after (REF-G7, REF-G8).
BEFORE = (
    rb'{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],'
    rb'"string":"\u20ac$\u000F\u000aA\u0027\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}'
)
AFTER = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
).encode()


def test_the_worked_example_comes_out_to_the_byte() -> None:
    made = canonical(read_json(BEFORE))
    assert made == AFTER
    assert len(made) == 118
    wanted = "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"
    assert hashlib.sha256(made).hexdigest() == wanted


def test_keys_stand_in_the_order_of_utf16_units() -> None:
    # RFC 8785 §3.2.3 (REF-G9). By code point U+FB33 would come before U+1F600.
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    made = read_json(canonical(dict.fromkeys(keys, 0)))
    assert list(made) == ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(made) != sorted(keys)


# RFC 8785 Appendix B: the double's bits, and its text.
NUMBERS = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]


@pytest.mark.parametrize(("bits", "text"), NUMBERS)
def test_a_number_is_written_as_the_standard_has_it(bits: str, text: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(number) == text.encode()
    assert canonical(read_json(text.encode())) == text.encode()


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000", "fff0000000000000"])
def test_what_is_no_number_is_refused(bits: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    with pytest.raises(NotCanonical):
        canonical(number)

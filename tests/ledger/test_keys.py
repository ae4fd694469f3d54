"""Keys: sealed under a phrase, opened by it alone, and named."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.ledger.keys import (
    STRONG,
    BadKey,
    PublicKey,
    SealCost,
    SealedKey,
    ShortPhrase,
    WrongPhrase,
    fingerprint,
    from_jwk,
    new_key,
    open_key,
    reseal,
)
from server.ledger.public import PUBLISHED
from tests.ledger.samples import CHEAP, PHRASE, key, sealed


def test_the_right_phrase_opens_the_key() -> None:
    made = new_key(PHRASE, CHEAP)
    assert open_key(made, PHRASE).public == made.public


@pytest.mark.parametrize("phrase", ["", "four kettles in a ro", PHRASE.upper(), "\ud800" * 12])
def test_another_phrase_does_not_open_it(phrase: str) -> None:
    with pytest.raises(WrongPhrase):
        open_key(sealed("Ines Prado"), phrase)


def test_one_phrase_typed_two_ways_opens_it() -> None:
    made = new_key("cafés au port", CHEAP)
    assert open_key(made, " cafe\u0301s au port ").kid == made.kid


def test_a_short_phrase_is_refused() -> None:
    with pytest.raises(ShortPhrase):
        new_key("kettle      ", CHEAP)


def test_resealing_keeps_the_key_and_ends_the_old_phrase() -> None:
    old = new_key(PHRASE, CHEAP)
    new = reseal(old, PHRASE, "another long phrase", CHEAP)
    assert new.public == old.public
    assert open_key(new, "another long phrase").kid == old.kid
    with pytest.raises(WrongPhrase):
        open_key(new, PHRASE)


def test_resealing_asks_for_the_old_phrase() -> None:
    with pytest.raises(WrongPhrase):
        reseal(sealed("Ines Prado"), "not this one either", "another long phrase", CHEAP)


def test_a_sealed_key_goes_through_json() -> None:
    made = sealed("Ines Prado")
    assert SealedKey.from_json(made.to_json()) == made


@pytest.mark.parametrize("other", ["public", "salt", "nonce", "box"])
def test_no_part_of_a_sealed_key_can_be_exchanged(other: str) -> None:
    mine, theirs = json.loads(sealed("Ines Prado").to_json()), json.loads(sealed("Bo").to_json())
    mixed = SealedKey.from_json(json.dumps(mine | {other: theirs[other]}))
    with pytest.raises(WrongPhrase):
        open_key(mixed, PHRASE)


def test_the_cost_is_under_the_seal() -> None:
    document = json.loads(sealed("Ines Prado").to_json())
    document["argon2id"]["memory_kib"] = 9
    # Argon2 rounds 9 KiB down to 8 for one lane, so only the associated data can tell.
    with pytest.raises(WrongPhrase):
        open_key(SealedKey.from_json(json.dumps(document)), PHRASE)


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "other"},
        {"version": 2},
        {"more": 1},
        {"salt": "AA"},
        {"salt": 7},
        {"box": None},
        {"public": {"kty": "OKP"}},
        {"argon2id": {"memory_kib": 2**30, "passes": 3, "lanes": 4}},
        {"argon2id": {"memory_kib": "8", "passes": 1, "lanes": 1}},
        {"argon2id": {"memory_kib": 8}},
        {"argon2id": []},
    ],
)
def test_a_doctored_sealed_key_is_refused(change: dict[str, Any]) -> None:
    document = json.loads(sealed("Ines Prado").to_json()) | change
    with pytest.raises(BadKey):
        SealedKey.from_json(json.dumps(document))


@pytest.mark.parametrize("text", ["", "[]", "null", "{}", '"\ud800"'])
def test_what_is_no_sealed_key_is_refused(text: str) -> None:
    with pytest.raises(BadKey):
        SealedKey.from_json(text)


def test_the_usual_cost_is_the_standards_own() -> None:
    # RFC 9106 §4, second recommended option: t=3, p=4, m=2^16 KiB.
    assert SealCost(memory_kib=65536, passes=3, lanes=4) == STRONG


def test_an_opened_key_does_not_show_its_secret() -> None:
    opened = key("Ines Prado")
    secret = opened.as_jose().as_dict(private=True)["d"]
    assert str(secret) not in repr(opened)
    assert opened.public.fingerprint in repr(opened)


def test_a_shop_key_is_never_a_published_one() -> None:
    assert not key("Ines Prado").public.published
    assert PublicKey("11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo").published
    assert len(PUBLISHED) == 5


def test_a_fingerprint_is_eight_letters_that_read_well() -> None:
    short = key("Ines Prado").public.fingerprint
    assert len(short) == 9
    assert short[4] == " "
    assert not set(short) & set("ILOU")


# Crockford's base32 by hand: 00 44 32 14 C7 is 00000 00001 00010 00011 00100 00101 00110 00111.
def test_a_fingerprint_is_the_first_forty_bits() -> None:
    assert fingerprint("AEQyFMc" + "A" * 36) == "0123 4567"


@pytest.mark.parametrize("kid", ["", "AA", "not a kid", "A" * 44])
def test_what_is_no_thumbprint_has_no_fingerprint(kid: str) -> None:
    with pytest.raises(ValueError, match=r"base64url|32 bytes"):
        fingerprint(kid)


@pytest.mark.parametrize(
    "jwk",
    [
        None,
        {},
        {"crv": "Ed25519", "kty": "OKP"},
        {"crv": "Ed25519", "kty": "OKP", "x": 7},
        {"crv": "Ed25519", "kty": "OKP", "x": "AAAA"},
        {"crv": "Ed25519", "kty": "OKP", "x": "A" * 42 + "B"},
        {"crv": "X25519", "kty": "OKP", "x": "A" * 43},
        {"crv": "Ed25519", "kty": "OKP", "x": "A" * 43, "d": "A" * 43},
    ],
)
def test_only_a_plain_ed25519_key_is_read(jwk: Any) -> None:
    with pytest.raises(BadKey):
        from_jwk(jwk)


@settings(max_examples=20)
@given(st.text(min_size=12).filter(lambda text: len(text.strip()) >= 24))
def test_any_long_phrase_opens_what_it_sealed(phrase: str) -> None:
    assert open_key(new_key(phrase, CHEAP), phrase)

"""The key list: signed by a lead, and refused when anything about it is wrong."""

import json
from typing import Any

import pytest

from server.ledger.canonical import canonical
from server.ledger.envelope import pack
from server.ledger.keylist import BadKeyList, KeyList, ListedKey, read_keys, sign_keys
from server.ledger.keys import SigningKey
from server.ledger.parts import Jwk, plain
from tests.ledger.samples import key, key_file, key_list, listed

LEAD = "Omar Haddad"
GOOD = key_file(listed("Ines Prado"))


def test_a_signed_list_is_read_back() -> None:
    assert read_keys(GOOD) == key_list(listed("Ines Prado"))


def test_a_key_is_found_by_its_thumbprint() -> None:
    keys = read_keys(GOOD)
    found = keys.find(key("Ines Prado").kid)
    assert found is not None
    assert found.owner == "Ines Prado"
    assert keys.find(key("Bo").kid) is None


def test_every_changed_byte_of_a_list_is_found() -> None:
    for at in range(0, len(GOOD), 5):
        changed = GOOD[:at] + bytes([GOOD[at] ^ 1]) + GOOD[at + 1 :]
        with pytest.raises(BadKeyList):
            read_keys(changed)


def test_a_changed_name_is_named() -> None:
    file = json.loads(GOOD)
    file["keys"]["keys"][1]["owner"] = "Bo"
    with pytest.raises(BadKeyList) as refused:
        read_keys(canonical(file) + b"\n")
    assert refused.value.at == "keys[1].owner"


def test_the_lead_known_from_paper_is_asked_for() -> None:
    assert read_keys(GOOD, lead=key(LEAD).kid).signed_by == key(LEAD).kid
    with pytest.raises(BadKeyList, match="another key than the one expected"):
        read_keys(GOOD, lead=key("Bo").kid)


def test_only_a_lead_signs_the_list() -> None:
    by_ines = key_list(listed("Ines Prado")).model_copy(update={"signed_by": key("Ines Prado").kid})
    with pytest.raises(BadKeyList, match="no supervisor's key"):
        sign_keys(by_ines, key("Ines Prado"))


def test_a_closed_lead_signs_no_list() -> None:
    closed = listed(LEAD, lead=True, until="2030-01-31T00:00:00Z")
    with pytest.raises(BadKeyList, match="no supervisor's key"):
        sign_keys(key_list().model_copy(update={"keys": (closed,)}), key(LEAD))


def test_another_key_than_the_one_named_is_refused() -> None:
    with pytest.raises(BadKeyList, match="not the key that signed"):
        sign_keys(key_list(), key("Bo"))


def test_a_key_twice_on_the_list_is_refused() -> None:
    with pytest.raises(BadKeyList, match="on the list twice"):
        key_file(listed("Ines Prado"), listed("Ines Prado"))


def test_a_key_closed_before_it_opened_is_refused() -> None:
    with pytest.raises(BadKeyList, match="before it is opened"):
        key_file(listed("Ines Prado", until="2029-01-01T00:00:00Z"))


def test_a_published_test_key_is_refused(published: SigningKey) -> None:
    jwk = Jwk(crv="Ed25519", kty="OKP", x=published.public.x)
    line = listed("Ines Prado").model_copy(update={"key": jwk})
    with pytest.raises(BadKeyList, match="printed in RFC 8032"):
        key_file(ListedKey.model_validate(line.model_dump()))


@pytest.mark.parametrize(
    ("change", "at"),
    [
        ({"keys": []}, "keys"),
        ({"version": 2}, "version"),
        ({"customer": "N. N."}, "customer"),
        ({"keys": [{"owner": "Bo"}]}, "keys[0].initials"),
        (
            {
                "keys": [
                    plain(listed("Bo")) | {"key": {"crv": "Ed25519", "kty": "OKP", "x": "B" * 43}}
                ]
            },
            "keys[0].key.x",
        ),
    ],
)
def test_a_list_of_another_shape_is_refused(change: dict[str, Any], at: str) -> None:
    document = plain(key_list()) | change
    with pytest.raises(BadKeyList) as refused:
        read_keys(pack("keys", document, key(LEAD)))
    assert refused.value.at == at


def test_a_log_is_no_key_list() -> None:
    with pytest.raises(BadKeyList):
        read_keys(pack("log", plain(key_list()), key(LEAD)))


def test_the_ends_of_a_keys_time_count() -> None:
    line = listed("Ines Prado", until="2030-02-01T00:00:00Z")
    assert isinstance(key_list(line), KeyList)
    assert line.open_at("2030-01-01T00:00:00Z")
    assert line.open_at("2030-02-01T00:00:00Z")
    assert not line.open_at("2029-12-31T23:59:59Z")
    assert not line.open_at("2030-02-01T00:00:01Z")

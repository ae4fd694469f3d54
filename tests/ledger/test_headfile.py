"""A head's file: signed by a lead, and refused otherwise."""

import pytest

from server.ledger.envelope import pack
from server.ledger.head import head
from server.ledger.headfile import BadHead, read_head, sign_head
from tests.ledger.samples import key, key_list, listed

LEAD = key("Omar Haddad")
HEAD = head(["0" * 64, "1" * 64], "Harbour Bench", "2030-03-01T00:00:00Z")
GOOD = sign_head(HEAD, LEAD)
KEYS = key_list(listed("Ines Prado"))


def test_a_signed_head_is_read_back() -> None:
    assert read_head(GOOD, KEYS) == HEAD


def test_every_changed_byte_of_a_head_is_found() -> None:
    for at in range(0, len(GOOD), 5):
        with pytest.raises(BadHead):
            read_head(GOOD[:at] + bytes([GOOD[at] ^ 1]) + GOOD[at + 1 :], KEYS)


@pytest.mark.parametrize("owner", ["Ines Prado", "Bo"])
def test_only_a_lead_on_the_list_gives_a_head(owner: str) -> None:
    with pytest.raises(BadHead, match="no supervisor's key"):
        read_head(sign_head(HEAD, key(owner)), KEYS)


def test_a_lead_gives_no_head_before_the_key_opened() -> None:
    early = HEAD.model_copy(update={"at": "2029-12-31T00:00:00Z"})
    with pytest.raises(BadHead, match="open at the head's time"):
        read_head(sign_head(early, LEAD), KEYS)


def test_a_signed_document_of_another_shape_is_no_head() -> None:
    with pytest.raises(BadHead, match="no head of a chain"):
        read_head(pack("head", {"size": 2}, LEAD), KEYS)

"""Heads and proofs as documents, over a shop's digests."""

import hashlib

import pytest

from server.ledger.head import Growth, Membership, growth, head, membership

DIGESTS = [hashlib.sha256(bytes([n])).hexdigest() for n in range(11)]
OLD = head(DIGESTS[:6], "Harbour Bench", "2030-03-01T00:00:00Z")
NEW = head(DIGESTS, "Harbour Bench", "2030-04-01T00:00:00Z")


def test_every_log_has_a_proof_against_the_head() -> None:
    assert all(membership(DIGESTS, number).holds(NEW) for number in range(1, 12))


def test_a_proof_does_not_hold_against_another_head() -> None:
    assert not membership(DIGESTS, 3).holds(OLD)


def test_a_proof_with_another_digest_does_not_hold() -> None:
    proof = membership(DIGESTS, 3)
    assert not proof.model_copy(update={"digest": DIGESTS[3]}).holds()


def test_two_heads_are_joined_by_a_proof() -> None:
    assert growth(DIGESTS, 6).holds(OLD, NEW)


def test_a_removed_log_leaves_no_proof_to_give() -> None:
    without = DIGESTS[:2] + DIGESTS[3:]
    assert not growth(without, 6).holds(OLD)


def test_a_proof_goes_through_json() -> None:
    one, two = membership(DIGESTS, 5), growth(DIGESTS, 4)
    assert Membership.model_validate_json(one.model_dump_json(), strict=True) == one
    assert Growth.model_validate_json(two.model_dump_json(), strict=True) == two


@pytest.mark.parametrize("number", [0, 12])
def test_no_proof_for_a_log_not_there(number: int) -> None:
    with pytest.raises(IndexError):
        membership(DIGESTS, number)

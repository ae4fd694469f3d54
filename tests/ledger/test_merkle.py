"""Laws of the Merkle tree, for every size up to 40."""

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.ledger import merkle

SIZES = range(1, 41)
LEAVES = [bytes([n]) * (n % 5) for n in range(40)]


def by_definition(leaves: list[bytes]) -> bytes:
    """RFC 6962 §2.1 as it reads, apart from our own code."""
    if len(leaves) < 2:
        return hashlib.sha256(b"".join(b"\x00" + d for d in leaves)).digest()
    k = max(2**n for n in range(10) if 2**n < len(leaves))
    left, right = by_definition(leaves[:k]), by_definition(leaves[k:])
    return hashlib.sha256(b"\x01" + left + right).digest()


ROOTS = [by_definition(LEAVES[:n]) for n in range(41)]


def test_every_root_is_the_one_defined() -> None:
    assert [merkle.root(LEAVES[:n]) for n in range(41)] == ROOTS


@pytest.mark.parametrize("size", SIZES)
def test_every_leaf_is_shown_to_be_in(size: int) -> None:
    for index in range(size):
        path = merkle.inclusion(LEAVES[:size], index)
        assert merkle.included(LEAVES[index], index, size, path, ROOTS[size])
        assert len(path) <= (size - 1).bit_length()


@pytest.mark.parametrize("size", SIZES)
def test_every_older_tree_is_shown_to_be_kept(size: int) -> None:
    for old in range(size + 1):
        path = merkle.consistency(LEAVES[:size], old)
        assert merkle.consistent(old, size, ROOTS[old], ROOTS[size], path)


@pytest.mark.parametrize("size", SIZES)
def test_a_path_shows_no_other_leaf_or_place(size: int) -> None:
    for index in range(size):
        path = merkle.inclusion(LEAVES[:size], index)
        assert not merkle.included(b"another", index, size, path, ROOTS[size])
        for other in range(size + 1):
            if other != index:
                assert not merkle.included(LEAVES[index], other, size, path, ROOTS[size])


@pytest.mark.parametrize("size", range(2, 41))
def test_a_changed_history_is_not_shown_to_be_kept(size: int) -> None:
    for old in range(1, size):
        path = merkle.consistency(LEAVES[:size], old)
        changed = by_definition([b"another", *LEAVES[1:old]])
        removed = by_definition(LEAVES[1:old])
        assert not merkle.consistent(old, size, changed, ROOTS[size], path)
        assert not merkle.consistent(old, size, removed, ROOTS[size], path)


@given(st.integers(1, 40), st.data())
def test_a_path_of_another_length_shows_nothing(size: int, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, size - 1))
    path = merkle.inclusion(LEAVES[:size], index)
    assert not merkle.included(LEAVES[index], index, size, (*path, b"x" * 32), ROOTS[size])
    if path:
        assert not merkle.included(LEAVES[index], index, size, path[:-1], ROOTS[size])


@given(st.integers(2, 40), st.data())
def test_a_doctored_growth_path_shows_nothing(size: int, data: st.DataObject) -> None:
    old = data.draw(st.integers(1, size - 1))
    path = list(merkle.consistency(LEAVES[:size], old))
    at = data.draw(st.integers(0, len(path) - 1))
    assert not merkle.consistent(old, size, ROOTS[old], ROOTS[size], path[:at] + path[at + 1 :])
    assert not merkle.consistent(old, size, ROOTS[old], ROOTS[size], [*path, path[at]])
    path[at] = bytes([path[at][0] ^ 1]) + path[at][1:]
    assert not merkle.consistent(old, size, ROOTS[old], ROOTS[size], path)


@given(st.lists(st.binary(max_size=3), max_size=40), st.data())
def test_proofs_hold_for_any_leaves(leaves: list[bytes], data: st.DataObject) -> None:
    old = data.draw(st.integers(0, len(leaves)))
    tree = merkle.root(leaves)
    path = merkle.consistency(leaves, old)
    assert merkle.consistent(old, len(leaves), merkle.root(leaves[:old]), tree, path)
    if old < len(leaves):
        path = merkle.inclusion(leaves, old)
        assert merkle.included(leaves[old], old, len(leaves), path, tree)


@pytest.mark.parametrize(("old", "new"), [(-1, 3), (4, 3), (3, 2)])
def test_a_tree_never_shrinks(old: int, new: int) -> None:
    assert not merkle.consistent(old, new, ROOTS[1], ROOTS[2], ())


def test_a_growth_path_shows_nothing_of_deeper_trees() -> None:
    path = merkle.consistency(LEAVES[:8], 5)
    assert merkle.consistent(5, 8, ROOTS[5], ROOTS[8], path)
    assert not merkle.consistent(5, 16, ROOTS[5], ROOTS[8], path)
    # Trees of seven and eight cannot pass for trees of three and four, whose steps are the same.
    path = merkle.consistency(LEAVES[:8], 7)
    assert not merkle.consistent(3, 4, ROOTS[7], ROOTS[8], path)


def test_an_unchanged_tree_needs_no_path_and_takes_none() -> None:
    assert merkle.consistent(3, 3, ROOTS[3], ROOTS[3], ())
    assert not merkle.consistent(3, 3, ROOTS[3], ROOTS[3], (ROOTS[3],))
    assert not merkle.consistent(3, 3, ROOTS[3], ROOTS[2], ())


def test_the_empty_tree_is_in_every_tree_and_no_other_is() -> None:
    assert merkle.consistent(0, 3, ROOTS[0], ROOTS[3], ())
    assert not merkle.consistent(0, 3, ROOTS[1], ROOTS[3], ())
    assert not merkle.consistent(0, 0, ROOTS[0], ROOTS[3], ())


@pytest.mark.parametrize("index", [-1, 3])
def test_there_is_no_path_for_a_leaf_not_there(index: int) -> None:
    with pytest.raises(IndexError):
        merkle.inclusion(LEAVES[:3], index)
    with pytest.raises(IndexError):
        merkle.consistency(LEAVES[:3], 4 if index == 3 else -1)

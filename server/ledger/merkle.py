"""The Merkle tree over a shop's logs (RFC 6962 §2.1): root, proofs, and their checking.

The data of leaf n - 1 is the 32 bytes of log n's digest, so that a proof can be held against the
digest on paper. All functions here take any leaf data and know nothing of logs.
"""

from collections.abc import Sequence
from hashlib import sha256

EMPTY = sha256(b"").digest()


def leaf(data: bytes) -> bytes:
    """The hash of one leaf."""
    # The prefixes keep a leaf from being passed off as a node (RFC 6962 §2.1).
    return sha256(b"\x00" + data).digest()


def node(left: bytes, right: bytes) -> bytes:
    """The hash over two subtrees."""
    return sha256(b"\x01" + left + right).digest()


def root(leaves: Sequence[bytes]) -> bytes:
    """The tree hash over the data of all leaves; of none it is the hash of nothing."""
    if not leaves:
        return EMPTY
    if len(leaves) == 1:
        return leaf(leaves[0])
    split = _split(len(leaves))
    return node(root(leaves[:split]), root(leaves[split:]))


def inclusion(leaves: Sequence[bytes], index: int) -> tuple[bytes, ...]:
    """The path that shows that leaf `index` is in the tree. Raises IndexError."""
    if not 0 <= index < len(leaves):
        raise IndexError(f"There is no leaf {index} in a tree of {len(leaves)}.")
    if len(leaves) == 1:
        return ()
    split = _split(len(leaves))
    if index < split:
        return (*inclusion(leaves[:split], index), root(leaves[split:]))
    return (*inclusion(leaves[split:], index - split), root(leaves[:split]))


def consistency(leaves: Sequence[bytes], old: int) -> tuple[bytes, ...]:
    """The proof that the tree's first `old` leaves are still its first ones. Raises IndexError."""
    if not 0 <= old <= len(leaves):
        raise IndexError(f"A tree of {len(leaves)} never had {old} leaves.")
    # RFC 6962 leaves these two out: nothing is in every tree, and a tree is itself.
    return () if old in (0, len(leaves)) else _subproof(leaves, old, True)


def included(data: bytes, index: int, size: int, path: Sequence[bytes], tree: bytes) -> bool:
    """Whether `path` shows `data` to be leaf `index` of the tree of `size` with root `tree`.

    The algorithm of RFC 9162 §2.1.3.2.
    """
    if not 0 <= index < size:
        return False
    here, last, found = index, size - 1, leaf(data)
    for beside in path:
        if last == 0:
            return False
        if here & 1 or here == last:
            found = node(beside, found)
            while not here & 1 and here:
                here, last = here >> 1, last >> 1
        else:
            found = node(found, beside)
        here, last = here >> 1, last >> 1
    return last == 0 and found == tree


def consistent(old: int, new: int, old_root: bytes, new_root: bytes, path: Sequence[bytes]) -> bool:
    """Whether `path` shows that the tree of `new` leaves begins with the whole tree of `old`.

    The algorithm of RFC 9162 §2.1.4.2, and the two cases that need no path.
    """
    if not 0 <= old <= new:
        return False
    if old == 0:
        return old_root == EMPTY and not path and (new > 0 or new_root == EMPTY)
    if old == new:
        return old_root == new_root and not path
    return _walk(old - 1, new - 1, old_root, new_root, path)


def _walk(here: int, last: int, old_root: bytes, new_root: bytes, path: Sequence[bytes]) -> bool:
    steps = iter(path if (here + 1) & here else (old_root, *path))
    while here & 1:
        here, last = here >> 1, last >> 1
    first = next(steps, None)
    if first is None:
        return False
    old_found = new_found = first
    for beside in steps:
        if last == 0:
            return False
        if here & 1 or here == last:
            old_found, new_found = node(beside, old_found), node(beside, new_found)
            while not here & 1 and here:
                here, last = here >> 1, last >> 1
        else:
            new_found = node(new_found, beside)
        here, last = here >> 1, last >> 1
    return last == 0 and old_found == old_root and new_found == new_root


def _subproof(leaves: Sequence[bytes], old: int, whole: bool) -> tuple[bytes, ...]:
    """SUBPROOF of RFC 6962 §2.1.2; `whole` while the old root itself is still in reach."""
    if old == len(leaves):
        return () if whole else (root(leaves),)
    split = _split(len(leaves))
    if old <= split:
        return (*_subproof(leaves[:split], old, whole), root(leaves[split:]))
    return (*_subproof(leaves[split:], old - split, False), root(leaves[:split]))


def _split(size: int) -> int:
    """The largest power of two below `size`."""
    return 1 << ((size - 1).bit_length() - 1)

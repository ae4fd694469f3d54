"""The Merkle tree against the public Certificate Transparency vectors and RFC 6962's example."""

import hashlib

import pytest

from server.ledger import merkle

# The reference data of Certificate Transparency (REF-G10): eight leaves, the root of each size.
LEAVES = [
    bytes.fromhex(text)
    for text in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
LEAF_0_OF_8 = [
    "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
    "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
]
LEAF_5_OF_8 = [
    "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
]
FROM_6_TO_8 = [
    "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
]


def raw(texts: list[str]) -> list[bytes]:
    return [bytes.fromhex(text) for text in texts]


@pytest.mark.parametrize("size", range(9))
def test_the_root_of_each_size_is_the_published_one(size: int) -> None:
    assert merkle.root(LEAVES[:size]).hex() == ROOTS[size]


@pytest.mark.parametrize(("index", "path"), [(0, LEAF_0_OF_8), (5, LEAF_5_OF_8)])
def test_the_published_inclusion_paths_come_out_and_hold(index: int, path: list[str]) -> None:
    assert [step.hex() for step in merkle.inclusion(LEAVES, index)] == path
    tree = bytes.fromhex(ROOTS[8])
    assert merkle.included(LEAVES[index], index, 8, raw(path), tree)


def test_the_published_consistency_path_comes_out_and_holds() -> None:
    assert [step.hex() for step in merkle.consistency(LEAVES, 6)] == FROM_6_TO_8
    old, new = raw([ROOTS[6], ROOTS[8]])
    assert merkle.consistent(6, 8, old, new, raw(FROM_6_TO_8))


# RFC 6962 §2.1.3, the tree of seven leaves d0 to d6, its nodes named as in the figure there.
SEVEN = [bytes([n]) for n in range(7)]


def _leaf(data: bytes) -> bytes:
    return hashlib.sha256(b"\x00" + data).digest()


def _node(left: bytes, right: bytes) -> bytes:
    return hashlib.sha256(b"\x01" + left + right).digest()


a, b, c, d, e, f, j = map(_leaf, SEVEN)
g, h, i = _node(a, b), _node(c, d), _node(e, f)
k, l = _node(g, h), _node(i, j)  # noqa: E741 - the figure's own name


@pytest.mark.parametrize(
    ("index", "path"), [(0, (b, h, l)), (3, (c, g, l)), (4, (f, j, k)), (6, (i, k))]
)
def test_the_standards_own_inclusion_paths(index: int, path: tuple[bytes, ...]) -> None:
    assert merkle.inclusion(SEVEN, index) == path
    assert merkle.included(SEVEN[index], index, 7, path, _node(k, l))


@pytest.mark.parametrize(
    ("old", "old_root", "path"),
    [(3, _node(g, c), (c, d, g, l)), (4, k, (l,)), (6, _node(k, i), (i, j, k))],
)
def test_the_standards_own_consistency_paths(
    old: int, old_root: bytes, path: tuple[bytes, ...]
) -> None:
    assert merkle.consistency(SEVEN, old) == path
    assert merkle.consistent(old, 7, old_root, _node(k, l), path)

"""What a file of ours is, told from its name and, where that says nothing, from its members."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import PurePath

from server.ledger import headfile, keylist, proofs, signing
from server.ledger.canonical import NotCanonical
from server.ledger.reading import read_json


@dataclass(frozen=True, slots=True)
class Brought:
    """A file by the name it came under."""

    name: str
    data: bytes


class Kind(StrEnum):
    """What a file is taken for."""

    KEYS = "key list"
    HEAD = "head"
    LOG = "log"
    PROOF = "proof"


SUFFIXES = {
    keylist.SUFFIX: Kind.KEYS,
    headfile.SUFFIX: Kind.HEAD,
    signing.SUFFIX: Kind.LOG,
    proofs.SUFFIX: Kind.PROOF,
}
_MEMBERS = {"keys": Kind.KEYS, "head": Kind.HEAD, "log": Kind.LOG, "kind": Kind.PROOF}


def ours(name: str) -> bool:
    """Whether a file of a folder is looked at, by its name alone."""
    path = PurePath(name)
    return path.suffix.lower() in SUFFIXES and not path.name.startswith(".")


def kind_of(name: str, data: bytes) -> Kind:
    """What it is taken for. What cannot be told is a log, and is then said to be none."""
    known = SUFFIXES.get(PurePath(name).suffix.lower())
    if known is not None:
        return known
    return by_members(data) or Kind.LOG


def by_members(data: bytes) -> Kind | None:
    """What it is by what it holds, whatever its name; None where that cannot be told."""
    try:
        document = read_json(data)
    except NotCanonical:
        return None
    members = document.keys() if isinstance(document, dict) else ()
    return next((kind for member, kind in _MEMBERS.items() if member in members), None)

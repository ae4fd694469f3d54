"""A head as a file, signed by a supervisor: the shop cannot later deny having given it out."""

from pydantic import ValidationError

from server.ledger.canonical import canonical
from server.ledger.envelope import pack, unpack
from server.ledger.head import Head
from server.ledger.keylist import KeyList
from server.ledger.keys import SigningKey
from server.ledger.parts import plain

NAME = "head"
SUFFIX = ".qwhead"


class BadHead(ValueError):
    """A head's file that shows nothing; `at` is the place of the first thing wrong."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}")


def sign_head(head: Head, key: SigningKey) -> bytes:
    """The head's file."""
    return pack(NAME, plain(head), key)


def read_head(data: bytes, keys: KeyList | None) -> Head:
    """The head of a file that a supervisor on `keys` signed. Raises BadHead when anything is wrong.

    Without a list whose signature it is stays open; that it fits the key in the file is seen.
    """
    opened = unpack(NAME, data)
    for problem in opened.problems:
        raise BadHead(problem.at, problem.says)
    try:
        head = Head.model_validate_json(canonical(opened.document))
    except ValidationError:
        raise BadHead(NAME, "It is signed, but it is no head of a chain.") from None
    if keys is None:
        return head
    listed = keys.find(opened.key.kid) if opened.key else None
    if listed is None or not listed.lead or not listed.open_at(head.at):
        raise BadHead("key", "It is no supervisor's key that was open at the head's time.")
    return head

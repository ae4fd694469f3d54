"""The shop's list of public keys, signed by a supervisor: whose each key is, from when to when.

A key is never taken off the list. A leaver's is closed with its date, so that old logs still
verify; a lost phrase closes one key and opens another under the same name.
"""

from collections import Counter
from collections.abc import Iterator
from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field, ValidationError

from server.ledger.canonical import canonical
from server.ledger.envelope import Problem, pack, unpack
from server.ledger.keys import SigningKey
from server.ledger.parts import Jwk, Kid, LogPart, Moment, Word, first_fault, plain

KIND = "quadwright key list"
NAME = "keys"
SUFFIX = ".qwkeys"


class BadKeyList(ValueError):
    """A key list that shows nothing; `at` is the place of the first thing wrong."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}")


class ListedKey(LogPart):
    """One key with its owner; `until` is null while it may sign."""

    owner: Word
    """The owner's name as the logs signed with this key give it."""
    initials: Word
    lead: bool
    key: Jwk
    since: Moment
    until: Moment | None

    @cached_property
    def kid(self) -> str:
        """The key's thumbprint."""
        return self.key.public().kid

    def open_at(self, at: str) -> bool:
        """Whether the key might sign at that moment, both ends included."""
        return self.since <= at and (self.until is None or at <= self.until)


class KeyList(LogPart):
    """All keys that a shop's logs were ever signed with."""

    kind: Literal["quadwright key list"]
    version: Literal[1]
    shop: Word
    made_at: Moment
    signed_by: Kid
    """Thumbprint of the supervisor's key that signs this list; it is on the list itself."""
    keys: Annotated[tuple[ListedKey, ...], Field(min_length=1)]

    def find(self, kid: str) -> ListedKey | None:
        """The key with this thumbprint."""
        return next((listed for listed in self.keys if listed.kid == kid), None)


def sign_keys(keys: KeyList, key: SigningKey) -> bytes:
    """The list's file, signed by a supervisor. Raises BadKeyList where `read_keys` refuses it."""
    data = pack(NAME, plain(keys), key)
    read_keys(data)
    return data


def read_keys(data: bytes, *, lead: str | None = None) -> KeyList:
    """The list of a file. Raises BadKeyList when anything about it is wrong.

    A list speaks for itself only: whoever wrote it can have put any name beside any key. `lead` is
    the thumbprint of the supervisor's key, known from elsewhere (paper); another signer is then
    refused.
    """
    opened = unpack(NAME, data)
    for problem in opened.problems:
        raise BadKeyList(problem.at, problem.says)
    try:
        keys = KeyList.model_validate_json(canonical(opened.document))
    except ValidationError as error:
        at, says = first_fault(error)
        raise BadKeyList(at or NAME, says) from None
    for fault in _faults(keys):
        raise BadKeyList(fault.at, fault.says)
    if opened.key is None or opened.key.kid != keys.signed_by:
        raise BadKeyList("signed_by", "It is not the key that signed the list.")
    if lead is not None and lead != keys.signed_by:
        raise BadKeyList("signed_by", "The list is signed by another key than the one expected.")
    return keys


def _faults(keys: KeyList) -> Iterator[Problem]:
    signer = keys.find(keys.signed_by)
    if signer is None or not signer.lead or not signer.open_at(keys.made_at):
        yield Problem("signed_by", "It is no supervisor's key that is open when the list is made.")
    times = Counter(listed.kid for listed in keys.keys)
    for index, listed in enumerate(keys.keys):
        at = f"keys[{index}]"
        if times[listed.kid] > 1:
            yield Problem(f"{at}.key", "The key is on the list twice.")
        if listed.key.public().published:
            yield Problem(f"{at}.key", "Its private half is printed in RFC 8032.")
        if listed.until is not None and listed.until < listed.since:
            yield Problem(f"{at}.until", "The key is closed before it is opened.")

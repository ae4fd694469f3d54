"""Putting a technician's signature under a test log."""

from dataclasses import dataclass
from typing import Any

from server.ledger.canonical import canonical, digest
from server.ledger.document import BadDocument, read_document
from server.ledger.envelope import pack
from server.ledger.keys import SigningKey
from server.ledger.reading import LIMIT
from server.ledger.soundness import faults

NAME = "log"
SUFFIX = ".qwlog"


@dataclass(frozen=True, slots=True)
class SignedLog:
    """A log's file (`data`) and what is kept beside it."""

    data: bytes
    digest: str
    number: int
    kid: str


def sign(document: dict[str, Any], key: SigningKey) -> SignedLog:
    """Sign `document` (plain JSON values, the shape of TestLog) exactly as it is.

    Raises BadDocument when it is no log, contradicts itself, names another key as its signer's or
    has anything open; NotCanonical when it holds what JSON cannot.
    """
    log = read_document(document)
    for fault in faults(log):
        raise BadDocument(fault.at, fault.says)
    if log.signed_by.key != key.kid:
        raise BadDocument("signed_by.key", "It is not the key that signs.")
    data = pack(NAME, document, key)
    if len(data) > LIMIT:
        raise BadDocument(
            "log", f"Its file would have {len(data)} bytes; at most {LIMIT} are read."
        )
    return SignedLog(data, digest(canonical(document)), log.number, key.kid)

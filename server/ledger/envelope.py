"""A signed document as one file that stands alone.

    {"jws": <compact JWS>, "key": <public JWK>, <name>: <the document, to be read>}

The file is canonical JSON and a line feed, to the byte, so that every changed byte shows. The
document stands in it twice, once to be read and once inside the JWS; the two must be the same, and
where they are not the first path that differs is named.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from server.ledger import jws
from server.ledger.canonical import NotCanonical, canonical
from server.ledger.difference import first_difference, value_at
from server.ledger.keys import SigningKey
from server.ledger.public import BadKey, PublicKey, from_jwk
from server.ledger.reading import read_json


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong: the path or byte, and what is wrong there."""

    at: str
    says: str


@dataclass(frozen=True, slots=True)
class Opened:
    """What a file gave up. Without problems `key` signed `payload`, and `document` is its values.

    With problems they are what the JWS holds, as far as it could be read, and worth nothing yet.
    """

    problems: tuple[Problem, ...]
    key: PublicKey | None = None
    payload: bytes | None = None
    document: Any = None


def pack(name: str, document: dict[str, Any], key: SigningKey) -> bytes:
    """The file of `document` signed by `key`. Raises NotCanonical."""
    text = jws.seal(canonical(document), key, typ_of(name))
    return canonical({"jws": text, "key": key.public.jwk, name: document}) + b"\n"


def unpack(name: str, data: bytes) -> Opened:
    """Everything that can be said of a file from the file alone; no bytes make it raise."""
    try:
        file = read_json(data)
    except NotCanonical as error:
        return Opened((Problem(error.at or "file", f"{error.says}."),))
    if not isinstance(file, dict) or file.keys() != {"jws", "key", name}:
        return Opened((Problem("file", f"It must hold jws, key and {name}, and nothing else."),))
    spelling = tuple(_spelling(file, data))
    try:
        key = from_jwk(file["key"])
        payload = jws.payload_of(_text(file["jws"]))
    except BadKey as error:
        return Opened((*spelling, Problem("key", str(error))))
    except jws.BadSignature as error:
        return Opened((*spelling, Problem("jws", str(error))), key=key)
    return _compare(file, name, Opened((*spelling, *_signature(file, key, name)), key, payload))


def typ_of(name: str) -> str:
    """The `typ` in the protected header of a document of this name."""
    return f"quadwright-{name}"


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise jws.BadSignature("The JWS is not text.")
    return value


def _spelling(file: Any, data: bytes) -> Iterator[Problem]:
    written = canonical(file) + b"\n"
    if data != written:
        pairs = enumerate(zip(data, written, strict=False))
        at = next((i for i, (a, b) in pairs if a != b), min(len(data), len(written)))
        yield Problem(f"byte {at}", "The file is not in its canonical form from here on.")


def _signature(file: Any, key: PublicKey, name: str) -> Iterator[Problem]:
    try:
        jws.check(file["jws"], key, typ_of(name))
    except jws.BadSignature as error:
        yield Problem("jws", str(error))


def _compare(file: Any, name: str, opened: Opened) -> Opened:
    """`opened` with the document of its payload, and with where the readable one differs."""
    payload = opened.payload or b""
    try:
        signed = read_json(payload)
    except NotCanonical:
        problem = Problem("jws", "The signed payload is not JSON.")
        return replace(opened, problems=(*opened.problems, problem))
    problems = (*opened.problems, *_same(file[name], signed, payload, name))
    return replace(opened, problems=problems, document=signed)


def _same(readable: Any, signed: Any, payload: bytes, name: str) -> Iterator[Problem]:
    if canonical(readable) == payload:
        return
    path = first_difference(readable, signed)
    if path is None:
        yield Problem("jws", "The signed payload is not in its canonical form.")
        return
    here, there = value_at(readable, path), value_at(signed, path)
    yield Problem(path or name, f"It differs: to be read is {here}, in the JWS is {there}.")

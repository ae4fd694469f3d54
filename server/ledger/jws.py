"""Compact JWS (RFC 7515 §7.1) with EdDSA over Ed25519 (RFC 8037 §3.1), and nothing else.

One algorithm, one header shape: `alg`, `kid` (the key's thumbprint) and `typ` (what is signed, so
that a signature under one kind of document can never be held out as one under another).
"""

from typing import Any

from joserfc import jws
from joserfc.errors import JoseError, UnsupportedAlgorithmError

from server.ledger import base64url
from server.ledger.canonical import NotCanonical, canonical
from server.ledger.keys import PublicKey, SigningKey
from server.ledger.reading import LIMIT, read_json

ALG = "EdDSA"


class BadSignature(ValueError):
    """The JWS is malformed, or its signature does not fit; the text says which."""


class _OnlyEdDSA(jws.JWSRegistry):
    """Knows one algorithm, and payloads as large as our files.

    The library warns of the name EdDSA because it leaves the curve open (RFC 9864). Here the key
    settles the curve: no key but Ed25519 gets this far. The name is kept because every reader of
    RFC 8037 knows it.
    """

    max_payload_length = LIMIT

    def get_alg(self, name: str) -> Any:
        if name != ALG:
            raise UnsupportedAlgorithmError(f"Algorithm of '{name}' is not allowed")
        return self.algorithms[ALG]


_registry = _OnlyEdDSA()


def seal(payload: bytes, key: SigningKey, typ: str) -> str:
    """The compact JWS of `payload`."""
    header = _header(key.public, typ)
    return jws.serialize_compact(header, payload, key.as_jose(), registry=_registry)


def payload_of(text: str) -> bytes:
    """The payload, whatever the signature is worth. Raises BadSignature when it has no such."""
    return _segments(text)[1]


def check(text: str, key: PublicKey, typ: str) -> None:
    """Raise BadSignature unless `key` signed this JWS under exactly our header."""
    header, _, _ = _segments(text)
    _check_header(header, key, typ)
    try:
        jws.deserialize_compact(text, key.as_jose(), registry=_registry)
    except JoseError:
        raise BadSignature("The signature does not fit what is signed.") from None


def _header(key: PublicKey, typ: str) -> dict[str, str]:
    return {"alg": ALG, "kid": key.kid, "typ": typ}


def _segments(text: str) -> tuple[bytes, bytes, bytes]:
    parts = text.split(".")
    if len(parts) != 3:
        raise BadSignature("A compact JWS has three parts; this one is cut or joined otherwise.")
    try:
        header, payload, signature = (base64url.decode(part) for part in parts)
    except ValueError:
        raise BadSignature("A part of the JWS is not base64url.") from None
    return header, payload, signature


def _check_header(header: bytes, key: PublicKey, typ: str) -> None:
    wanted = _header(key, typ)
    if header == canonical(wanted):
        return
    try:
        found = read_json(header)
    except NotCanonical:
        raise BadSignature("The protected header is not JSON.") from None
    if not isinstance(found, dict) or found.keys() != wanted.keys():
        raise BadSignature("The protected header must hold alg, kid and typ, and no others.")
    for name, value in wanted.items():
        if found[name] != value:
            raise BadSignature(f"The protected header's {name} is not {value}.")
    raise BadSignature("The protected header is not in its canonical form.")

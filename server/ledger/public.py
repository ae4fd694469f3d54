"""Public keys: Ed25519 as a JWK (RFC 8037 §2), its thumbprint (RFC 7638) and its short name."""

import re
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from joserfc.jwk import OKPKey

from server.ledger import base64url
from server.ledger.canonical import canonical

# Crockford's base32: no I, L, O or U, so that it can be read out and typed back.
_CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

# The public keys of RFC 8032 §7.1 (tests 1 to 3, 1024, SHA(abc)); the first is RFC 8037's too.
# Their private halves are printed beside them, so a signature by one shows nothing.
PUBLISHED = frozenset(
    {
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "278117fc144c72340f67d0f2316e8386ceffbf2b2428c9c51fef7c597f1d426e",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
    }
)


class BadKey(ValueError):
    """No Ed25519 public key, or no sealed key of ours; the text says what is wrong with it."""


@dataclass(frozen=True, slots=True)
class PublicKey:
    """An Ed25519 public key; `x` is its 32 bytes in base64url."""

    x: str

    def __post_init__(self) -> None:
        try:
            length = len(base64url.decode(self.x))
        except ValueError:
            raise BadKey("The public key is not in base64url.") from None
        if length != 32:
            raise BadKey(f"A public key has 32 bytes; this one has {length}.")

    @property
    def jwk(self) -> dict[str, str]:
        """The key as a JWK, with the members that the thumbprint is taken over and no more."""
        return {"crv": "Ed25519", "kty": "OKP", "x": self.x}

    @property
    def kid(self) -> str:
        """The JWK thumbprint (RFC 7638, SHA-256), 43 characters: the key's full name."""
        return base64url.encode(self._thumbprint())

    @property
    def fingerprint(self) -> str:
        """Eight characters such as '7QF2 9KXM', to tell a shop's keys apart by eye.

        They are the first 40 bits of the thumbprint. Somebody set on it can make another key with
        the same eight, so whether a key is the shop's is decided by the kid, never by these.
        """
        return fingerprint(self.kid)

    @property
    def published(self) -> bool:
        """Whether the private half of this key is printed in a standard."""
        return base64url.decode(self.x).hex() in PUBLISHED

    def as_jose(self) -> OKPKey:
        """The key for the JOSE library."""
        return OKPKey.import_key({**self.jwk})

    def _thumbprint(self) -> bytes:
        return sha256(canonical(self.jwk)).digest()


def from_jwk(jwk: Any) -> PublicKey:
    """The key of a JWK that has `kty`, `crv` and `x` and nothing else. Raises BadKey."""
    if not isinstance(jwk, dict) or jwk.keys() != {"crv", "kty", "x"}:
        raise BadKey("A public key has the members crv, kty and x, and no others.")
    if jwk["kty"] != "OKP" or jwk["crv"] != "Ed25519" or not isinstance(jwk["x"], str):
        raise BadKey("Only Ed25519 keys (kty OKP, crv Ed25519) are read.")
    return PublicKey(jwk["x"])


def fingerprint(kid: str) -> str:
    """The short name of the key with this thumbprint. Raises ValueError when it is none."""
    thumbprint = base64url.decode(kid)
    if len(thumbprint) != 32:
        raise ValueError("A thumbprint has 32 bytes.")
    bits = int.from_bytes(thumbprint[:5], "big")
    letters = "".join(_CROCKFORD[bits >> shift & 31] for shift in range(35, -1, -5))
    return f"{letters[:4]} {letters[4:]}"


def thumbprint(typed: str) -> str:
    """A whole thumbprint as somebody typed it, without the spaces. Raises BadKey for anything less.

    The short name is refused: whoever is set on it can make another key with the same one.
    """
    plain = re.sub(r"\s", "", typed)
    if re.fullmatch(f"[{_CROCKFORD}]{{8}}", plain.replace("-", "").upper()):
        raise BadKey(
            "That is the short form, and another key can be made to have the same eight "
            "characters. Give the whole thumbprint, 43 characters."
        )
    if not re.fullmatch(r"[A-Za-z0-9_-]{43}", plain):
        raise BadKey(
            "A thumbprint has 43 characters: letters, digits, - and _. "
            f"This one has {len(plain)}{' with others among them' if len(plain) == 43 else ''}."
        )
    return plain

"""A technician's signing key: made, sealed under a phrase, opened for one signature.

The private half is never kept open: Argon2id (RFC 9106) turns the phrase into a key, and
ChaCha20-Poly1305 (RFC 8439) seals the 32 bytes with everything else in the document as associated
data, so that neither the public half nor the cost can be exchanged unseen.
"""

import os
import unicodedata
from dataclasses import dataclass, replace

from argon2.low_level import ARGON2_VERSION, Type, hash_secret_raw
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from joserfc.jwk import OKPKey

from server.ledger import base64url
from server.ledger.public import BadKey, PublicKey, fingerprint, from_jwk
from server.ledger.sealed import STRONG, SealCost, SealedKey

__all__ = [
    "PHRASE_MIN",
    "STRONG",
    "BadKey",
    "PublicKey",
    "SealCost",
    "SealedKey",
    "ShortPhrase",
    "SigningKey",
    "WrongPhrase",
    "fingerprint",
    "from_jwk",
    "new_key",
    "open_key",
    "reseal",
]

PHRASE_MIN = 12


class WrongPhrase(ValueError):
    """The phrase does not open this key, or the sealed key was changed: the two look alike."""

    def __init__(self) -> None:
        super().__init__("The signing passphrase does not open this key.")


class ShortPhrase(ValueError):
    """A phrase that whoever holds the sealed key could find by trying."""

    def __init__(self) -> None:
        super().__init__(
            f"A signing passphrase has {PHRASE_MIN} characters or more; four words do."
        )


@dataclass(frozen=True, slots=True)
class SigningKey:
    """An opened key. Keep it for one signature, and never in a session or a file."""

    _private: Ed25519PrivateKey

    def __repr__(self) -> str:
        return f"SigningKey({self.public.fingerprint})"

    @property
    def public(self) -> PublicKey:
        """The half that others check with."""
        return PublicKey(base64url.encode(self._private.public_key().public_bytes_raw()))

    @property
    def kid(self) -> str:
        """The public half's thumbprint."""
        return self.public.kid

    def as_jose(self) -> OKPKey:
        """The key for the JOSE library, private half included."""
        private = base64url.encode(self._private.private_bytes_raw())
        return OKPKey.import_key({**self.public.jwk, "d": private})


def new_key(phrase: str, cost: SealCost = STRONG) -> SealedKey:
    """A fresh key sealed under `phrase`. Raises ShortPhrase."""
    return _seal(SigningKey(Ed25519PrivateKey.generate()), phrase, cost)


def open_key(sealed: SealedKey, phrase: str) -> SigningKey:
    """The key itself. Raises WrongPhrase, also when any part of the sealed key was changed."""
    cipher = ChaCha20Poly1305(_stretch(phrase, sealed.salt, sealed.cost))
    try:
        private = cipher.decrypt(sealed.nonce, sealed.box, sealed.bound())
    except InvalidTag:
        raise WrongPhrase from None
    return SigningKey(Ed25519PrivateKey.from_private_bytes(private))


def reseal(sealed: SealedKey, phrase: str, new_phrase: str, cost: SealCost = STRONG) -> SealedKey:
    """The same key under another phrase. Raises WrongPhrase, ShortPhrase."""
    return _seal(open_key(sealed, phrase), new_phrase, cost)


def _seal(key: SigningKey, phrase: str, cost: SealCost) -> SealedKey:
    if len(_normal(phrase)) < PHRASE_MIN:
        raise ShortPhrase
    unboxed = SealedKey(key.public, cost, salt=os.urandom(16), nonce=os.urandom(12), box=b"")
    cipher = ChaCha20Poly1305(_stretch(phrase, unboxed.salt, cost))
    box = cipher.encrypt(unboxed.nonce, key._private.private_bytes_raw(), unboxed.bound())
    return replace(unboxed, box=box)


def _stretch(phrase: str, salt: bytes, cost: SealCost) -> bytes:
    return hash_secret_raw(
        _normal(phrase).encode("utf-8", "surrogatepass"),
        salt,
        time_cost=cost.passes,
        memory_cost=cost.memory_kib,
        parallelism=cost.lanes,
        hash_len=32,
        type=Type.ID,
        version=ARGON2_VERSION,
    )


def _normal(phrase: str) -> str:
    # One phrase typed on two keyboards can come as different code points (RFC 8265 §4.2.2 uses
    # NFC too). Space around it is what a tablet's keyboard adds by itself.
    return unicodedata.normalize("NFC", phrase).strip()

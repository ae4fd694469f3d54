"""A sealed key as it is kept: public half, cost of opening, and the box."""

from dataclasses import dataclass
from typing import Any

from server.ledger import base64url
from server.ledger.canonical import NotCanonical, canonical
from server.ledger.public import BadKey, PublicKey, from_jwk
from server.ledger.reading import read_json

KIND = "quadwright sealed key"
_BOX = 32 + 16  # the private half and Poly1305's tag


@dataclass(frozen=True, slots=True)
class SealCost:
    """What one try of a phrase costs: memory in KiB, passes over it, lanes side by side."""

    memory_kib: int
    passes: int
    lanes: int

    def __post_init__(self) -> None:
        whole = all(type(n) is int for n in (self.memory_kib, self.passes, self.lanes))
        # The upper ends keep a doctored key from tying up the server.
        within = whole and 1 <= self.passes <= 16 and 1 <= self.lanes <= 16
        if not (within and 8 * self.lanes <= self.memory_kib <= 1024 * 1024):
            raise BadKey("The cost of opening is out of range.")


# RFC 9106 §4, the second recommended choice, for machines with little memory to spare.
STRONG = SealCost(memory_kib=64 * 1024, passes=3, lanes=4)


@dataclass(frozen=True, slots=True)
class SealedKey:
    """A key whose private half only its phrase opens."""

    public: PublicKey
    cost: SealCost
    salt: bytes
    nonce: bytes
    box: bytes

    @property
    def kid(self) -> str:
        """The public half's thumbprint."""
        return self.public.kid

    @property
    def fingerprint(self) -> str:
        """The public half's short name."""
        return self.public.fingerprint

    def bound(self) -> bytes:
        """All but the box, as the associated data under its seal."""
        return canonical(self._head())

    def to_json(self) -> str:
        """The sealed key as one JSON text."""
        return canonical({**self._head(), "box": base64url.encode(self.box)}).decode()

    @staticmethod
    def from_json(text: str) -> "SealedKey":
        """The sealed key of `to_json`'s text. Raises BadKey."""
        try:
            return _from_document(read_json(text.encode("utf-8", "surrogatepass")))
        except BadKey:
            raise
        except (NotCanonical, KeyError, TypeError, ValueError) as error:
            raise BadKey("Not a sealed key.") from error

    def _head(self) -> dict[str, Any]:
        return {
            "kind": KIND,
            "version": 1,
            "public": self.public.jwk,
            "argon2id": {
                "memory_kib": self.cost.memory_kib,
                "passes": self.cost.passes,
                "lanes": self.cost.lanes,
            },
            "salt": base64url.encode(self.salt),
            "nonce": base64url.encode(self.nonce),
        }


def _from_document(document: Any) -> SealedKey:
    sealed = SealedKey(
        public=from_jwk(document["public"]),
        cost=SealCost(**document["argon2id"]),
        salt=base64url.decode(document["salt"]),
        nonce=base64url.decode(document["nonce"]),
        box=base64url.decode(document["box"]),
    )
    sizes = len(sealed.salt), len(sealed.nonce), len(sealed.box)
    if sizes != (16, 12, _BOX) or document != {**sealed._head(), "box": document["box"]}:
        raise BadKey("Not a sealed key.")
    return sealed

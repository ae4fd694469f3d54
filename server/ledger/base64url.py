"""Base64 for addresses without padding (RFC 4648 §5, RFC 7515 §2), in its one spelling."""

import base64
import re

_ALPHABET = re.compile(r"[A-Za-z0-9_-]*\Z")


def encode(data: bytes) -> str:
    """The text of `data`, without padding."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode("ascii")


def decode(text: str) -> bytes:
    """The bytes of `text`. Raises ValueError for every text that `encode` would not give.

    Decoders commonly pass over the unused low bits of the last character; four texts would then
    stand for one signature, and a changed character would go unseen.
    """
    if not _ALPHABET.match(text) or len(text) % 4 == 1:
        raise ValueError("not base64url")
    data = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    if encode(data) != text:
        raise ValueError("not base64url as it is written")
    return data

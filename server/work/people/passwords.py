"""Passwords to sign in with, and the one-time codes that a first one is set by.

Length and the list of common ones are what keeps a guesser out (NIST SP 800-63B, 3.1.1); rules
about capitals and digits are not asked for. Argon2id (RFC 9106) with the library's own parameters.
"""

import base64
import hashlib
import re
import secrets
import unicodedata
from collections.abc import Iterable
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from argon2.low_level import ARGON2_VERSION
from zxcvbn.frequency_lists import FREQUENCY_LISTS

from server.work.errors import Unfit
from server.work.people.hashing import DOOR, STAFF, Room, apart
from server.work.shop import Shop

LEAST, MOST = 10, 256  # characters; the upper end only keeps a book from being hashed
CODE_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # none that is read as another
CODE_LENGTH = 12  # 60 bits
ADVICE = "Choose another; three or four words that have nothing to do with each other are easy."
_AROUND = re.compile(r"^[\W\d_]+|[\W\d_]+$")
_ROWS = ("01234567890123456789", "abcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnm")


def normal(password: str) -> str:
    """One password typed on two keyboards can come as different code points, or with a space."""
    return unicodedata.normalize("NFKC", password).strip()


def hashed(
    shop: Shop,
    password: str,
    *,
    own: Iterable[str] = (),
    field: str = "password",
    room: Room = STAFF,
) -> str:
    """The text that is kept of a new password. `own` are names that it may not be made of.

    Raises Unfit for one that is short, long or easily guessed, naming `field`.
    """
    plain = normal(password)
    if len(plain) < LEAST:
        raise Unfit(field, f"The password needs {LEAST} characters or more.")
    if len(plain) > MOST:
        raise Unfit(field, f"The password has more than {MOST} characters.", "Shorten it.")
    if is_common(plain, own):
        raise Unfit(field, "That password is one of those that are guessed first.", ADVICE)
    return apart(_hasher(quick=shop.quick_phrases).hash, _bytes(plain), room=room)


def holds(shop: Shop, kept: str, password: str, *, room: Room = DOOR) -> bool:
    """Whether this is the password. It takes as long for an empty `kept` as for any other."""
    hasher = _hasher(quick=shop.quick_phrases)
    nobody = _nobodys(quick=shop.quick_phrases)
    plain = normal(password[: 4 * MOST])

    def verified() -> bool:
        try:
            return hasher.verify(kept or nobody, _bytes(plain))
        except (VerificationError, InvalidHashError):
            return False

    return apart(verified, room=room) and kept != ""


def is_common(password: str, own: Iterable[str] = ()) -> bool:
    """Whether it is a common password, or one word or name with digits and signs around it."""
    whole = password.casefold()
    core = _AROUND.sub("", whole)
    bare = _closed(core)
    names = {_closed(_AROUND.sub("", name.casefold())) for name in own} | {"quadwright"}
    in_a_row = any(whole in row * 2 or whole in row[::-1] * 2 for row in _ROWS)
    known = _common() | names if bare else _common()
    return len(set(whole)) < 5 or in_a_row or bool(known & {whole, core, bare}) or _doubled(bare)


def _closed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def _doubled(text: str) -> bool:
    """One common word twice or more."""
    lengths = (n for n in range(1, len(text) // 2 + 1) if len(text) % n == 0)
    return any(text == text[:n] * (len(text) // n) and text[:n] in _common() for n in lengths)


def new_code() -> str:
    """A one-time code as it is handed over: 'K7QM-4XPD-9RTW'."""
    letters = [secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH)]
    return "-".join("".join(letters[n : n + 4]) for n in range(0, CODE_LENGTH, 4))


def code_digest(code: str) -> str:
    """What is kept of a code, however it was typed. 60 random bits need no slow hash."""
    plain = re.sub(r"[\s-]+", "", normal(code)).upper()
    return hashlib.sha256(_bytes(plain.translate(str.maketrans("OIL", "011")))).hexdigest()


@cache
def _common() -> frozenset[str]:
    """The word lists of the zxcvbn library: passwords, English words, names."""
    return frozenset(word for words in FREQUENCY_LISTS.values() for word in words)


@cache
def _hasher(*, quick: bool) -> PasswordHasher:
    return PasswordHasher(1, 8, 1) if quick else PasswordHasher()


@cache
def _nobodys(*, quick: bool) -> str:
    """A text of Argon2's form that no password leads to: made, not hashed, and as dear to try."""
    cost = _hasher(quick=quick)
    salt, tag = (
        base64.b64encode(secrets.token_bytes(length)).decode().rstrip("=")
        for length in (cost.salt_len, cost.hash_len)
    )
    told = f"m={cost.memory_cost},t={cost.time_cost},p={cost.parallelism}"
    return f"$argon2id$v={ARGON2_VERSION}${told}${salt}${tag}"


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")

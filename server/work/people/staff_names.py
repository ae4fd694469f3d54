"""Names of people who work here: one that looks like another's is refused (Unicode TS 39)."""

import unicodedata
from collections.abc import Iterable

from confusable_homoglyphs.categories import unique_aliases
from confusable_homoglyphs.confusables import confusables_data

from server.work.errors import Unfit

# Controls, marks that show nothing, halves of characters, private and unassigned ones; separators
# of lines. A zero-width joiner is among them.
_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
_NO_LETTERS = {"COMMON", "INHERITED"}
_TOGETHER = {"LATIN", "HAN", "HIRAGANA", "KATAKANA", "BOPOMOFO", "HANGUL"}  # as TS 39, 5.2


def folded(name: str) -> str:
    """A sign-in name as it is compared: one form of each character, one case, single spaces."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def tidy(name: str) -> str:
    """A name as it is shown: single spaces."""
    return " ".join(unicodedata.normalize("NFC", name).split())


def unseen(name: str) -> bool:
    """Whether something in it does not show."""
    return any(unicodedata.category(letter) in _UNSEEN for letter in name)


def require_plain(field: str, name: str) -> None:
    """Raise Unfit for a name with something in it that does not show, or with nothing that does."""
    if unseen(name):
        raise Unfit(field, "There is a character in it that does not show.", "Type it again.")
    if not tidy(name):
        raise Unfit(field, "It is empty.", "Type a name.")


def require_one_script(field: str, name: str) -> None:
    """Raise Unfit where letters of two scripts stand in one sign-in name."""
    scripts = {str(script) for script in unique_aliases(folded(name))} - _NO_LETTERS
    if len(scripts) > 1 and not scripts <= _TOGETHER:
        raise Unfit(field, "It mixes letters of two alphabets.", "Type it again in one of them.")


def require_unlike(field: str, name: str, known: Iterable[str]) -> None:
    """Raise Unfit where one of the known names is the same, or looks the same."""
    looks = _looks(name)
    twin = next((other for other in known if _looks(other) == looks), None)
    if twin is None:
        return
    if folded(twin) == folded(name):
        raise Unfit(field, "Somebody here has that name already.", "Choose another.")
    raise Unfit(
        field, f"It looks like {twin}, who works here.", "Choose one that cannot be taken for it."
    )


def _looks(name: str) -> str:
    """What is left of a name for the eye: Cyrillic 'а' is 'a', and 1 is l."""
    return "".join(map(_seen_as, folded(name))).replace("rn", "m").replace(" ", "")


def _seen_as(letter: str) -> str:
    if letter.isascii() and letter.isalpha():
        return letter
    alike = [each["c"].casefold() for each in confusables_data.get(letter, ())]
    return next((each for each in alike if each.isascii() and each.isalpha()), letter)

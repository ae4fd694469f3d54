"""One person's name, telephone and mail taken out of free text.

A signed log is kept for ever, and a customer may ask to be erased; so nothing of theirs goes into
a log to begin with.
"""

import re
from collections.abc import Iterable
from typing import Any

LEAST_LETTERS, LEAST_DIGITS = 4, 7  # shorter is a common word, or a quantity
_MAIL = r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+"
_WORD = re.compile(r"\w+")


class Veil:
    """Hides these names (whole, and each word of four letters or more), these telephone numbers
    in whichever way they are written, and any mail address.

    `instead` is put in the place of each.
    """

    def __init__(
        self, names: Iterable[str], phones: Iterable[str] = (), instead: str = "[customer]"
    ) -> None:
        parts = [*map(_name, names), *map(_phone, phones), _MAIL]
        self._all = re.compile("|".join(filter(None, parts)), re.IGNORECASE)
        self._instead = instead

    def hide(self, text: str) -> str:
        """`text` without what is hidden; one sign for several that follow each other."""
        mark = re.escape(self._instead)
        return re.sub(rf"{mark}(?:[\s_-]+{mark})+", self._instead, self._each(text))

    def hides(self, text: str) -> bool:
        """Whether there is anything to hide."""
        return self._all.search(text) is not None

    def hide_all(self, value: Any) -> Any:
        """JSON values with every text in them hidden so; keys stay."""
        if isinstance(value, str):
            return self.hide(value)
        if isinstance(value, list):
            return [self.hide_all(one) for one in value]
        if isinstance(value, dict):
            return {key: self.hide_all(one) for key, one in value.items()}
        return value

    def _each(self, text: str) -> str:
        return self._all.sub(lambda _: self._instead, text)


def _name(name: str) -> str:
    words = _WORD.findall(name)
    whole = r"[\W_]{0,3}".join(map(re.escape, words))
    long_ = [re.escape(word) for word in words if len(word) >= LEAST_LETTERS]
    return "|".join(rf"(?<![^\W_]){part}(?![^\W_])" for part in (whole, *long_) if part)


def _phone(phone: str) -> str:
    digits = "".join(filter(str.isdigit, phone))[-9:]
    between = r"[\s()./-]*"
    spelled = between.join(digits)
    before = r"(?<!\d)[+(]{0,2}(?:\d[\s()./-]*){0,6}?"  # its country, or its trunk
    return rf"{before}{spelled}(?!\d)" if len(digits) >= LEAST_DIGITS else ""

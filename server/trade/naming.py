"""Find a thing by part of its name, and what a misspelt word may have meant."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

ALIKE = 0.6  # difflib's own cutoff; two letters exchanged in six still pass


@dataclass(frozen=True, slots=True)
class Meant:
    """The names that were found. `misspelt` are words no name holds, `words` what was looked for
    instead of all that was typed."""

    found: tuple[int, ...]
    words: str
    misspelt: tuple[str, ...] = ()


def meant(text: str, names: Mapping[int, str]) -> Meant:
    """The ids of `names` (folded) that hold every word of `text`, each word anywhere in the name.

    A word that no name holds is read as the nearest word of any name; one that is near none finds
    nothing.
    """
    words = text.casefold().split()
    strange = tuple(word for word in words if not any(word in name for name in names.values()))
    spoken = {part for name in names.values() for part in name.split()}
    read = [_nearest(word, spoken) if word in strange else word for word in words]
    return Meant(_holding(read, names), " ".join(read), strange)


def _nearest(word: str, spoken: set[str]) -> str:
    near = get_close_matches(word, sorted(spoken), n=1, cutoff=ALIKE)
    return near[0] if near else word


def _holding(words: list[str], names: Mapping[int, str]) -> tuple[int, ...]:
    return tuple(key for key, name in names.items() if all(word in name for word in words))

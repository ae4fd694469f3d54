"""Sentences that several rules share."""

from collections.abc import Iterable

MOST_NAMED = 8


def together(names: Iterable[str], last: str = "and") -> str:
    """'A, B and C', cut short where there are many."""
    words = list(dict.fromkeys(names))
    if len(words) > MOST_NAMED:
        return f"{', '.join(words[:MOST_NAMED])} {last} {len(words) - MOST_NAMED} more"
    return f" {last} ".join(filter(None, [", ".join(words[:-1]), "".join(words[-1:])]))


def sentence(text: str) -> str:
    """`text` with a capital at its start."""
    return text[:1].upper() + text[1:]

"""How wide a label is: advance widths of Fira Sans Condensed SemiBold, in 1/1000 em."""

import unicodedata

_ASCII = (
    "215 229 415 499 494 780 685 219 298 298 415 476 224 373 227 468 "  # space to /
    "539 416 459 468 507 483 516 420 522 508 227 227 466 466 466 438 "  # 0 to ?
    "924 539 557 520 592 475 441 586 604 268 286 570 460 718 602 629 "  # @ to O
    "539 629 558 513 485 588 521 767 520 532 486 293 468 293 504 471 "  # P to _
    "310 496 541 434 543 504 323 492 524 258 257 498 271 765 524 533 "  # ` to o
    "541 543 362 435 347 520 465 680 463 470 413 292 340 292 466"  # p to ~
)
ADVANCE = {chr(32 + i): int(width) for i, width in enumerate(_ASCII.split())}
ADVANCE |= {"→": 900, "←": 900, "…": 685, "–": 500, "µ": 541}
WIDE, OTHER = 1000, 700


def _advance(char: str) -> int:
    if char in ADVANCE:
        return ADVANCE[char]
    return WIDE if unicodedata.east_asian_width(char) in "WF" else OTHER


def width(text: str, size: float) -> float:
    """Units that `text` takes at `size`; characters outside the table are taken as broad."""
    return sum(map(_advance, text)) * size / 1000


def fit(text: str, room: float, size: float) -> str:
    """`text`, cut with an ellipsis where it is wider than `room`; one character at least."""
    if width(text, size) <= room:
        return text
    kept = text
    while len(kept) > 1 and width(kept.rstrip() + "…", size) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def wrap(text: str, room: float, size: float, lines: int = 2) -> tuple[str, ...]:
    """`text` over at most `lines` lines, broken at spaces, the last one cut where need be."""
    words, out = text.split(" "), [""]
    for i, word in enumerate(words):
        longer = f"{out[-1]} {word}".strip()
        if width(longer, size) <= room or not out[-1]:
            out[-1] = longer
        elif len(out) < lines:
            out.append(word)
        else:
            out[-1] = " ".join([out[-1], *words[i:]])
            break
    return tuple(fit(line, room, size) for line in out)

"""What a reading at first power means: the likely causes, likeliest first, each with a next look.

Order and causes: common practice, no source. Only the amounts are worked out, from the sheet.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Found = Literal["under", "over", "tripped", "heat"]

NOTHING = Decimal("0.02")  # A; what a limiter's meter shows where nothing is drawn
HOLDING = Decimal("0.9")  # a limiter is holding back from this share of its setting on
MOST_NAMED = 3  # parts named one by one where any of them may be it


@dataclass(frozen=True, slots=True)
class CurrentShare:
    """What one part adds to the current at rest, seen from the battery, in A.

    `rail` is where the sheet feeds it, empty for the board and its ESC.
    """

    name: str
    rail: str
    least: Decimal
    most: Decimal


@dataclass(frozen=True, slots=True)
class CurrentCause:
    """One likely cause, and what to look at for it."""

    cause: str
    look: str

    def as_json(self) -> dict[str, str]:
        """Plain values."""
        return {"cause": self.cause, "look": self.look}


def causes(
    found: Found,
    shares: Sequence[CurrentShare],
    reading: Decimal | None = None,
    limiter: Decimal | None = None,
) -> tuple[CurrentCause, ...]:
    """The causes in order. `reading` in A, for 'under' and 'over'; `limiter` is its setting."""
    match found:
        case "under":
            return tuple(_under(shares, reading or Decimal(0)))
        case "over":
            return tuple(_over(shares, reading or Decimal(0), limiter))
        case "tripped":
            return tuple(_tripped(shares))
    return tuple(_heat(shares))


def missing(shares: Sequence[CurrentShare], reading: Decimal) -> tuple[CurrentShare, ...]:
    """The parts that explain a low reading when dark, the best fit first.

    A part explains it when the reading lies within the window of all the others.
    """
    low, high = sum(s.least for s in shares), sum(s.most for s in shares)
    fitting = [s for s in shares if s.rail and low - s.least <= reading <= high - s.most]
    return tuple(sorted(fitting, key=lambda s: (_away(shares, s, reading), s.name)))


def _away(shares: Sequence[CurrentShare], dark: CurrentShare, reading: Decimal) -> Decimal:
    rest = [s for s in shares if s is not dark]
    return abs(sum((s.least + s.most for s in rest), Decimal(0)) / 2 - reading)


def _under(shares: Sequence[CurrentShare], reading: Decimal) -> Iterator[CurrentCause]:
    if reading <= NOTHING:
        yield CurrentCause(
            "The battery does not reach the board.",
            "Unplug, then measure both battery leads through, from the connector to the pads.",
        )
        yield CurrentCause(
            "The limiter is off, or its meter does not show so little.",
            "Measure the volts behind the limiter, with the craft connected.",
        )
        yield CurrentCause(
            "The board’s own supply is dead.", "Measure 5 V and 3.3 V on the board’s power pads."
        )
        return
    for part in missing(shares, reading):
        yield CurrentCause(
            f"The {part.name} has no power.",
            f"See whether its light is on, then measure the {part.rail} pad that feeds it.",
        )
    yield CurrentCause(
        "A part draws less at rest than its figure on the sheet.",
        "Compare the part’s own label with the sheet, and correct the sheet.",
    )
    yield CurrentCause(
        "The ESC has not started.", "Listen for its tones as the battery is connected again."
    )


def _over(
    shares: Sequence[CurrentShare], reading: Decimal, limiter: Decimal | None
) -> Iterator[CurrentCause]:
    if limiter is not None and reading >= limiter * HOLDING:
        yield CurrentCause(
            "The limiter is holding the current back: this may be a short.",
            "Unplug at once. Take it as a limiter that tripped.",
        )
        yield from _tripped(shares)
        return
    yield CurrentCause(
        "It was read while the ESC or a video part was still starting.",
        "Wait 10 s after connecting, then read once more.",
    )
    yield CurrentCause(
        "A part is fitted that is not on the map, or draws more than its figure there.",
        "Compare what is fitted with the map, and the labels with its figures.",
    )
    for part in _by_size(shares):
        yield CurrentCause(
            f"The {part.name} draws more than it should on its {part.rail} pad.",
            f"Unplug, lift its power lead, then read again: about {part.most:.2f} A less is right.",
        )
    yield CurrentCause(
        "A transistor of the ESC leaks.",
        "Unplug, then measure each motor pad to both battery pads: all alike.",
    )


def _tripped(shares: Sequence[CurrentShare]) -> Iterator[CurrentCause]:
    yield CurrentCause(
        "Plus and minus are exchanged, between limiter and craft or at a part.",
        "Follow red and black from the connector to the pads, then from part to part.",
    )
    yield CurrentCause(
        "A short that was not there cold: a strand, a bridge, a screw into the board.",
        "Measure the battery pads and each power pad to ground again, and look under the board.",
    )
    for part in _by_size(shares):
        yield CurrentCause(
            f"The {part.name} shorts its {part.rail} pad.",
            "Lift its power lead, then connect again through the limiter.",
        )
    yield CurrentCause(
        "A transistor of the ESC is burnt through.",
        "Measure each motor pad to both battery pads: under 10 Ω on one is the burnt one.",
    )
    yield CurrentCause(
        "The limiter is quick, and only the capacitor was being charged.",
        "When all of that is sound: connect once more, and see whether it trips at once or after.",
    )


def _heat(shares: Sequence[CurrentShare]) -> Iterator[CurrentCause]:
    yield CurrentCause(
        "A part is on a rail that is too high for it, or the wrong way round.",
        "Find the hot spot with the back of a finger, then follow its leads on the map.",
    )
    yield CurrentCause(
        "A short behind a regulator heats the regulator.",
        "Measure each power pad to ground, battery off: under 10 Ω is the shorted one.",
    )
    yield CurrentCause(
        "The battery capacitor is the wrong way round.", "Compare its stripe with the minus pad."
    )
    for part in _by_size(shares):
        yield CurrentCause(
            f"The {part.name} is damaged.", "Lift its power lead, then connect again and feel."
        )


def _by_size(shares: Sequence[CurrentShare]) -> list[CurrentShare]:
    """The parts that draw most, the largest first."""
    return sorted((s for s in shares if s.rail), key=lambda s: (-s.most, s.name))[:MOST_NAMED]

"""Simulated radios over real receiver scales: what the card says to set comes back right.

Scales from the owners' specifications: CRSF protocol specification, channel frame 0x16, with the
macros TICKS_TO_US (x - 992) * 5 / 8 + 1500 and US_TO_TICKS (x - 1500) * 8 / 5 + 992 in whole
numbers of C; DSM remote receiver interfacing Rev G (2019-01-22), §9, µs = position * 0.583 + 903.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.card import derive
from tests import example_sheet
from tests.trade.card.judging import judged

CARD = derive(example_sheet.sheet())
ENDS, ARM = CARD.step("radio/ends"), CARD.step("switches/arm")


def toward_zero(number: int, by: int) -> int:
    """Division as in C."""
    return abs(number) // by * (1 if number >= 0 else -1)


def crsf(us: float) -> int:
    """µs to ticks in the receiver and back on the board."""
    ticks = toward_zero((round(us) - 1500) * 8, 5) + 992
    return toward_zero((ticks - 992) * 5, 8) + 1500


def dsm(us: float) -> int:
    """To the nearest of 2048 positions, and back to whole µs."""
    return round(round((us - 903) / 0.583) * 0.583 + 903)


def pulses(us: float) -> int:
    """A pulse is as long as it is; the board shows whole µs."""
    return round(us)


@pytest.mark.parametrize(
    ("ticks", "us"), [(172, 988), (191, 1000), (192, 1000), (992, 1500), (1792, 2000), (1811, 2011)]
)
def test_the_simulated_board_reads_crsf_as_specified(ticks: int, us: int) -> None:
    # Whole numbers of C, computed apart from this file and kept as literals.
    assert toward_zero((ticks - 992) * 5, 8) + 1500 == us


@pytest.mark.parametrize(("position", "us"), [(0, 903), (1024, 1500), (1707, 1898), (2048, 2097)])
def test_the_simulated_board_reads_dsm_as_specified(position: int, us: int) -> None:
    assert round(position * 0.583 + 903) == us


@dataclass(frozen=True)
class Radio:
    """One channel: its middle in µs, the throw of each side in µs, and whether it is reversed."""

    centre: float
    low: float
    high: float
    reverse: bool

    def sends(self, stick: int) -> float:
        """µs with the stick low (-1), let go (0) or high (1)."""
        away = self.high if stick > 0 else -self.low if stick < 0 else 0.0
        return self.centre + (-away if self.reverse else away)

    def read(self, receiver: Callable[[float], int]) -> dict[str, str]:
        """The three readings on the board."""
        places = zip((-1, 0, 1), ("low", "centre", "high"), strict=True)
        return {place: str(receiver(self.sends(stick))) for stick, place in places}

    def set_to(self, change: dict) -> "Radio":
        """The radio after what the page says: centre, ends in whole per cent, direction."""
        turned = self.reverse != change["reverse"]
        return replace(
            self,
            centre=self.centre + change["trim_us"],
            low=self.low * round(change["low_percent"]) / 100,
            high=self.high * round(change["high_percent"]) / 100,
            reverse=turned,
        )


radios = st.builds(
    Radio, st.integers(1440, 1560), st.integers(280, 590), st.integers(280, 590), st.booleans()
)


def read_all(radio: Radio, receiver: Callable[[float], int]):
    names = ("roll", "pitch", "yaw", "throttle")
    return judged(ENDS, {"channels": [{"channel": n} | radio.read(receiver) for n in names]})


@pytest.mark.parametrize("receiver", [crsf, dsm, pulses])
@given(radio=radios)
def test_a_radio_set_once_as_the_page_says_then_passes(
    receiver: Callable[[float], int], radio: Radio
) -> None:
    found = read_all(radio, receiver)
    after = radio.set_to(found.result["channels"][0])
    assert read_all(after, receiver).passed
    # Half a per cent of 590 µs and the receiver's own step are all that is left.
    assert all(abs(after.sends(s) - 1500 - 500 * s) < 5.5 for s in (-1, 0, 1))


three = st.integers(800, 2200)


@pytest.mark.parametrize("receiver", [crsf, dsm, pulses])
@given(rest=three, armed=three, middle=st.none() | three, off=st.none() | three)
def test_no_range_on_the_card_covers_what_must_not_arm(
    receiver: Callable[[float], int], rest: int, armed: int, middle: int | None, off: int | None
) -> None:
    shown = {"rest": rest, "middle": middle, "radio_off": off}
    read = {name: receiver(us) for name, us in shown.items() if us is not None}
    on = receiver(armed)
    answer = {name: str(us) for name, us in read.items()} | {"armed": str(on)}
    found = judged(ARM, answer | ({} if off is not None else {"radio_off": "none"}))
    if found.passed:
        low, high = (int(found.result["arms"][end]) for end in ("low", "high"))
        assert low + 40 <= on <= high - 40
        assert all(us <= low - 40 or us >= high + 40 for us in read.values())
    else:
        near = any(abs(us - on) < 80 for us in read.values())
        assert near or not 840 <= on <= 2160

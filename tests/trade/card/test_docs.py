"""What the hand-written half of the card's page says agrees with the code."""

from pathlib import Path

import pytest

from server.trade.card import DEFERENCE, KINDS, derive
from server.trade.card.current import BOARD_LEAST, BOARD_MOST, EFFICIENCY
from server.trade.card.kinds.photo import Photo
from server.trade.radio.arming import MARGIN
from server.trade.radio.ends import HIGH_REACHED, LOW_REACHED, OFF_CENTRE_US
from tests.trade.card import fitted

PAGE = (Path(__file__).parents[3] / "docs" / "bench-card.md").read_text("utf-8")
CARD = derive(fitted.sheet())


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_evidence_has_its_row(kind: str) -> None:
    assert f"\n| `{kind}` | " in PAGE
    assert kind in {step.evidence.kind for step in CARD.steps()} | {Photo.kind}


def test_the_page_gives_the_limits_in_force() -> None:
    assert f"{BOARD_LEAST} A for board and ESC" in PAGE
    assert f"{BOARD_MOST} A for board and ESC" in PAGE
    assert f"{EFFICIENCY * 100:.0f} % efficient" in PAGE
    low, high = (" to ".join(map(str, limits)) for limits in (LOW_REACHED, HIGH_REACHED))
    assert f"low {low} µs, high {high} µs" in PAGE
    assert f"| {OFF_CENTRE_US} µs either side of 1500 µs;" in PAGE
    assert f"{MARGIN} µs or more from each" in PAGE


def test_the_page_ends_a_card_as_cards_end() -> None:
    assert DEFERENCE in PAGE


def test_every_step_stands_on_the_page() -> None:
    missing = [step.key for step in CARD.steps() if f"`{step.key}`" not in PAGE]
    assert missing == []

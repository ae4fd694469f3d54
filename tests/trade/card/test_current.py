"""The current at rest: sums of parts, as the battery sees them."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from server.trade.card import derive
from server.trade.card.bench import SheetView
from server.trade.card.current import draws, idle
from server.trade.card.text import tie
from server.trade.sheet import from_document
from tests import example_sheet
from tests.trade.card.judging import judged


def window(change: Callable[[dict[str, Any]], None] = lambda _: None):
    document = example_sheet.document()
    change(document)
    return idle(SheetView(from_document(document)))


def alone(document: dict[str, Any]) -> None:
    document["devices"], document["wires"] = [], []


def test_a_bare_board_draws_its_own_current() -> None:
    # 0.05 to 0.3 A for board and ESC: common practice, no source.
    found = window(alone)
    assert (found.low, found.high) == (Decimal("0.05"), Decimal("0.30"))


def test_the_example_adds_its_parts_by_hand() -> None:
    # Full 25.2 V: (0.15 * 5 + 1.1 * 10 + 0.2 * 5) / 25.2 = 0.5060 A; a third and 0.05 is 0.2187.
    # Empty 19.8 V at 80 %: 12.75 / 15.84 = 0.8049 A; with 0.3 it is 1.1049.
    found = window()
    assert (found.low, found.high) == (Decimal("0.21"), Decimal("1.11"))
    target = derive(example_sheet.sheet()).step("motors/first-power").target
    assert target == tie("0.21 to 1.11 A")


def test_the_limiter_stands_over_the_window() -> None:
    # A limiter of about 1 to 2 A for first power: common practice, no source.
    assert window(alone).limiter == Decimal(1)
    assert window().limiter == Decimal("1.5")


def test_a_part_on_the_pack_counts_as_it_is() -> None:
    def change(document: dict[str, Any]) -> None:
        for wire in document["wires"]:
            if (wire["device"], wire["lead"]) == ("video unit", "VIN"):
                wire["pad"] = "VB"

    # 1.1 A for itself; (0.75 + 1) / 25.2 = 0.0694 and (0.75 + 1) / 15.84 = 0.1105 for the rest.
    found = window(change)
    assert found.low == Decimal("0.43")  # 0.05 + 1.1694 / 3 = 0.4398
    assert found.high == Decimal("1.52")  # 0.30 + 1.2105 = 1.5105


def test_a_part_that_is_not_wired_draws_nothing() -> None:
    def change(document: dict[str, Any]) -> None:
        document["wires"] = [w for w in document["wires"] if w["lead"] != "VIN"]

    assert window(change).high < window().high


def test_draws_name_rail_and_amps() -> None:
    found = draws(SheetView(example_sheet.sheet()))
    assert [(d.device, d.rail, d.amps) for d in found] == [
        ("receiver", "5V", Decimal("0.15")),
        ("tail light", "5V", Decimal("0.2")),
        ("video unit", "10V", Decimal("1.1")),
    ]


def test_both_ends_of_the_window_pass() -> None:
    step = derive(example_sheet.sheet()).step("motors/first-power")
    states = {
        text: judged(step, {"values": {"amps": text}}).state
        for text in ("0.20", "0.209", "0.21", "1.11", "1.111", "1.12")
    }
    assert states == {
        "0.20": "fail",
        "0.209": "fail",
        "0.21": "pass",
        "1.11": "pass",
        "1.111": "fail",
        "1.12": "fail",
    }


def test_a_figure_beyond_reason_still_has_a_window() -> None:
    def change(document: dict[str, Any]) -> None:
        document["devices"][0]["amps"] = 1e300
        document["board"]["rails"][0]["volts"] = 1e300

    assert window(change).high > Decimal("1e500")

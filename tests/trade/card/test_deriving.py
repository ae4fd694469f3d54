"""Which steps a craft needs, in which order, with which targets."""

from collections.abc import Callable
from typing import Any

import pytest

from server.trade.card import derive
from server.trade.card.text import tie
from server.trade.finding import Severity, worst
from server.trade.rules import check
from server.trade.sheet import from_document
from tests import example_sheet
from tests.trade.card import fitted

ORDER = [
    "before/propellers",
    "before/looks",
    "before/leads",
    "before/shorts",
    "before/pack",
    "keep/settings",
    "keep/firmware",
    "level/flat",
    "level/faces",
    "level/turn",
    "ports/UART1",
    "ports/UART4",
    "ports/stuck",
    "radio/protocol",
    "radio/sticks",
    "radio/ends",
    "radio/rest",
    "radio/loss",
    "switches/arm",
    "switches/range",
    "switches/others",
    "switches/alone",
    "motors/link",
    "motors/feedback",
    "motors/plan",
    "motors/order",
    "motors/stuck",
    "motors/first-power",
    "motors/spins",
    "motors/speeds",
    "picture/overlay/video-unit",
    "parts/tail-light/lead/DIN",
    "battery/warnings",
    "battery/volts",
    "battery/current",
    "check/again",
    "check/no-radio",
    "check/spins",
    "check/radio-off",
    "check/saved",
]


def card_of(change: Callable[[dict[str, Any]], None] = lambda _: None):
    document = example_sheet.document()
    change(document)
    return derive(from_document(document))


def keys(card) -> list[str]:
    return [step.key for step in card.steps()]


def device(document: dict[str, Any], name: str) -> dict[str, Any]:
    return next(d for d in document["devices"] if d["device"] == name)


def drop(document: dict[str, Any], name: str) -> None:
    document["devices"] = [d for d in document["devices"] if d["device"] != name]
    document["wires"] = [w for w in document["wires"] if w["device"] != name]


def test_the_example_has_its_steps_in_order() -> None:
    assert keys(card_of()) == ORDER


def test_stages_stand_in_the_order_of_the_job() -> None:
    stages = card_of().stages
    assert [stage.key for stage in stages] == [
        "before",
        "keep",
        "level",
        "ports",
        "radio",
        "switches",
        "motors",
        "picture",
        "parts",
        "battery",
        "check",
    ]
    assert [stage.number for stage in stages] == list(range(1, 12))


def test_steps_are_numbered_within_their_stage() -> None:
    for stage in card_of().stages:
        expected = [f"{stage.number}.{n}" for n in range(1, len(stage.steps) + 1)]
        assert [step.number for step in stage.steps] == expected
        assert all(step.stage == stage.key for step in stage.steps)


def test_a_stage_with_nothing_to_do_is_left_out() -> None:
    card = card_of(lambda d: drop(d, "tail light"))
    assert "parts" not in [stage.key for stage in card.stages]
    assert card.stages[-1].number == 10


def test_a_craft_without_picture_has_no_step_for_it() -> None:
    card = card_of(lambda d: drop(d, "video unit"))
    assert not [key for key in keys(card) if key.startswith("picture/")]
    assert "ports/UART4" not in keys(card)


def test_feedback_is_set_only_where_it_is_wanted() -> None:
    card = card_of(lambda d: d["esc"].update(use_feedback=False))
    assert "motors/feedback" not in keys(card)
    assert "motors/speeds" not in keys(card)


def test_a_link_left_unused_gets_no_step() -> None:
    def change(document: dict[str, Any]) -> None:
        device(document, "video unit")["links"][0]["in_use"] = False

    card = card_of(change)
    assert "ports/UART4" not in keys(card)
    assert "picture/overlay/video-unit" not in keys(card)
    assert "picture/shown" in keys(card)


def test_a_position_unit_gets_its_port_and_its_fix() -> None:
    card = card_of(with_position)
    assert "ports/UART3" in keys(card)
    step = card.step("parts/gnss/position")
    assert step.title == "Get a fix with the gnss"
    assert step.evidence.fields[0].low == 6  # 6 to 8 satellites: common practice, no source


def with_position(document: dict[str, Any]) -> None:
    document["board"]["pads"] += [
        {"pad": "R3", "signal": "rx", "port": "UART3"},
        {"pad": "T3", "signal": "tx", "port": "UART3"},
    ]
    document["devices"].append(
        {
            "device": "gnss",
            "kind": "position",
            "supply_v": [4.5, 5.5],
            "amps": 0.1,
            "links": [{"role": "position", "speaks": ["UBX"], "tx": "TX", "rx": "RX"}],
            "power": "5V",
            "ground": "G",
        }
    )
    for lead, pad in {"TX": "R3", "RX": "T3", "5V": "5V", "G": "G"}.items():
        document["wires"].append({"device": "gnss", "lead": lead, "pad": pad})


def test_every_further_part_gets_its_step() -> None:
    found = set(keys(derive(fitted.sheet()))) - set(ORDER)
    assert found == {
        "ports/UART3",
        "ports/UART7",
        "ports/UART8",
        "ports/UART9",
        "ports/UART10",
        "picture/control/picture-sender",
        "parts/gnss/position",
        "parts/speed-controller/esc-telemetry",
        "parts/ground-radio/ground-link",
        "parts/rangefinder/other",
        "parts/beeper/lead/S",
        "parts/compass/lead/S",
        "parts/airspeed-sensor/lead/S",
    }


def test_the_fitted_craft_has_nothing_at_stop() -> None:
    assert worst(check(fitted.sheet())) is not Severity.STOP


def test_a_step_that_shows_link_loss_names_its_source() -> None:
    step = card_of().step("radio/loss")
    assert step.why.startswith(tie("With CRSF: The channel frames stop; the board waits 1 s."))
    assert step.source == "CRSF protocol specification, frame 0x16"


def test_a_port_names_its_protocol_and_speed() -> None:
    step = card_of().step("ports/UART1")
    assert step.title == "Set UART1 to receiver input, CRSF"
    assert step.do[1] == tie("Where a speed is asked for, set 420000 baud.")
    assert step.target == "UART1, receiver input, CRSF, 420000 8N1"


def test_the_look_after_the_restart_counts_the_rows() -> None:
    step = card_of().step("ports/stuck")
    assert step.target == "2 rows: UART1 and UART4"
    assert any("UART6, wireless chip" in line for line in step.do)


def test_a_protocol_not_chosen_is_said_and_not_guessed() -> None:
    card = card_of(lambda d: device(d, "receiver")["links"][0].pop("set_to"))
    assert "protocol not chosen" in card.step("ports/UART1").target
    assert card.step("radio/protocol").title == "Set the receiver's protocol"


def test_a_craft_without_receiver_still_proves_its_radio() -> None:
    card = card_of(lambda d: drop(d, "receiver"))
    assert card.step("radio/ends").basis_parts == {"receiver": "none in the map"}


def test_a_pulse_receiver_is_named_by_its_pad() -> None:
    def change(document: dict[str, Any]) -> None:
        document["board"]["pads"].append({"pad": "PPM", "signal": "ppm"})
        link = device(document, "receiver")["links"][0]
        link.update(speaks=["PPM"], set_to="PPM")
        for wire in document["wires"]:
            if (wire["device"], wire["lead"]) == ("receiver", "TX"):
                wire["pad"] = "PPM"

    card = card_of(change)
    assert "ports/UART1" not in keys(card)
    assert card.step("radio/protocol").target == "PPM on PPM, channels move"


def test_the_motor_link_says_how_much_of_the_loop_it_takes() -> None:
    # 16 bits at 300 kbit/s, 30 µs, 21 bits at 375 kbit/s: 139.33 µs of 250 µs is 55.7 %.
    assert card_of().step("motors/link").target == tie("DShot300, 56 % of the loop used")


def test_a_link_not_chosen_has_no_target_to_miss() -> None:
    card = card_of(lambda d: d["esc"].pop("set_to"))
    assert card.step("motors/link").title == "Set the motor link"


@pytest.mark.parametrize(
    ("chemistry", "cells", "window"),
    [
        # Full 4.20 V and 4.35 V a cell: charger IC data sheet ACT2804 Rev 3. Empty 3.30 V, and
        # 2.80 V for Li-ion: common practice, no source.
        ("LiPo", 4, "13.20 to 16.80"),
        ("LiPo", 6, "19.80 to 25.20"),
        ("LiHV", 4, "13.20 to 17.40"),
        ("LiHV", 6, "19.80 to 26.10"),
        ("Li-ion", 6, "16.80 to 25.20"),
    ],
)
def test_the_meter_reads_within_the_window_of_the_pack(chemistry, cells, window) -> None:
    card = card_of(lambda d: d["battery"].update(chemistry=chemistry, cells=cells))
    assert card.step("battery/volts").target.startswith(tie(f"meter {window} V;"))


def test_warnings_stand_above_the_empty_cell() -> None:
    # 3.5 V warn and 3.3 V land for LiPo: common practice, no source.
    step = card_of().step("battery/warnings")
    assert step.target == tie(
        "warn at 3.5 V, land at 3.3 V a cell (21.0 V and 19.8 V for the pack)"
    )


def test_the_shops_words_stand_in_brackets() -> None:
    words = {"port-receiver": "digital radio in ", "no-such-setting": "x", "motor-plan": "  "}
    card = derive(example_sheet.sheet(), words)
    said = "Set UART1 to receiver input, CRSF (you call it: digital radio in)."
    assert card.step("ports/UART1").do[0] == said
    assert card.step("motors/plan").do == card_of().step("motors/plan").do


def test_the_shops_words_change_no_basis() -> None:
    told = derive(example_sheet.sheet(), {"port-receiver": "digital radio in"})
    assert [s.basis for s in told.steps()] == [s.basis for s in card_of().steps()]


def test_the_same_sheet_gives_the_same_card() -> None:
    assert card_of() == card_of()
    assert card_of().as_json() == card_of().as_json()

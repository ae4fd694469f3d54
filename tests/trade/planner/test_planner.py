"""Boards small enough to plan by hand. Expected moves are worked out on paper from the sheet."""

import pytest

from server.trade.planner import OtherSheet, Plan, apply, plan
from server.trade.sheet import Sheet
from tests import example_sheet
from tests.edits import (
    Edit,
    add,
    drop,
    edited,
    pad,
    part,
    plain_part,
    port,
    put,
    rewire,
    unwire,
    wire,
)
from tests.trade.planner.planning import wiring_findings

Row = tuple[str, str, str | None, str | None]


def moves(found: Plan) -> set[Row]:
    return {(move.device, move.lead, move.start, move.end) for move in found.moves}


def changes(found: Plan) -> set[Row]:
    return {(it.device, it.setting, it.start, it.end) for it in found.changes}


def planned(*edits: Edit) -> tuple[Sheet, Plan]:
    sheet = edited(*edits)
    return sheet, plan(sheet)


def solved(*edits: Edit) -> Plan:
    """The plan of a sheet that it clears whole."""
    sheet, found = planned(*edits)
    assert wiring_findings(sheet), "the sheet has no fault: the case would check nothing"
    assert found.unsolved == ()
    assert wiring_findings(apply(sheet, found)) == []
    return found


def why(found: Plan, device: str) -> str:
    return next(item.why for item in found.unsolved if item.device == device)


def test_a_sound_sheet_needs_no_move():
    found = plan(example_sheet.sheet())
    assert (found.moves, found.changes, found.unsolved) == ((), (), ())


def test_the_document_has_the_four_lists():
    document = plan(edited(unwire("receiver", "RX"))).as_json()
    assert document["moves"] == [{"device": "receiver", "lead": "RX", "from": None, "to": "T1"}]
    assert list(document) == ["ports", "moves", "changes", "unsolved"]
    assert [row["port"] for row in document["ports"]] == [
        "UART1",
        "UART3",
        "UART4",
        "UART6",
        "SOFT1",
    ]


def test_ports_are_shown_as_wired_not_as_planned():
    found = plan(edited(unwire("receiver", "RX")))
    assert found.ports[0].hears_lead == "TX"
    assert found.ports[0].talks_lead is None


def test_a_swapped_pair_takes_two_moves():
    found = solved(rewire("receiver", "TX", "T1"), rewire("receiver", "RX", "R1"))
    assert moves(found) == {("receiver", "TX", "T1", "R1"), ("receiver", "RX", "R1", "T1")}
    assert found.changes == ()


def test_telemetry_is_not_given_up_to_save_a_move():
    # Set to SBUS the receiver would need no RX lead: no move, and no telemetry either.
    assert moves(solved(unwire("receiver", "RX"))) == {("receiver", "RX", None, "T1")}


def test_an_inverted_link_moves_to_the_inverter():
    found = solved(
        put("board/mcu", "STM32F405"),
        put("devices/receiver/links/0/speaks", ["SBUS"]),
        put("devices/receiver/links/0/set_to", "SBUS"),
    )
    assert moves(found) == {("receiver", "TX", "R1", "SB")}


def test_an_upright_protocol_saves_the_move_to_the_inverter():
    found = solved(put("board/mcu", "STM32F405"), put("devices/receiver/links/0/set_to", "SBUS"))
    assert moves(found) == set()
    assert changes(found) == {("receiver", "receiver protocol", "SBUS", "CRSF")}


def test_a_link_leaves_a_taken_port_whole():
    found = solved(port("UART5", "R5", "T5"), put("board/ports/UART1/taken_by", "wireless chip"))
    assert moves(found) == {("receiver", "TX", "R1", "R5"), ("receiver", "RX", "T1", "T5")}


def test_a_split_link_moves_its_stray_lead_only():
    found = solved(port("UART5", "R5", "T5"), rewire("receiver", "TX", "R5"))
    assert moves(found) == {("receiver", "TX", "R5", "R1")}


def test_a_fork_loses_one_wire():
    found = solved(port("UART5", "R5", "T5"), wire("receiver", "TX", "R5"))
    assert moves(found) == {("receiver", "TX", "R5", None)}


def test_two_links_trade_places():
    # Both work on either port by signal, but the video unit drives 5 V and R4 takes 3.3 V.
    found = solved(put("devices/video unit/links/0/level_v", 5.0))
    assert moves(found) == {
        ("receiver", "TX", "R1", "R4"),
        ("receiver", "RX", "T1", "T4"),
        ("video unit", "TX", "R4", "R1"),
        ("video unit", "RX", "T4", "T1"),
    }


def test_a_half_duplex_lead_goes_to_the_talking_pad():
    found = solved(port("UART5", "R5", "T5"), part("servo", "VTX-9600", leads={"one_wire": "R5"}))
    assert moves(found) == {("servo", "ONE", "R5", "T5")}


def test_a_fast_protocol_leaves_the_slow_port():
    found = solved(
        pad("RS", "rx", port="SOFT1"), port("UART5", "R5"), part("gnss", "NMEA", leads={"tx": "RS"})
    )
    assert moves(found) == {("gnss", "TX", "RS", "R5")}


def test_a_protocol_is_named_for_a_link_without_one():
    found = solved(drop("devices/receiver/links/0/set_to"))
    assert moves(found) == set()
    # Of the two that need no move, the one that has work for both leads.
    assert changes(found) == {("receiver", "receiver protocol", None, "CRSF")}


def test_an_unspoken_protocol_is_changed_to_a_spoken_one():
    found = solved(put("devices/receiver/links/0/set_to", "IBUS"))
    assert changes(found) == {("receiver", "receiver protocol", "IBUS", "CRSF")}


def test_two_links_of_one_role_are_told_apart():
    link = {"role": "receiver", "speaks": ["CRSF", "SBUS"], "tx": "B", "in_use": False}
    sheet = edited(
        lambda document: document["devices"][0]["links"].append(link),
        drop("devices/receiver/links/0/set_to"),
    )
    assert changes(plan(sheet)) == {("receiver", "receiver protocol on TX", None, "CRSF")}


def test_the_first_motor_link_named_is_dshot300():
    found = solved(drop("esc/set_to"))
    assert changes(found) == {("esc", "motor link", None, "DShot300")}
    assert "of the loop's period" in found.changes[0].why


def test_dshot600_is_named_where_dshot300_does_not_fit():
    # With feedback DShot300 takes 139.3 µs of 125 µs, DShot600 84.7 µs (REF-C9).
    found = solved(drop("esc/set_to"), put("control/loop_hz", 8000))
    assert changes(found) == {("esc", "motor link", None, "DShot600")}


def test_no_motor_link_is_named_where_none_fits():
    _, found = planned(drop("esc/set_to"), put("control/loop_hz", 32000))
    assert found.changes == ()
    assert "fits the control loop" in why(found, "esc")


def test_wires_of_what_is_not_there_come_off():
    found = solved(wire("nobody", "TX", "R1"), wire("receiver", "TXD", "no such pad"))
    assert moves(found) == {
        ("nobody", "TX", "R1", None),
        ("receiver", "TXD", "no such pad", None),
    }


def test_a_lead_on_a_missing_pad_moves():
    assert moves(solved(rewire("receiver", "RX", "T9"))) == {("receiver", "RX", "T9", "T1")}


def test_an_unused_link_is_left_where_it_is():
    sheet = edited(wire("video unit", "SBUS", "M1"))
    assert plan(sheet).moves == ()


def test_an_unused_link_comes_off_a_missing_pad():
    found = solved(wire("video unit", "SBUS", "T9"))
    assert moves(found) == {("video unit", "SBUS", "T9", None)}


def test_an_idle_lead_comes_off_the_pad_it_harms():
    # Set to SBUS alone, RX is idle; a part that needs T1 is not hindered by a listening lead.
    found = solved(
        put("devices/receiver/links/0/speaks", ["SBUS"]),
        put("devices/receiver/links/0/set_to", "SBUS"),
        rewire("receiver", "RX", "M1"),
    )
    assert moves(found) == {("receiver", "RX", "M1", None)}


def test_ppm_goes_to_its_own_pad():
    found = solved(
        pad("PPM", "ppm"),
        put("devices/receiver/links/0/speaks", ["PPM"]),
        drop("devices/receiver/links/0/set_to"),
        unwire("receiver", "RX"),
    )
    assert moves(found) == {("receiver", "TX", "R1", "PPM")}


def test_power_moves_to_a_rail_in_range():
    assert moves(solved(rewire("tail light", "5V", "VB"))) == {("tail light", "5V", "VB", "5V")}


def test_a_loose_ground_goes_to_the_ground_pad():
    assert moves(solved(unwire("receiver", "GND"))) == {("receiver", "GND", None, "G")}


def test_a_power_lead_on_two_rails_keeps_the_right_one():
    assert moves(solved(wire("receiver", "5V", "10V"))) == {("receiver", "5V", "10V", None)}


SECOND_RAIL = (
    add("board/rails", rail="5Vb", volts=5.0, amps=1.0),
    pad("5Vb", "power", rail="5Vb"),
)


def test_an_overloaded_rail_sheds_one_part():
    # 1.9 A and 0.2 A on a rail of 2.0 A. With the light on the second rail the first is at 95 %, a
    # caution that no move clears: the receiver's 1.9 A fit nowhere else.
    sheet, found = planned(*SECOND_RAIL, put("devices/receiver/amps", 1.9))
    assert moves(found) == {("tail light", "5V", "5V", "5Vb")}
    assert [item.device for item in found.unsolved] == ["5V"]
    assert {f.code for f in wiring_findings(apply(sheet, found))} == {"rail-near-limit"}


def test_no_move_overloads_a_rail():
    _, found = planned(
        *SECOND_RAIL, put("devices/receiver/amps", 1.9), put("devices/tail light/amps", 1.1)
    )
    assert found.moves == ()
    assert "150.0 %" in why(found, "5V")


def test_a_rail_near_its_limit_is_relieved():
    # 1.5 A and 0.2 A are 85 % of 2.0 A; 0.2 A of 1.0 A is 20 %.
    found = solved(*SECOND_RAIL, put("devices/receiver/amps", 1.5))
    assert moves(found) == {("tail light", "5V", "5V", "5Vb")}


def test_no_rail_in_range_is_said_with_the_volts():
    _, found = planned(put("devices/tail light/supply_v", [11.0, 13.0]))
    assert found.moves == ()
    assert "11.0 to 13.0 V" in why(found, "tail light")
    assert "5V (5.0 V)" in why(found, "tail light")


def test_a_doubled_output_moves_to_the_free_pad():
    found = solved(put("esc/outputs/2", "M1"))
    assert moves(found) == {("esc", "2", "M1", "M2")}


def test_a_missing_output_is_wired():
    found = solved(drop("esc/outputs/3"))
    assert moves(found) == {("esc", "3", None, "M3")}


def test_three_motor_pads_leave_a_channel_unsolved():
    _, found = planned(drop("board/pads/M4"), drop("esc/outputs/4"))
    assert found.moves == ()
    assert why(found, "esc") == "four channels need four motor pads; the board has 3"


def test_a_light_leaves_the_motors_timer():
    found = solved(pad("LED2", "led", timer="TIM9"), put("board/pads/LED/timer", "TIM3"))
    assert moves(found) == {("tail light", "DIN", "LED", "LED2")}


def test_motors_leave_the_lights_timer_when_lights_cannot():
    found = solved(
        put("board/pads/LED/timer", "TIM3"),
        pad("M5", "motor", output=5, timer="TIM5"),
        pad("M6", "motor", output=6, timer="TIM5"),
    )
    assert moves(found) == {("esc", "1", "M1", "M5"), ("esc", "2", "M2", "M6")}


def test_a_timer_that_nothing_frees_is_said():
    _, found = planned(put("board/pads/LED/timer", "TIM3"))
    assert found.moves == ()
    assert "timer" in why(found, "tail light")


def test_a_bus_lead_goes_to_its_signal():
    found = solved(pad("DA", "sda"), plain_part("compass", "sda", "R1"))
    assert moves(found) == {("compass", "L", "R1", "DA")}


def test_two_analogue_leads_do_not_share():
    found = solved(
        pad("A1", "analogue"),
        pad("A2", "analogue"),
        plain_part("meter", "analogue", "A1"),
        plain_part("sensor", "analogue", "A1"),
    )
    assert {move.end for move in found.moves} == {"A2"}
    assert len(found.moves) == 1


def test_a_lead_without_a_pad_comes_off_and_is_said():
    sheet, found = planned(plain_part("compass", "sda", "R1"))
    assert moves(found) == {("compass", "L", "R1", None)}
    assert why(found, "compass") == "the board has no sda pad"
    assert wiring_findings(apply(sheet, found)) == []


def test_a_third_receiver_is_told_how_many_ports_fit():
    _, found = planned(
        put("devices/receiver/links/0/speaks", ["CRSF"]),
        part("second", "CRSF", leads={"tx": "R1", "rx": "T1"}),
        part("third", "CRSF", leads={"tx": "", "rx": ""}),
    )
    # Two whole ports, and the video unit and one receiver on them.
    assert len(found.unsolved) == 2
    says = "4 links need a port or pad that fits, and the board has 2 (UART1, UART4)"
    assert all(says in item.why for item in found.unsolved)


def test_a_link_set_aside_gives_way():
    _, found = planned(
        put("devices/receiver/links/0/speaks", ["CRSF"]),
        put("board/ports/UART4/taken_by", "wireless chip"),
        put("devices/receiver/amps", 0.2),
    )
    assert len(found.unsolved) == 1
    assert "2 links" in found.unsolved[0].why


ALL_FREE = ("UART1", "UART3", "UART4", "SOFT1")


@pytest.mark.parametrize(
    ("edits", "says"),
    [
        ([put("devices/receiver/links/0/level_v", 9.0)], "9.0 V is more than"),
        (
            [drop("devices/receiver/links/0/tx"), unwire("receiver", "TX")],
            "no lead that it talks on",
        ),
        ([put("devices/receiver/links/0/speaks", ["PPM"])], "the board has no ppm pad"),
        (
            [put(f"board/ports/{name}/max_baud", 9600) for name in ("UART1", "UART3", "UART4")],
            "no free port is fast enough for 420000 Bd",
        ),
        (
            [put(f"board/ports/{name}/taken_by", "chip") for name in ALL_FREE],
            "the board has no free port",
        ),
    ],
)
def test_what_stands_in_the_way_is_named(edits: list[Edit], says: str):
    first = [
        put("devices/receiver/links/0/speaks", ["CRSF"]),
        put("devices/receiver/links/0/set_to", "CRSF"),
    ]
    _, found = planned(*first, *edits)
    assert says in why(found, "receiver")


def test_a_plan_for_another_sheet_is_refused():
    found = plan(edited(rewire("receiver", "RX", "T9")))
    with pytest.raises(OtherSheet, match="receiver RX to T9"):
        apply(example_sheet.sheet(), found)

"""Plans for what walks in: built-in parts, pictures, buses, software ports, and safe orders."""

from server.trade.planner import Move, Plan, plan
from server.trade.planner.ordering import ordered
from server.trade.planner.reasons import NO_SAFE_ORDER
from server.trade.rules import check
from tests import example_sheet
from tests.edits import Edit, drop, edited, pad, part, plain_part, port, put, rewire, unwire, wire
from tests.trade.rules.seeded_crafts import SOFT, inside
from tests.trade.rules.seeded_likely import compass
from tests.trade.rules.seeding import UART5, gps, vtx


def planned(*edits: Edit) -> Plan:
    return plan(edited(*edits))


def moves(found: Plan) -> list[tuple[str, str, str | None, str | None]]:
    return [(move.device, move.lead, move.start, move.end) for move in found.moves]


def test_a_wired_part_leaves_the_port_of_a_built_in_one() -> None:
    found = planned(UART5, port("UART7", rx="R7"), inside("chip", "UART5", "NMEA"), gps("R5"))
    assert moves(found) == [("gps", "TX", "R5", "R7")]
    assert found.unsolved == ()


def test_no_part_is_sent_to_the_port_of_a_built_in_one() -> None:
    found = planned(UART5, inside("chip", "UART5", "NMEA"), gps("SB"))
    assert all(move.end not in ("R5", "T5") for move in found.moves)


def test_the_port_of_an_unused_built_in_part_is_free() -> None:
    found = planned(UART5, inside("chip", "UART5", "NMEA", in_use=False), gps("SB"))
    assert moves(found) == [("gps", "TX", "SB", "R5")]


def test_a_built_in_part_is_set_to_what_its_port_can_carry() -> None:
    found = planned(inside("chip", "SOFT1", "MSP", "VTX-9600"))
    assert [(c.device, c.start, c.end) for c in found.changes] == [("chip", None, "VTX-9600")]
    assert (found.moves, found.unsolved) == ((), ())


def test_a_built_in_part_that_no_setting_helps_is_named() -> None:
    found = planned(inside("chip", "SOFT1", "MSP"))
    (left,) = found.unsolved
    assert (left.device, "SOFT1" in left.why) == ("chip", True)


def test_a_camera_goes_to_the_pad_that_takes_a_picture() -> None:
    found = planned(
        pad("CAM", "video-in"),
        pad("VTX", "video-out"),
        plain_part("camera", "video-out", "VTX"),
        plain_part("transmitter", "video-in", "CAM"),
    )
    assert set(moves(found)) == {
        ("camera", "L", "VTX", "CAM"),
        ("transmitter", "L", "CAM", "VTX"),
    }
    assert found.unsolved == ()


def test_a_second_camera_gets_a_pad_of_its_own() -> None:
    found = planned(
        pad("CAM", "video-in"),
        pad("CAM2", "video-in"),
        plain_part("camera", "video-out", "CAM"),
        plain_part("second", "video-out", "CAM"),
    )
    assert len(found.moves) == 1
    assert (found.moves[0].end, found.unsolved) == ("CAM2", ())


def test_the_loose_half_of_a_bus_is_wired() -> None:
    found = planned(*compass(wire("compass", "D", "SDA")))
    assert moves(found) == [("compass", "C", None, "SCL")]


def test_half_a_bus_on_a_board_without_the_other_pad_is_named() -> None:
    found = planned(*compass(wire("compass", "D", "SDA")), drop("board/pads/SCL"))
    assert [(it.device, it.part) for it in found.unsolved] == [("compass", "C")]
    assert found.moves == ()


def test_a_slow_link_may_have_the_software_port_and_a_fast_one_not() -> None:
    quiet = (*SOFT, put("board/pads/ST/timer", "TIM9"), put("board/pads/SS/timer", "TIM9"))
    assert moves(planned(*quiet, vtx())) == [("vtx", "ONE", None, "ST")]
    left = planned(*quiet, part("gps", "NMEA", leads={"tx": ""}))
    assert all(move.end != "SS" for move in left.moves)


def test_a_software_port_inverts_for_a_one_wire_link() -> None:
    slow = (put("board/ports/SOFT1/max_baud", 57600), pad("ST", "tx", port="SOFT1"))
    found = planned(put("board/mcu", "STM32F405"), UART5, *slow, vtx("T5", "SPORT"))
    assert moves(found) == [("vtx", "ONE", "T5", "ST")]


def test_a_pad_on_a_quiet_timer_is_taken_where_there_is_one() -> None:
    found = planned(
        pad("PPM", "ppm", timer="TIM3"),
        pad("PPM2", "ppm", timer="TIM9"),
        part("old", "PPM", leads={"tx": "PPM"}),
    )
    assert moves(found) == [("old", "TX", "PPM", "PPM2")]


def test_a_sensor_is_sent_to_the_pad_that_takes_its_level() -> None:
    found = planned(
        pad("CUR", "analogue"),
        pad("VOL", "analogue", max_v=5.0),
        plain_part("sensor", "analogue", "CUR"),
        put("devices/sensor/leads/0/level_v", 5.0),
    )
    assert moves(found) == [("sensor", "L", "CUR", "VOL")]


def test_a_pad_is_left_before_another_lead_comes_to_it() -> None:
    found = planned(UART5, gps("T5"), rewire("receiver", "TX", "R5"), unwire("receiver", "RX"))
    assert moves(found) == [("gps", "TX", "T5", "R1"), ("receiver", "RX", None, "T5")]


def test_the_plan_of_unknown_draws_and_loop_is_made() -> None:
    found = planned(
        put("control", {}),
        drop("esc/set_to"),
        drop("devices/video unit/amps"),
        drop("board/rails/10V/amps"),
    )
    assert [(change.device, change.end) for change in found.changes] == [("esc", "DShot300")]


def test_moves_without_a_safe_order_are_named() -> None:
    # Off 5 V and on 10 V, which is too much, in two steps: a fork one way round, too high either.
    sheet = example_sheet.sheet()
    steps = [Move("receiver", "5V", "5V", None), Move("receiver", "5V", None, "10V")]
    assert check(sheet) == []
    found, unsafe = ordered(sheet, steps)
    assert (set(found), unsafe) == (set(steps), steps[:1])
    assert "before anything is plugged in" in NO_SAFE_ORDER


def test_a_safe_order_is_found_where_the_first_is_not() -> None:
    # On 10 V beside the pack is a fork; taking it off the pack first would leave 10 V too high.
    sheet = edited(rewire("receiver", "5V", "10V"), wire("receiver", "5V", "VB"))
    steps = [Move("receiver", "5V", "VB", None), Move("receiver", "5V", "10V", "5V")]
    found, unsafe = ordered(sheet, steps)
    assert (list(found), unsafe) == (steps[::-1], [])


def test_a_new_setting_counts_where_timers_are_looked_at() -> None:
    # Set anew to a pulse train, the receiver's wire works on the pulse pad, by the motors' timer.
    found = planned(
        pad("PPM", "ppm", timer="TIM3"),
        part("old", "PPM", "MSP", leads={"tx": "PPM"}, set_to="MSP"),
    )
    assert [(change.device, change.end) for change in found.changes] == [("old", "PPM")]
    assert [(it.device, "TIM3" in it.why) for it in found.unsolved] == [("old", True)]

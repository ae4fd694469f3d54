"""The port map says which link has each port, as wired."""

from hypothesis import given

from server.trade.sheet import Sheet
from server.trade.wiring.portmap import PortRow, port_map
from tests import example_sheet
from tests.edits import Edit, add, drop, edited, part, port, put, rewire
from tests.strategies import clean_sheets, sheets
from tests.trade.rules.seeding import UART5, gps, vtx


def row(name: str, *edits: Edit) -> PortRow:
    return next(each for each in port_map(edited(*edits)) if each.port == name)


def test_the_examples_rows_stand_in_board_order() -> None:
    rows = port_map(example_sheet.sheet())
    assert [each.port for each in rows] == ["UART1", "UART3", "UART4", "UART6", "SOFT1"]
    assert rows[0] == PortRow(
        "UART1", None, "receiver", "receiver", "CRSF", "420000 8N1", "R1", "TX", "T1", "RX"
    )
    assert rows[1] == PortRow("UART3", None)
    assert rows[2] == PortRow(
        "UART4", None, "video unit", "overlay", "MSP", "115200 8N1", "R4", "TX", "T4", "RX"
    )
    assert rows[3] == PortRow("UART6", "wireless chip")


def test_a_half_duplex_wire_is_on_both_sides() -> None:
    found = row("UART5", UART5, vtx("T5"))
    assert (found.hears_pad, found.hears_lead) == ("T5", "ONE")
    assert (found.talks_pad, found.talks_lead) == ("T5", "ONE")
    assert found.line == "9600 8N1"


def test_a_heard_link_leaves_the_talking_side_empty() -> None:
    found = row("UART5", UART5, gps("R5"))
    assert (found.hears_pad, found.talks_pad) == ("R5", None)


def test_an_unset_link_has_its_port_without_a_line() -> None:
    found = row("UART1", drop("devices/receiver/links/0/set_to"))
    assert (found.device, found.protocol, found.line) == ("receiver", None, None)
    assert (found.hears_pad, found.talks_pad) == ("R1", "T1")


def test_a_swapped_lead_has_no_side() -> None:
    found = row("UART1", rewire("receiver", "TX", "T1"))
    assert (found.hears_pad, found.talks_pad, found.talks_lead) == (None, "T1", "RX")


def test_an_unneeded_lead_has_no_side() -> None:
    found = row("UART1", put("devices/receiver/links/0/set_to", "SBUS"))
    assert (found.hears_pad, found.talks_pad) == ("R1", None)


def test_an_unused_link_has_no_port() -> None:
    assert row("UART1", put("devices/receiver/links/0/in_use", False)) == PortRow("UART1", None)


def test_two_links_on_one_port_are_both_named() -> None:
    found = row("UART5", UART5, gps("R5"), part("logger", "MSP", leads={"rx": "T5"}))
    assert found.device == "gps + logger"
    assert (found.hears_pad, found.talks_pad) == ("R5", "T5")
    assert (found.protocol, found.line) == ("NMEA + MSP", "115200 8N1")


def test_the_row_is_one_json_object() -> None:
    assert row("UART6").as_json()["taken_by"] == "wireless chip"
    assert list(row("UART6").as_json())[:2] == ["port", "taken_by"]


def test_a_new_port_has_a_row_of_its_own() -> None:
    assert row("UART9", port("UART9")) == PortRow("UART9", None)
    assert row("UART9", add("board/ports", port="UART9", taken_by="USB")).taken_by == "USB"


@given(sheets())
def test_there_is_one_row_a_port(sheet: Sheet) -> None:
    assert [each.port for each in port_map(sheet)] == [each.port for each in sheet.board.ports]


@given(sheets())
def test_pads_of_a_row_are_pads_of_its_port(sheet: Sheet) -> None:
    ports = {pad.pad: pad.port for pad in sheet.board.pads}
    for each in port_map(sheet):
        for names in (each.hears_pad, each.talks_pad):
            assert all(ports[name] == each.port for name in (names or "").split(" + ") if name)


@given(clean_sheets())
def test_a_clean_sheet_has_one_link_a_port(sheet: Sheet) -> None:
    devices = [each.device for each in port_map(sheet) if each.device]
    assert sorted(devices) == sorted(device.device for device in sheet.devices)

"""The keys of built-in parts and of what a shop cannot know: read, or refused by place."""

from decimal import Decimal

import pytest

from server.trade.sheet import SPI, Device, Sheet, SheetError, from_document, read_json, to_document
from server.trade.sheet.write import dump_json
from tests import example_sheet
from tests.edits import Edit, add, drop, edited, put, wire
from tests.trade.rules.seeded_crafts import inside

CHIP = "devices/chip"
AT = "devices[3]"
LINK = "devices/receiver/links/0"


def chip(where: str = "UART4", *speaks: str, **link: object) -> Edit:
    return inside("chip", where, *(speaks or ("MSP",)), **link)


REFUSED: list[tuple[tuple[Edit, ...], str, str]] = [
    # a built-in part has no leads, no supply and no wire
    ((chip(), put(f"{CHIP}/supply_v", [4, 6])), f"{AT}.supply_v", "built-in part"),
    ((chip(), put(f"{CHIP}/leads", [])), f"{AT}.leads", "no leads"),
    ((chip(), put(f"{CHIP}/power", "5V")), f"{AT}.power", "no supply"),
    ((chip(), put(f"{CHIP}/ground", "G")), f"{AT}.ground", "no supply"),
    ((chip(), wire("chip", "TX", "R1")), "wires[11].device", "'chip', which is built in"),
    ((chip(), drop(f"{CHIP}/links")), f"{AT}.links", "missing"),
    ((chip(), put(f"{CHIP}/built_in", False)), f"{AT}.built_in", "only true"),
    ((chip(), put(f"{CHIP}/built_in", 1)), f"{AT}.built_in", "only true"),
    ((chip(), put(f"{CHIP}/built_in", None)), f"{AT}.built_in", "null"),
    # its links are inside the board
    ((chip("UART9"),), f"{AT}.links[0].inside", "found 'UART9'; ports: UART1"),
    ((chip("uart4"),), f"{AT}.links[0].inside", "found 'uart4'"),
    ((chip("spi"),), f"{AT}.links[0].inside", "found 'spi'"),
    ((chip("UART4", "PPM"),), f"{AT}.links[0].speaks[0]", "'PPM' inside 'UART4'"),
    ((chip("UART4", "MSP", "PPM"),), f"{AT}.links[0].speaks[1]", "does not carry it"),
    ((chip("UART4", set_to="PPM"),), f"{AT}.links[0].set_to", "does not carry it"),
    ((chip("UART4", tx="TX"),), f"{AT}.links[0].tx", "no lead"),
    ((chip("UART4", one_wire="X"),), f"{AT}.links[0].one_wire", "no lead"),
    ((chip("UART4", level_v=5.0),), f"{AT}.links[0].level_v", "no lead"),
    ((chip("UART4", inverted=True),), f"{AT}.links[0].inverted", "no lead"),
    ((inside("chip", "UART4"),), f"{AT}.links[0].speaks", "missing"),
    ((inside("chip", SPI, set_to="CRSF"),), f"{AT}.links[0].set_to", "without speaks"),
    ((chip(SPI), put(f"{CHIP}/links/0/speaks", [])), f"{AT}.links[0].speaks", "at least one"),
    (
        (chip(), put(f"{CHIP}/links", [{"role": "other", "speaks": ["MSP"], "tx": "TX"}])),
        f"{AT}.links[0].inside",
        "missing",
    ),
    # keys of a built-in part on a wired one
    ((put(f"{LINK}/inside", "UART4"),), "devices[0].links[0].inside", "not built in"),
    (
        (put("devices/receiver/links", [{"role": "other", "speaks": ["MSP"], "inside": "UART4"}]),),
        "devices[0].links[0].inside",
        "not built in",
    ),
    ((drop("devices/receiver/supply_v"),), "devices[0].supply_v", "missing"),
    # the board
    ((put("board/ports/UART3/port", "SPI"),), "board.ports[1].port", "'SPI'"),
    ((put("board/usb_feeds", ["12V"]),), "board.usb_feeds[0]", "rails: 5V, 10V, 3V3, pack"),
    ((put("board/usb_feeds", ["5V", "pack", "5V"]),), "board.usb_feeds[2]", "has already"),
    ((put("board/usb_feeds", "5V"),), "board.usb_feeds", "a list is wanted"),
    ((put("board/usb_feeds", None),), "board.usb_feeds", "null"),
    # levels
    ((put("devices/tail light/leads/0/level_v", 5),), "devices[2].leads[0].level_v", "analogue"),
    ((put(f"{LINK}/inverted", "yes"),), "devices[0].links[0].inverted", "true or false"),
    # the ESC, the motors and the loop
    ((put("esc/burst_amps", 49.9),), "esc.burst_amps", "found 49.9; not less than amps, 50"),
    ((put("esc/burst_amps", -1),), "esc.burst_amps", "zero or a number above"),
    ((put("motors/poles", 1),), "motors.poles", "from 2 to 60"),
    ((put("motors/poles", 61),), "motors.poles", "from 2 to 60"),
    ((put("motors/poles", None),), "motors.poles", "null"),
    ((put("control/loop_hz", None),), "control.loop_hz", "null"),
    ((put("control/link_loss", {"does": "drop"}),), "control.link_loss.guard_s", "missing"),
    ((put("control/link_loss", {"guard_s": 1}),), "control.link_loss.does", "missing"),
    (
        (put("control/link_loss", {"does": "hover", "guard_s": 1}),),
        "control.link_loss.does",
        "allowed: drop, land, return",
    ),
    (
        (put("control/link_loss", {"does": "land", "guard_s": 0}),),
        "control.link_loss.guard_s",
        "above zero",
    ),
]


@pytest.mark.parametrize(("edits", "at", "says"), REFUSED, ids=[f"{a} {s}" for _, a, s in REFUSED])
def test_the_place_and_the_reason_are_named(edits: tuple[Edit, ...], at: str, says: str) -> None:
    document = example_sheet.document()
    for edit in edits:
        edit(document)
    with pytest.raises(SheetError) as refused:
        from_document(document)
    assert refused.value.at == at
    assert says in refused.value.says


def last(sheet: Sheet) -> Device:
    return sheet.devices[-1]


def test_a_built_in_part_is_told_by_its_own_key() -> None:
    part = last(edited(chip()))
    assert part.built_in is True
    assert part.links[0].inside == "UART4"
    assert (part.supply_v, part.power, part.ground, part.leads) == (None, None, None, ())
    wired = example_sheet.sheet().devices[0]
    assert (wired.built_in, wired.links[0].inside) == (None, None)


@pytest.mark.parametrize(
    "edit",
    [
        inside("chip", SPI),
        inside("chip", SPI, "CRSF", "SBUS", set_to="SBUS"),
        add("devices", device="chip", kind="video", built_in=True, links=[], amps=0.4),
        put("board/usb_feeds", []),
        put("board/usb_feeds", ["5V", "pack"]),
        put("motors", {}),
        put("control", {}),
        put("control/link_loss", {"does": "return", "guard_s": 2.5}),
        put("control/link_loss", {}),
        put("esc/burst_amps", 50),
        put("motors/poles", 60),
    ],
    ids=[
        "on-spi",
        "on-spi-and-set",
        "no-control-line",
        "nothing-on-usb",
        "pack-on-usb",
        "motors-unknown",
        "loop-unknown",
        "returns-home",
        "drops",
        "burst",
        "most-poles",
    ],
)
def test_what_is_allowed_is_read_and_written_alike(edit: Edit) -> None:
    sheet = edited(edit)
    assert from_document(to_document(sheet)) == sheet
    assert read_json(dump_json(sheet).encode()) == sheet


def test_a_burst_alone_needs_no_rating() -> None:
    sheet = edited(drop("esc/amps"), put("esc/burst_amps", 10))
    assert (sheet.esc.amps, sheet.esc.burst_amps) == (None, 10)


def test_software_ports_and_analogue_pads_have_their_own_defaults() -> None:
    sheet = edited(
        drop("board/ports/SOFT1/max_baud"),
        add("board/pads", pad="CUR", signal="analogue"),
        add("board/pads", pad="RSS", signal="analogue", max_v=5.0),
    )
    assert sheet.board.ports[-1].max_baud == 19200
    assert [pad.max_v for pad in sheet.board.pads[-2:]] == [Decimal("3.3"), Decimal("5.0")]
    assert sheet.board.pads[0].max_v == 5
    document = to_document(sheet)
    assert "max_baud" not in document["board"]["ports"][-1]
    assert "max_v" not in document["board"]["pads"][-2]


def test_a_lost_link_drops_the_craft_where_nothing_is_said() -> None:
    loss = example_sheet.sheet().control.link_loss
    assert (loss.does, loss.guard_s) == ("drop", Decimal("1.5"))

"""A sheet that breaks the format is refused, with the place and what is allowed there."""

import pytest

from server.trade.sheet import SheetError, from_document, read_json, read_toml
from tests import example_sheet
from tests.edits import Edit, add, drop, put, wire

LINK = "devices/receiver/links/0"
AT_LINK = "devices[0].links[0]"
LONG = "x" * 61

REFUSED: list[tuple[Edit, str, str]] = [
    (put("colour", "red"), "colour", "unknown key"),
    (put("board/colour", "red"), "board.colour", "allowed: maker, model, mcu"),
    (put("board/pads/R4/colour", 1), "board.pads[3].colour", "unknown key"),
    (put("wires/0/note", "x"), "wires[0].note", "allowed: device, lead, pad"),
    (put("board/\ud800", 1), "board.'\\ud800'", "unknown key"),
    (drop("esc"), "esc", "missing"),
    (drop("board/model"), "board.model", "missing"),
    (drop("wires/3/lead"), "wires[3].lead", "missing"),
    (drop("battery/chemistry"), "battery.chemistry", "missing"),
    (put("sheet", 2), "sheet", "1 is wanted"),
    (put("sheet", True), "sheet", "found true"),
    (put("sheet", "1"), "sheet", "found '1'; a number is wanted"),
    (put("craft", []), "craft", "found a list; an object"),
    (put("board/pads", {}), "board.pads", "found an object; a list"),
    (add("wires"), "wires[11].device", "missing"),
    (put("board/maker", None), "board.maker", "null"),
    (put("board/rails", None), "board.rails", "null"),
    (put(f"{LINK}/level_v", None), f"{AT_LINK}.level_v", "null"),
    (put("esc/outputs/1", None), "esc.outputs.1", "found null"),
    # names
    (put("craft/name", ""), "craft.name", "1 to 60 characters"),
    (put("craft/name", LONG), "craft.name", "a text of 61 characters"),
    (put("craft/name", "a\tb"), "craft.name", "printable"),
    (put("craft/name", "a\u200bb"), "craft.name", "printable"),
    (put("craft/name", "\ud800"), "craft.name", "printable"),
    (put("craft/name", 7), "craft.name", "found 7; a text"),
    (put("devices/receiver/kind", LONG), "devices[0].kind", "60 characters"),
    (put("board/pads/R4/pad", "R1"), "board.pads[3].pad", "pads[0].pad has already"),
    (put("board/ports/UART3/port", "UART1"), "board.ports[1].port", "has already"),
    (put("board/rails/10V/rail", "5V"), "board.rails[1].rail", "has already"),
    (put("board/rails/10V/rail", "pack"), "board.rails[1].rail", "battery itself"),
    (put("devices/video unit/device", "receiver"), "devices[1].device", "has already"),
    (put("devices/receiver/power", "TX"), "devices[0].power", "links[0].tx has already"),
    (put("devices/receiver/ground", "5V"), "devices[0].ground", "power has already"),
    (put(f"{LINK}/rx", "TX"), "devices[0].links[0].rx", "has already"),
    (
        put("devices/tail light/leads/0/lead", "5V"),
        "devices[2].power",
        "leads[0].lead has already",
    ),
    (put("devices/video unit/links/1/tx", "TX"), "devices[1].links[1].tx", "has already"),
    # places that are not listed
    (put("board/pads/R4/port", "UART9"), "board.pads[3].port", "ports: UART1, UART3"),
    (put("board/pads/R4/port", "uart4"), "board.pads[3].port", "found 'uart4'"),
    (put("board/pads/5V/rail", "12V"), "board.pads[5].rail", "rails: 5V, 10V, 3V3"),
    # keys of another signal
    (put("board/pads/5V/port", "UART1"), "board.pads[5].port", "allowed on rx and tx"),
    (put("board/pads/R4/rail", "5V"), "board.pads[3].rail", "allowed on power"),
    (put("board/pads/G/rail", "5V"), "board.pads[8].rail", "allowed on power"),
    (put("board/pads/LED/output", 1), "board.pads[13].output", "allowed on motor"),
    (drop("board/pads/R4/port"), "board.pads[3].port", "missing"),
    (drop("board/pads/5V/rail"), "board.pads[5].rail", "missing"),
    (drop("board/pads/M1/output"), "board.pads[9].output", "missing"),
    # words
    (put("board/pads/R4/signal", "RX"), "board.pads[3].signal", "allowed: rx, tx, power"),
    (put("board/pads/R4/signal", []), "board.pads[3].signal", "found a list"),
    (put(f"{LINK}/role", "radio"), f"{AT_LINK}.role", "allowed: receiver, telemetry, overlay"),
    (put(f"{LINK}/speaks", ["CRSF", "sbus"]), f"{AT_LINK}.speaks[1]", "found 'sbus'"),
    (put(f"{LINK}/speaks", []), f"{AT_LINK}.speaks", "at least one"),
    (put(f"{LINK}/speaks", ["CRSF", "CRSF"]), f"{AT_LINK}.speaks[1]", "twice"),
    (put(f"{LINK}/speaks", "CRSF"), f"{AT_LINK}.speaks", "a list is wanted"),
    (put(f"{LINK}/set_to", "WIFI"), f"{AT_LINK}.set_to", "allowed: CRSF"),
    (drop(f"{LINK}/speaks"), f"{AT_LINK}.speaks", "missing"),
    (put("craft/props", "in"), "craft.props", "allowed: props-in, props-out"),
    (put("battery/chemistry", "lipo"), "battery.chemistry", "allowed: LiPo, LiHV, Li-ion"),
    (put("esc/speaks", ["CRSF"]), "esc.speaks[0]", "allowed: PWM, OneShot125"),
    (put("esc/speaks", []), "esc.speaks", "at least one"),
    (put("esc/set_to", "DShot1200"), "esc.set_to", "DShot600"),
    (put("devices/tail light/leads/0/signal", "rx"), "devices[2].leads[0].signal", "allowed: led"),
    # quantities
    (put("motors/kv", "1900"), "motors.kv", "found '1900'; a number"),
    (put("motors/kv", True), "motors.kv", "found true; a number"),
    (put("motors/kv", 0), "motors.kv", "above zero"),
    (put("motors/kv", -1), "motors.kv", "above zero"),
    (put("motors/kv", float("nan")), "motors.kv", "finite"),
    (put("motors/kv", float("inf")), "motors.kv", "finite"),
    (put("motors/kv", 10**400), "motors.kv", "too large"),
    (put("motors/kv", [1]), "motors.kv", "found a list"),
    (put("devices/receiver/amps", -0.1), "devices[0].amps", "zero or a number above"),
    (put("esc/amps", -1), "esc.amps", "zero or a number above"),
    (put("motors/peak_amps", 0), "motors.peak_amps", "above zero"),
    (put("board/rails/5V/volts", 0), "board.rails[0].volts", "above zero"),
    (put("board/ports/SOFT1/max_baud", 0), "board.ports[4].max_baud", "above zero"),
    (put("board/ports/SOFT1/software", 1), "board.ports[4].software", "true or false"),
    (put("board/supply_v", [9]), "board.supply_v", "two numbers"),
    (put("board/supply_v", [9, 10, 11]), "board.supply_v", "two numbers"),
    (put("board/supply_v", {"low": 9}), "board.supply_v", "two numbers"),
    (put("board/supply_v", 9), "board.supply_v", "two numbers"),
    (put("board/supply_v", [0, 9]), "board.supply_v", "above zero"),
    (put("board/supply_v", [26, 9]), "board.supply_v", "low end"),
    (put("board/supply_v", [9, "26"]), "board.supply_v", "found '26'"),
    (put("battery/cells", 0), "battery.cells", "from 1 to 14"),
    (put("battery/cells", 15), "battery.cells", "from 1 to 14"),
    (put("battery/cells", 6.5), "battery.cells", "whole number"),
    (put("battery/cells", True), "battery.cells", "found true"),
    (put("board/pads/M1/output", 9), "board.pads[9].output", "from 1 to 8"),
    (put("board/pads/M1/output", 0), "board.pads[9].output", "from 1 to 8"),
    # the ESC's channels
    (put("esc/outputs/5", "M1"), "esc.outputs.5", "allowed: 1, 2, 3, 4"),
    (put("esc/outputs/01", "M1"), "esc.outputs.01", "unknown channel"),
    (put("esc/outputs/1", 1), "esc.outputs.1", "name of a pad"),
    (put("esc/outputs", []), "esc.outputs", "an object"),
    # the rest
    (wire("receiver", "TX", "R1"), "wires[11]", "given twice"),
    (
        put("devices/receiver/links", [{"role": "receiver", "speaks": ["CRSF"]}]),
        AT_LINK,
        "at least one of tx, rx, one_wire",
    ),
]


@pytest.mark.parametrize(("edit", "at", "says"), REFUSED, ids=[f"{at} {s}" for _, at, s in REFUSED])
def test_the_place_and_the_reason_are_named(edit: Edit, at: str, says: str) -> None:
    document = example_sheet.document()
    edit(document)
    with pytest.raises(SheetError) as refused:
        from_document(document)
    assert refused.value.at == at
    assert says in refused.value.says
    assert str(refused.value) == f"{refused.value.at}: {refused.value.says}"
    str(refused.value).encode()


@pytest.mark.parametrize("document", [None, [], "sheet", 1, {}, {"sheet": 1}])
def test_what_is_no_sheet_is_refused(document: object) -> None:
    with pytest.raises(SheetError):
        from_document(document)


ALLOWED: list[Edit] = [
    put("board/rails", []),
    put("devices", []),
    put("wires", []),
    put("esc/outputs", {}),
    put("devices/receiver/links", []),
    put("devices/receiver/amps", 0),
    put("esc/amps", 0),
    put("board/rails/5V/amps", 0),
    put("board/supply_v", [9, 9]),
    put("battery/cells", 1),
    put("battery/cells", 14),
    put("battery/cells", 6.0),
    put("motors/kv", 1e300),
    put("motors/kv", 1e-300),
    put("board/pads/M1/output", 8),
    put(f"{LINK}/set_to", "DSM"),
    put("esc/outputs/1", "nowhere"),
    wire("nobody", "TX", "R1"),
    wire("receiver", "TX", "SB"),
]


@pytest.mark.parametrize("number", range(len(ALLOWED)))
def test_the_edge_of_what_is_allowed_is_read(number: int) -> None:
    document = example_sheet.document()
    ALLOWED[number](document)
    if number == 0:
        document["board"]["pads"] = [p for p in document["board"]["pads"] if p.get("rail") is None]
    from_document(document)


def refusal(data: bytes, read=read_json) -> SheetError:
    with pytest.raises(SheetError) as refused:
        read(data)
    str(refused.value).encode()
    return refused.value


def with_loop(number: bytes) -> bytes:
    return example_sheet.TEXT.replace(b'"loop_hz": 4000', b'"loop_hz": ' + number)


NO_NUMBERS = [
    b"NaN",
    b"Infinity",
    b"-Infinity",
    b"1e400",
    b"-1e400",
    b"1e-400",
    b"0",
    b"-0",
    b"0.0",
    b"-1",
    b"1e99999999999999999999",
    b"0e-99999999999999999999",
    b"0e999999999",
    b"9" * 5000,
    b"1." + b"0" * 5000,
    b"null",
    b"true",
    b'"4000"',
    b"[]",
    b"{}",
]


@pytest.mark.parametrize("number", NO_NUMBERS, ids=lambda number: number[:12].decode())
def test_what_is_no_quantity_is_refused_at_its_place(number: bytes) -> None:
    assert refusal(with_loop(number)).at == "control.loop_hz"


@pytest.mark.parametrize("number", [b"01", b"+1", b".5", b"1.", b"0x10", b"1_0", b"nan", b"--1"])
def test_what_json_calls_no_number_is_refused(number: bytes) -> None:
    assert refusal(with_loop(number)).at.startswith("line ")


def test_a_key_given_twice_is_named() -> None:
    assert refusal(b'{"sheet": 1, "sheet": 1}').at == "sheet"
    twice = example_sheet.TEXT.replace(b'"pad": "R4"', b'"pad": "R4", "pad": "R4"')
    assert refusal(twice).at == "board.pads[3].pad"
    assert "twice" in refusal(twice).says
    hidden = b'{"a": {"x": 1, "x": 2}, "a": 1}'
    assert refusal(hidden).at == "a"


def test_a_key_given_twice_in_toml_is_refused() -> None:
    assert refusal(b"sheet = 1\nsheet = 1\n", read_toml).at.startswith("line 2")


def test_what_is_not_utf8_is_refused() -> None:
    for read in (read_json, read_toml):
        assert refusal(b'{"craft": "\xff"}', read).at == "byte 11"
        assert refusal("{}".encode("utf-16"), read).at == "byte 0"
    assert refusal(b'"\xed\xa0\x80"').says == "not UTF-8"


def test_over_a_mebibyte_is_refused_unread() -> None:
    padding = b" " * (1024 * 1024 - len(example_sheet.TEXT))
    assert read_json(example_sheet.TEXT + padding) == example_sheet.sheet()
    assert "1048577 bytes" in refusal(example_sheet.TEXT + padding + b" ").says
    assert refusal(b"a = 1\n" * 200_000, read_toml).at == "document"


@pytest.mark.parametrize("data", [b"[" * 100_000, b'{"a":' * 100_000, b"[" * 900 + b"]" * 900])
def test_deep_nesting_is_an_error_like_others(data: bytes) -> None:
    assert refusal(data).at == "document"


@pytest.mark.parametrize(
    "data",
    [
        b"a = " + b"[" * 50_000,
        b"a" + b".a" * 100_000 + b" = 1",
        b"[" + b"'a'." * 9_000 + b"a]",
        b"a = " + b"{a = " * 30_000,
        b'"' * 500_000,
        b"a" * 1_000_000,
    ],
)
def test_deep_or_broken_toml_is_an_error_soon(data: bytes) -> None:
    refusal(data, read_toml)


def test_nesting_beyond_the_shape_names_its_place() -> None:
    deep: object = "x"
    for _ in range(500):
        deep = {"x": deep}
    document = example_sheet.document()
    document["board"]["pads"][3]["pad"] = deep
    with pytest.raises(SheetError) as refused:
        from_document(document)
    assert refused.value.at == "board.pads[3].pad"


@pytest.mark.parametrize("data", [b"", b"{", b"{]", b"nul", b'{"sheet": 1}x', b"'a'", b"\x00"])
def test_broken_json_names_line_and_column(data: bytes) -> None:
    assert refusal(data).at.startswith("line 1 column ")


@pytest.mark.parametrize(
    ("data", "at"),
    [
        (b"sheet = ", "end of document"),
        (b"a = 1\nb = [1,,]\n", "line 2 column 8"),
        (b"a = " + b"9" * 5000, "document"),
        (b"a = 2020-02-30", "line 1 column 5"),
        (b"sheet = 1979-05-27", "sheet"),
        (b"sheet = nan", "sheet"),
    ],
)
def test_broken_toml_names_its_place(data: bytes, at: str) -> None:
    assert refusal(data, read_toml).at == at

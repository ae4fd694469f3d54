"""The table says all that the drawing shows."""

import pytest
from hypothesis import given

from server.drawing.port_diagram.diagram import port_diagram
from server.drawing.port_diagram.table_text import PortTableRow, port_table
from server.trade.rules import check
from server.trade.sheet import Sheet
from tests import example_sheet
from tests.drawing import looking, samples
from tests.strategies import sheets


def test_example_rows_say_lead_pad_and_port() -> None:
    rows = port_table(example_sheet.sheet(), [])
    assert PortTableRow("lead", "receiver", "TX", "talks", "R1", "UART1") in rows
    assert PortTableRow("lead", "receiver", "RX", "listens", "T1", "UART1") in rows
    assert PortTableRow("lead", "receiver", "5V", "power", "5V", "5V") in rows
    assert PortTableRow("lead", "video unit", "SBUS", "talks", note="not used") in rows
    assert PortTableRow("taken", "", port="UART6", note="taken by wireless chip") in rows
    assert PortTableRow("output", "ESC", "3", "from the board", "M3") in rows


def test_free_pad_with_inverter_is_told() -> None:
    rows = [row for row in port_table(example_sheet.sheet(), []) if row.kind == "free"]
    told = {row.pad: (row.says, row.port, row.note) for row in rows}
    assert told["SB"] == ("listens", "UART3", "free, a fixed inverter sits on this pad")
    assert set(told) == {"SB", "VB"}


def test_swapped_wires_carry_the_findings_number() -> None:
    sheet = samples.swapped()
    rows = port_table(sheet, check(sheet))
    hit = {(row.part, row.lead, row.pad) for row in rows if 1 in row.findings}
    assert hit == {("video unit", "TX", "T4"), ("video unit", "RX", "R4")}


def test_loose_lead_carries_the_findings_number() -> None:
    sheet = samples.loose()
    rows = port_table(sheet, check(sheet))
    assert (
        PortTableRow("lead", "receiver", "RX", "listens", findings=(1,), note="not wired") in rows
    )


@pytest.mark.parametrize(
    ("code", "subject", "hit"),
    [
        ("rail-overloaded", "5V", ("free", "5V")),
        ("supply-too-high", "video unit", ("lead", "10V")),
        ("port-taken", "UART4", ("lead", "R4")),
        ("inversion-missing", "R1", ("lead", "R1")),
        ("protocol-unset", "receiver", ("part", "")),
        ("motor-link-tight", "ESC", ("esc", "")),
        ("pack-too-high", "ESC", ("esc", "")),
        ("output-missing", "ESC channel 2", ("output", "M2")),
        ("output-doubled", "M3", ("output", "M3")),
        ("pack-too-high", "board", ("board", "")),
        ("port-too-slow", "SOFT1", ("taken", "")),
    ],
)
def test_finding_lands_on_its_subject(code: str, subject: str, hit: tuple[str, str]) -> None:
    rows = port_table(example_sheet.sheet(), [samples.finding(code, subject)])
    assert hit in {(row.kind, row.pad) for row in rows if row.findings == (1,)}


@given(sheets())
def test_every_finding_and_lead_is_in_the_table(sheet: Sheet) -> None:
    findings = check(sheet)
    rows = port_table(sheet, findings)
    assert {n for row in rows for n in row.findings} == set(range(1, len(findings) + 1))
    told = {(row.part, row.lead, row.pad) for row in rows if row.kind == "lead"}
    assert {(w.device, w.lead, w.pad) for w in sheet.wires} <= told


def test_the_drawing_has_no_words_of_its_own() -> None:
    sheet = example_sheet.sheet()
    rows = port_table(sheet, [])
    told = " ".join(f"{r.part} {r.lead} {r.pad} {r.port} {r.note}" for r in rows).casefold()
    told += " " + " ".join(pad.pad for pad in sheet.board.pads).casefold()
    legend = {"how to read it", "talks", "listens", "both", "a point goes into a notch."}
    legend |= {"a right pair crosses, a swapped pair runs straight.", "to the board"}
    legend |= {"from the board", "to the pad of that name", "nose", "esc, four motors"}
    for text, _ in looking.texts(looking.parse(port_diagram(sheet, []))):
        said = text.casefold().replace("→", " ").replace("←", " ")
        if said not in legend:
            assert all(word.strip(",") in told for word in said.split()), text

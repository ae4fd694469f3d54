"""Every component in every state on one page, for those who build pages and for axe.

Shop, people, makes and figures in it are invented.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field
from starlette.datastructures import FormData

from server.drawing.craft.motors import craft_from_above
from server.drawing.craft.poses import pose
from server.drawing.limits import limits_line
from server.drawing.port_diagram.diagram import port_diagram
from server.drawing.port_diagram.mini_map import mini_map
from server.drawing.port_diagram.table_text import PortTableRow, port_table
from server.drawing.radio.switch import switch_range
from server.places import TEMPLATES
from server.trade.finding import Finding
from server.trade.rules import check
from server.trade.sheet import Sheet, read_toml
from server.trade.ticket import State
from server.web.site import forms
from server.web.site.forms import Form, Number
from server.web.site.page import View, render
from server.web.site.parts import QueueLine, StageCell, StepRow, TitleBlock, TitleCell, Way
from server.web.site.routing import Desk

desk = Desk()


class Sample(BaseModel):
    """One field of each kind."""

    name: Annotated[str, Field(description="the customer's name")]
    volts: Annotated[Number | None, Field(gt=0)] = None
    batteries: Annotated[
        int,
        Field(json_schema_extra={"missing": "Say how many batteries were handed in; 0 if none."}),
    ]
    radios: int = 0
    pad: str = ""
    look: Annotated[str, Field(description="how the batteries look")] = ""
    condition: list[str] = []
    words: str = ""
    due: str = ""
    agreed: bool
    photo: str = ""
    narrow: list[str] = []
    amps: Number | None = None


@dataclass(frozen=True)
class BookPage(View):
    """Everything that the book's pages show."""

    template: ClassVar[str] = "components/parts.html"
    scripts: ClassVar[tuple[str, ...]] = ("counter",)
    title: ClassVar[str] = "Parts in every state"
    desk: ClassVar[str] = "queue"

    block: TitleBlock
    lines: tuple[QueueLine, ...]
    form: Form[Sample]
    reading: Form[Sample]
    cells: tuple[StageCell, ...]
    rows: tuple[StepRow, ...]
    ways: tuple[Way, ...]
    findings: tuple[Finding, ...]
    rows_of_map: tuple[PortTableRow, ...]
    drawn: dict[str, str]


BLOCK = TitleBlock(
    412,
    (
        TitleCell("Craft", "Kittiwake", "5 in, 6S LiPo, props-in"),
        TitleCell("Board", "Brindle F7", "Alder & Finch, STM32F722"),
        TitleCell("Map", "Revision 4", "14:20 today"),
        TitleCell("Promised", "Fri 27 Nov", "17:00, in 2 days"),
        TitleCell("On the bench", "Kit Thorne", "Bench 2"),
    ),
)
LINES = (
    QueueLine(
        398,
        "#",
        "Gannet, 7 in",
        "Odile Marsh, Brindle F7",
        "Never set up; receiver replaced",
        State.ON_HOLD,
        "waiting for a part, 3 days",
        "1 day late",
        "was Tue 24 Nov",
        "Open",
        "#",
        late=True,
    ),
    QueueLine(
        415,
        "#",
        "Dunlin, 3 in",
        "Tamsin Rook, Tessera H7",
        "Settings wiped after an update; no picture",
        "waiting",
        "since 09:12",
        "today 16:00",
        "about 55 min",
        "Take",
        "/tickets/415/holder",
        posts=True,
    ),
    QueueLine(
        409,
        "#",
        "Kestrel, 5 in",
        "Jory Fenn, Wicket F4",
        "Flips at take-off",
        "to-sign",
        "Bo Larch, 34 of 34 steps",
        "today 17:00",
        "1 caution to accept",
        "Read",
        "#",
    ),
    QueueLine(
        411,
        "#",
        "Knot, 2.5 in",
        "Ansel Birk, Wicket F4 mini",
        "A motor silent",
        "bench",
        "Bo Larch, 9 of 30 steps",
        "today 17:30",
        "bench 1, USB",
        "Open",
        "#",
    ),
    QueueLine(
        401,
        "#",
        "Curlew, 5 in",
        "Wren Ashdown, Brindle F7",
        "Drifts",
        "ready",
        "since Monday",
        "told Mon 15:10",
        "48.00 owed",
        "Hand over",
        "#",
    ),
)
CELLS = (
    StageCell(1, "Looks", "#", ("done",) * 4),
    StageCell(2, "Keep", "#", ("done",) * 2),
    StageCell(3, "Level", "#", ("done",) * 3),
    StageCell(4, "Ports", "#stage-ports", ("done", "stale", "stale")),
    StageCell(5, "Radio", "#", ("done", "out", "done")),
    StageCell(6, "Switches", "#", ("done", "done")),
    StageCell(7, "Motors", "#do-now", ("done", "done", "todo", "todo", "todo", "todo"), True),
    StageCell(8, "Picture", "#", ("todo",)),
    StageCell(9, "Battery", "#", ("todo", "unsent")),
    StageCell(10, "Check", "#", ("todo",) * 4),
    StageCell(11, "Sign", "#", ("locked",)),
)
ROWS = (
    StepRow(
        "looks",
        "1.1",
        "done",
        "Look at every solder joint",
        target="no bridge, none dull",
        found="clean",
        initials="KT",
        at="13:21",
    ),
    StepRow(
        "port-uart1",
        "4.1",
        "done",
        "Set UART1 to receiver input",
        target="CRSF, 420,000 baud",
        target_note="on UART1",
        found="UART1, CRSF",
        initials="KT",
        at="13:52",
    ),
    StepRow(
        "port-uart4",
        "4.2",
        "stale",
        "Set UART4 to overlay",
        "Map revision 4 moved the video unit’s TX and RX after this was recorded.",
        "MSP, 115,200 baud",
        "on UART4",
        "UART4, MSP",
        "under map revision 3",
        "KT",
        "13:55",
        4,
    ),
    StepRow(
        "throttle-ends",
        "5.2",
        "out",
        "Read the throttle’s ends and centre",
        target="995 to 1005 µs",
        target_note="low end",
        found="1118 µs",
        found_note="113 µs over the limit",
        initials="KT",
        at="14:05",
    ),
    StepRow(
        "spin",
        "7.4",
        "locked",
        "Spin the motors one by one",
        "Opens when the battery is connected with no propeller on the craft.",
    ),
    StepRow(
        "overlay",
        "8.1",
        "unsent",
        "See the flight data on the picture",
        target="shown",
        found="shown",
        found_note="on this tablet, not sent yet",
    ),
)
WAYS = (
    Way("4.2 and 4.3 again: the map changed", "#step-port-uart4", step="stale", revision=4),
    Way("5.2 out of limits", "#step-throttle-ends", step="out"),
    Way(
        "Accept caution 2: no telemetry from position unit",
        "#finding-2",
        severity="caution",
        finding=2,
    ),
)


@desk.get("/parts")
def show_parts(request: Request) -> Response:
    """The whole book, with a form that was sent half filled."""
    sheet = read_toml((TEMPLATES / "components/sheet.toml").read_bytes())
    found = tuple(check(sheet))
    sent = FormData(
        [
            ("name", "Perrin Vale"),
            ("batteries", ""),
            ("radios", "1"),
            ("volts", "abc"),
            ("look", "swollen"),
            ("condition", "lens"),
        ]
    )
    view = BookPage(
        BLOCK,
        LINES,
        forms.read(Sample, sent),
        Form.blank(Sample, amps="0.41"),
        CELLS,
        ROWS,
        WAYS,
        found,
        port_table(sheet, found),
        _drawn(sheet, found),
    )
    return render(request, view)


def _drawn(sheet: Sheet, found: tuple[Finding, ...]) -> dict[str, str]:
    turns = {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"}
    seen = turns | {"RL": "cw"}
    return {
        "wide": port_diagram(sheet, found, "wide", "book-wide"),
        "narrow": port_diagram(sheet, found, "narrow", "book-narrow"),
        "mini": mini_map(sheet, "book-mini"),
        "limits": limits_line(Decimal("0.24"), Decimal("0.48"), None, "A", "book-limits"),
        "over": limits_line(995, 1005, 1118, "µs", "book-over"),
        "pose": pose("level", "book-pose"),
        "craft": craft_from_above(turns, seen, ids_prefix="book-craft"),
        "switch": switch_range(1000, 2000, radio_off=988, arms=(1500, 2200), ids_prefix="book-arm"),
    }

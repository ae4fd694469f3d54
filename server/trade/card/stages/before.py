"""Stage 'before power': nothing is connected."""

from collections.abc import Iterator

from server.trade.card.bench import COLD, Chapter, Draft, SheetView
from server.trade.card.kinds.cells import Cells
from server.trade.card.kinds.choice import Choice
from server.trade.card.spec import Option
from server.trade.card.stages import hazards
from server.trade.card.text import counted, listed, places
from server.trade.tables.cells import CELLS

REF_PRACTICE = "common practice, no source; a record of the condition found: 14 CFR 43.9(a)(1)"

_LEFT_ON = "Take every propeller off, put them in the bag with the ticket's tag, then count again."


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Propellers, looks, leads, shorts, and the pack that will be connected."""
    yield _propellers()
    yield _looks(bench)
    if bench.wire_parts:
        yield _leads(bench)
    yield _shorts(bench)
    yield _pack(bench)


def keys(bench: SheetView) -> tuple[str, ...]:
    """The steps of this stage, each of which comes before a battery."""
    return tuple(draft.key for draft in drafts(bench))


def _propellers() -> Draft:
    counts = tuple(
        Option(str(count), counted(count, "propeller") + " on the craft", do=_LEFT_ON)
        for count in range(1, 5)
    )
    return Draft(
        key="before/propellers",
        title="Take the propellers off and put them away",
        do=(
            "Take all propellers off.",
            "Put them in the bag with the ticket's tag.",
            "Look at the craft and count the propellers that are on it.",
        ),
        target="0 propellers on the craft",
        why="A motor can start whenever a battery is connected, whatever the settings say.",
        states=COLD,
        evidence=Choice(
            "How many propellers are on the craft now?",
            (Option("0", "0 propellers on the craft", passes=True), *counts),
        ),
        hazard=hazards.PROPELLERS,
    )


def _looks(bench: SheetView) -> Draft:
    mend = (
        "Mend it, or write it on the ticket and ask the supervisor, before anything is connected."
    )
    return Draft(
        key="before/looks",
        title="Look the craft over",
        do=(
            "Look at board, ESC and leads under good light.",
            "Look for burnt parts, lifted pads, loose strands and water marks.",
            "See that every lead is tied down and no propeller or motor can reach one.",
        ),
        target="no damage, leads clear of propellers and motors",
        why="What was damaged before the job has to be known before power makes it worse.",
        source=REF_PRACTICE,
        states=COLD,
        evidence=Choice(
            "What do you see?",
            (
                Option("sound", "Nothing damaged, leads tied down", passes=True),
                Option("damage", "Something is burnt, lifted or wet", do=mend),
                Option("loose", "A lead is loose, too long or in reach of a propeller", do=mend),
            ),
        ),
        parts=bench.board_parts,
    )


def _leads(bench: SheetView) -> Draft:
    leads = len(bench.sheet.wires) + len(bench.output_parts)
    right = "Correct the port map if the craft is right, or move the lead if the map is right."
    resolder = "Solder it again and look under the glass."
    return Draft(
        key="before/leads",
        title="Follow every lead to its pad",
        do=(
            "Take the port map beside the craft.",
            "Follow each lead from the part to the board and read the pad's label.",
            "Look at each joint: bright, wetted, no bridge to the next pad.",
        ),
        target=f"{counted(leads, 'lead')} on the pads of the map",
        why="Every target of this card rests on the map. A lead on another pad makes them wrong.",
        states=COLD,
        evidence=Choice(
            "Where are the leads?",
            (
                Option("as-mapped", "Every lead is on the pad of the map", passes=True),
                Option("elsewhere", "A lead is on another pad", do=right),
                Option("joint", "A joint is dull, cracked or bridged", do=resolder),
            ),
        ),
        parts=bench.joint_parts,
        hazard=hazards.IRON,
        joints=True,
    )


def _rails_in_use(bench: SheetView) -> list[str]:
    """Rails that a wired lead or the pack itself feeds, the pack first."""
    wired = {wire.pad for wire in bench.sheet.wires}
    rails = {pad.rail for pad in bench.sheet.board.pads if pad.rail and pad.pad in wired}
    return ["pack", *sorted(rails - {"pack"})]


def _shorts(bench: SheetView) -> Draft:
    rails = _rails_in_use(bench)
    named = ["battery lead" if rail == "pack" else rail for rail in rails]
    find = "Find the bridge or the shorted part and clear it. Connect nothing meanwhile."
    return Draft(
        key="before/shorts",
        title="Measure for shorts",
        do=(
            "Set the meter to continuity.",
            "Measure plus to minus on the battery lead, then the other way round.",
            *(f"Measure the {rail} rail to ground." for rail in named[1:]),
        ),
        target=f"no short: {listed(named)} to ground",
        why="A short found with a meter costs nothing. One found with a battery burns the board.",
        states=COLD,
        evidence=Choice(
            "What does the meter do?",
            (
                Option("none", "No steady tone anywhere", passes=True),
                Option("steady", "A steady tone on the battery lead or a rail", do=find),
            ),
        ),
        parts={"rails in use": ", ".join(rails)} | bench.joint_parts,
        hazard=hazards.SHORT,
        joints=True,
    )


def _pack(bench: SheetView) -> Draft:
    battery = bench.sheet.battery
    cell = CELLS[battery.chemistry]
    empty, full = cell.empty * battery.cells, cell.full * battery.cells
    return Draft(
        key="before/pack",
        title="Count the pack's cells and measure it",
        do=(
            "Take the pack that will be connected, and leave it unplugged.",
            "Count its cells: the balance lead has one wire more than there are cells.",
            "Measure its volts on the balance lead, the first wire to the last.",
        ),
        target=f"{battery.cells} cells, {places(empty, 2)} to {places(full, 2)} V",
        why="Volts alone do not tell a full pack from a low one with a cell more.",
        source=f"{cell.source}; counting the balance lead: common practice, no source",
        states=COLD,
        evidence=Cells(battery.chemistry, battery.cells),
        parts={"battery": f"{battery.cells} cells {battery.chemistry}"},
        hazard=hazards.LIPO,
    )


CHAPTER = Chapter("before", "Before power", "Looks", drafts)

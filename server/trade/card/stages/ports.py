"""Stage 'ports': one step a port that a link uses, then the look after the restart."""

from collections.abc import Iterator

from server.trade.card.bench import ROLE_WORDS, SETTING, Chapter, Draft, SheetView, slug
from server.trade.card.kinds.choice import Choice
from server.trade.card.kinds.tick import Tick
from server.trade.card.spec import Option
from server.trade.card.text import counted, listed
from server.trade.card.wording import KNOWN
from server.trade.wiring.portmap import BOTH, PortRow

STUCK = "ports/stuck"
_SOURCE = "one port, one job; look again after the restart: common practice, no source"


def drafts(bench: SheetView) -> Iterator[Draft]:
    """The ports in use in the board's order; none where no link uses a port."""
    used = [row for row in bench.rows if row.device]
    for row in used:
        yield _port(row)
    if used:
        yield _stuck(bench, used)


def work(row: PortRow) -> str:
    """What the port does, in words that hold for any set-up program."""
    return ROLE_WORDS.get(row.role or "") or _sorted(row.device)


def row_words(row: PortRow) -> str:
    """'receiver input, CRSF, 420000 8N1', for a target or a basis."""
    protocol = _sorted(row.protocol) or "protocol not chosen"
    return ", ".join(filter(None, (work(row), protocol, _sorted(row.line))))


def parts(row: PortRow) -> dict[str, str]:
    """The row as a basis."""
    hears = f"{_sorted(row.hears_pad)} from {_sorted(row.hears_lead)}"
    talks = f"{_sorted(row.talks_pad)} to {_sorted(row.talks_lead)}"
    return {
        f"{row.port}": f"{_sorted(row.device)}, {row_words(row)}",
        f"{row.port} hears on": hears if row.hears_pad else "nothing",
        f"{row.port} talks on": talks if row.talks_pad else "nothing",
    }


def _sorted(names: str | None) -> str:
    """Names that share a port, in an order that does not hang on the sheet's own."""
    return BOTH.join(sorted((names or "").split(BOTH)))


def _port(row: PortRow) -> Draft:
    protocol = row.protocol or "the protocol that the map will name"
    baud = "" if BOTH in (row.line or "") else (row.line or "").split(" ")[0]
    return Draft(
        key=f"ports/{slug(row.port)}",
        title=f"Set {row.port} to {work(row)}" + (f", {row.protocol}" if row.protocol else ""),
        do=(
            f"Set {row.port} to {work(row)}, {protocol}.",
            *((f"Where a speed is asked for, set {baud} baud.",) if baud.isdigit() else ()),
            f"Set nothing else on {row.port}.",
        ),
        target=", ".join([row.port, row_words(row)]),
        why=f"The map has the {row.device} on {row.port}{_pads(row)}.",
        source=_SOURCE,
        states=SETTING,
        evidence=Tick(", ".join(filter(None, (row.port, row.protocol)))),
        parts=parts(row),
        setting=setting if (setting := f"port-{row.role}") in KNOWN else None,
    )


def _pads(row: PortRow) -> str:
    pads = [pad for pad in dict.fromkeys((row.hears_pad, row.talks_pad)) if pad]
    return f", pads {listed(pads)}" if len(pads) > 1 else "".join(f", pad {pad}" for pad in pads)


def _stuck(bench: SheetView, used: list[PortRow]) -> Draft:
    rows = "the row" if len(used) == 1 else f"all {len(used)} rows"
    names = listed(row.port for row in used)
    taken = [f"{row.port}, {row.taken_by}" for row in bench.rows if row.taken_by]
    once_more = (
        "Set that row again by itself, save, restart, look. If it clears once more, two rows ask "
        "for one thing: look at the port map."
    )
    return Draft(
        key=STUCK,
        title="Save, restart, look again that every row stuck",
        do=(
            "Save the settings and restart the board.",
            f"Compare {rows} with the map: {names}.",
            "See that no other port is set to anything.",
            *((f"Leave the port that the board itself uses: {listed(taken)}.",) if taken else ()),
        ),
        target=f"{counted(len(used), 'row')}: {names}",
        why="A port set wrongly can clear itself at the restart, without a word.",
        source=_SOURCE,
        states=SETTING,
        evidence=Choice(
            "What do the rows show after the restart?",
            (
                Option("stuck", f"{counted(len(used), 'row')} as set, nothing else", passes=True),
                Option("cleared", "A row changed or cleared itself", do=once_more),
                Option(
                    "another",
                    "A port is set that the map does not use",
                    do="Set it to nothing, save, restart, look again.",
                ),
            ),
        ),
        parts={name: value for row in used for name, value in parts(row).items()},
        setting="save-restart",
        after=tuple(f"ports/{slug(row.port)}" for row in used),
    )


CHAPTER = Chapter("ports", "Ports", "Ports", drafts)

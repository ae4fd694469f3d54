"""Stage 'position and other parts': one step for each further part that is fitted."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.card.bench import (
    LIVE,
    SEEN_ANYHOW,
    Chapter,
    Draft,
    Joined,
    SheetView,
    slug,
)
from server.trade.card.kinds.choice import Choice
from server.trade.card.kinds.value import Field, Value
from server.trade.card.spec import Option
from server.trade.card.stages import hazards
from server.trade.power import Power

_OTHERS = {
    "esc-telemetry": ("Read what the ESC reports", "volts and temperature, changing", LIVE),
    "ground-link": (
        "See the link with the ground",
        "the ground station shows the craft",
        SEEN_ANYHOW,
    ),
    "other": ("See the {device} work", "it answers and its reading changes", SEEN_ANYHOW),
}
_LEADS = {
    "led": ("Light the {device}", "it lights as set", LIVE),
    "buzzer": ("Hear the {device}", "it sounds when asked to", LIVE),
    "sda": ("See the {device} answer", "it is found and its reading changes", SEEN_ANYHOW),
    "analogue": ("Read the {device}", "its reading changes with what it measures", LIVE),
}


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Position units first, then links, then parts on single leads."""
    for link in bench.of_role("position"):
        yield _fix(link)
    for link in bench.of_role(*_OTHERS):
        title, target, states = _OTHERS[link.role]
        yield _works(
            f"parts/{slug(link.device)}/{link.role}", link.device, title, target, states, link.parts
        )
    for device, lead, signal, pads in bench.leads_of(*_LEADS):
        title, target, states = _LEADS[signal]
        parts = {f"{device} {lead}": ", ".join(pads)}
        yield _works(
            f"parts/{slug(device)}/lead/{slug(lead)}", device, title, target, states, parts
        )


def _fix(link: Joined) -> Draft:
    wires = f"See that the {link.device} has power, then look at its leads on the port map."
    return Draft(
        key=f"parts/{slug(link.device)}/position",
        title=f"Get a fix with the {link.device}",
        do=(
            "Put the craft where it sees open sky, on USB power.",
            "Wait up to five minutes, then read the number of satellites.",
        ),
        target="6 satellites or more",
        why="Six are the least with which a home position is worth keeping.",
        source="common practice, no source: 6 to 8 satellites and low dilution before flight",
        states=SEEN_ANYHOW,
        evidence=Value(
            fields=(
                Field(
                    "satellites",
                    "Satellites in the fix",
                    "",
                    low=Decimal(6),
                    under="Give it open sky and a few minutes more, then read again.",
                ),
            ),
            instead=(Option("silent", "No data from the unit at all", do=wires),),
        ),
        parts=link.parts,
        off_bench=True,
    )


def _works(
    key: str,
    device: str,
    title: str,
    target: str,
    states: frozenset[Power],
    parts: dict[str, str],
) -> Draft:
    live = states is LIVE
    return Draft(
        key=key,
        title=title.format(device=device),
        do=(
            "Connect the battery." if live else "Connect the USB lead.",
            f"See that the {device} does what it is there for.",
        ),
        target=target,
        why=f"The {device} is on the map, so the owner counts on it.",
        states=states,
        evidence=Choice(
            f"What does the {device} do?",
            (
                Option("works", "It works", passes=True),
                Option("silent", "Nothing", do="Look at its power and its lead on the port map."),
                Option("wrong", "Something else", do="Look at its setting, then at its lead."),
            ),
        ),
        parts=parts,
        hazard=hazards.PROPELLERS if live else None,
    )


CHAPTER = Chapter("parts", "Position and other parts", "Parts", drafts)

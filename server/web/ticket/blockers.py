"""What stands in the way of signing, as links: every thing on the sign page, in brief on the card.

The one place where an obstacle becomes a link; both pages show the same things.
"""

from collections.abc import Iterable
from itertools import groupby
from urllib.parse import quote

from server.records.tickets import TicketHead
from server.trade.power import Power
from server.trade.ticket import State
from server.web.site.page import PowerStrip
from server.web.site.parts import StepState, Way
from server.work.bench.progress import Obstacle, Work

_ORDER = ("stop", "stale", "out", "more", "todo", "caution", "eyes")
_MARKS: dict[str, StepState] = {
    "stale": "stale",
    "out": "out",
    "more": "more",
    "todo": "todo",
    "eyes": "locked",
}
_TAIL = {
    "stale": "to do again",
    "out": "out of limits",
    "more": "begun, not complete",
    "todo": "to do",
}


def numbered(work: Work) -> dict[str, int]:
    """The findings' numbers, the same as on the map, by their keys."""
    return {finding.key: n for n, finding in enumerate(work.facts.findings, 1)}


def every(work: Work, number: int, obstacles: Iterable[Obstacle]) -> tuple[Way, ...]:
    """Each thing with the page that clears it: stops, steps by how they stand, cautions, eyes."""
    numbers = numbered(work)
    return tuple(_way(each, number, numbers) for each in _sorted(obstacles))


def around(head: TicketHead, strip: PowerStrip) -> tuple[Way, ...]:
    """What of the ticket itself stands in the way: whose bench, and what is connected."""
    here, found = f"/tickets/{head.number}", []
    if head.state in (State.WAITING, State.ON_HOLD):
        held = head.state == State.ON_HOLD
        says = f"On hold: {head.hold_reason}" if held else "On nobody’s bench: take it"
        found.append(Way(says, f"{here}/card", step="locked"))
    if strip.state is not Power.COLD:
        on = f"on {strip.state}" if strip.known else "perhaps connected"
        says = f"The craft is {on}: unplug it"
        found.append(Way(says, f"{here}/power", step="locked"))
    return tuple(found)


def brief(work: Work, number: int, obstacles: Iterable[Obstacle]) -> tuple[Way, ...]:
    """The same for the side of the card, where steps to do, and steps to do again, are one line."""
    numbers, found = numbered(work), []
    for kind, group in groupby(_sorted(obstacles), key=lambda each: each.kind):
        same = list(group)
        if kind in ("todo", "stale"):
            found.append(_counted(same, kind, number))
        else:
            found += [_way(each, number, numbers) for each in same]
    return tuple(found)


def _sorted(obstacles: Iterable[Obstacle]) -> list[Obstacle]:
    return sorted(obstacles, key=lambda each: _ORDER.index(each.kind))


def _way(obstacle: Obstacle, ticket: int, numbers: dict[str, int]) -> Way:
    here, kind = f"/tickets/{ticket}", obstacle.kind
    if kind == "stop":
        number = numbers[obstacle.finding]
        says = f"Stop {number}: {obstacle.says}"
        return Way(says, f"{here}/map#finding-{number}", severity="stop", finding=number)
    if kind == "caution":
        number = numbers[obstacle.finding]
        says = f"Accept caution {number}: {obstacle.says}"
        return Way(says, f"{here}/signature#finding-{number}", severity="caution", finding=number)
    if kind == "eyes":
        return Way(obstacle.says, f"{here}/moves", step=_MARKS[kind])
    says = f"{obstacle.says}: {_TAIL[kind]}"
    return Way(says, f"{here}/steps/{quote(obstacle.step)}", step=_MARKS[kind])


def _counted(steps: list[Obstacle], kind: str, ticket: int) -> Way:
    first = f"/tickets/{ticket}/steps/{quote(steps[0].step)}"
    numbers = [each.says.split(" ", 1)[0] for each in steps]
    if kind == "stale":
        return Way(f"{_listed(numbers)} {_TAIL[kind]}", first, step=_MARKS[kind])
    count = "1 step" if len(steps) == 1 else f"{len(steps)} steps"
    return Way(f"{count} {_TAIL[kind]}, {numbers[0]} first", first, step=_MARKS[kind])


def _listed(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]

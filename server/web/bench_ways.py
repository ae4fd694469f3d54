"""What stands in the way of signing, as one list of links: the same on the card and to sign."""

from collections.abc import Iterable
from urllib.parse import quote

from server.web.parts import StepState, Way
from server.work.standing_of import Obstacle, Work

_KINDS = ("stale", "out", "more", "todo")
_TAIL = {
    "stale": "to do again",
    "out": "out of limits",
    "more": "begun, not complete",
}


def ways(work: Work, number: int) -> tuple[Way, ...]:
    """Stops first, then steps by how they stand, then cautions nobody took on."""
    found = work.obstacles
    at = f"/tickets/{number}"
    order = {finding.key: n for n, finding in enumerate(work.facts.findings, 1)}
    stops = [_finding(o, at, order) for o in found if o.kind == "stop"]
    steps = [_steps([o for o in found if o.kind == kind], kind, at) for kind in _KINDS]
    cautions = [_finding(o, at, order) for o in found if o.kind == "caution"]
    return (*stops, *(way for kind in steps for way in kind), *cautions)


def _finding(obstacle: Obstacle, at: str, order: dict[str, int]) -> Way:
    number = order[obstacle.finding]
    if obstacle.kind == "stop":
        return Way(obstacle.says, f"{at}/map#finding-{number}", severity="stop", finding=number)
    says = f"Accept caution {number}: {obstacle.says}"
    return Way(says, f"{at}/signature#finding-{number}", severity="caution", finding=number)


def _steps(found: list[Obstacle], kind: str, at: str) -> list[Way]:
    if not found:
        return []
    first = f"{at}/steps/{quote(found[0].step)}"
    if kind == "todo":
        steps = "1 step" if len(found) == 1 else f"{len(found)} steps"
        return [Way(f"{steps} to do, {_number(found[0])} first", first, step="todo")]
    if kind == "stale":
        return [Way(f"{_listed(_number(o) for o in found)} {_TAIL[kind]}", first, step="stale")]
    mark: StepState = "out" if kind == "out" else "more"
    where = ((o, f"{at}/steps/{quote(o.step)}") for o in found)
    return [Way(f"{_number(o)} {_TAIL[kind]}", href, step=mark) for o, href in where]


def _number(obstacle: Obstacle) -> str:
    return obstacle.says.split(" ", 1)[0]


def _listed(words: Iterable[str]) -> str:
    every = list(words)
    return " and ".join([", ".join(every[:-1]), every[-1]]) if len(every) > 1 else every[0]

"""Whose port it is: one link a side, not the board's own, and fast enough."""

from collections.abc import Iterable, Iterator
from functools import partial

from server.trade.exact import plain
from server.trade.rules.advice import Advice
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.wiring.leads import LinkView
from server.trade.wiring.wiring import Joint, Wiring


def _links(joints: Iterable[Joint]) -> list[LinkView]:
    return list(dict.fromkeys(j.lead.link for j in joints if j.lead and j.lead.link))


def _judged(joints: Iterable[Joint]) -> list[Joint]:
    """Without those whose link has no protocol in force."""
    return [j for j in joints if j.lead and j.lead.link and j.lead.link.protocol]


@rule("port-shared", "stop")
def port_shared(wiring: Wiring) -> Iterator[Hit]:
    """Two links that need one side of a port, or both sides with unlike lines."""
    for port, joints in wiring.claims.items():
        if port in wiring.takers:
            yield from _with_built_in(wiring.takers[port], _links(joints), port)
            continue
        claims = _judged(joints)
        links = _links(claims)
        if len(links) < 2:
            continue
        if any(_contested([j for j in claims if side in j.sides]) for side in ("rx", "tx")):
            yield _shared(port, links, "need one side of it")
        elif _unlike(claims):
            yield _shared(port, links, "have unlike line settings")


def _with_built_in(takers: list[LinkView], wired: list[LinkView], port: str) -> Iterator[Hit]:
    """What else is on the port of a built-in link, which has both sides of it."""
    first, *others = takers
    for view in others:
        last = f"Say which of the two is inside {port}: nothing on the board can be moved."
        yield _beside(first, view, port, last)
    for view in wired:
        last = f"Take the {view.name} off {port}; the board has no free port that suits."
        yield _beside(first, view, port, last)


def _beside(first: LinkView, view: LinkView, port: str, last: str) -> Hit:
    says = f"{sentence(f'the {view.name}')} is on {port}, which is the built-in {first.name}'s."
    return Hit(view.device.device, says, partial(_reseat, [view], last))


def _reseat(links: list[LinkView], otherwise: str, advice: Advice) -> str:
    return advice.for_links(links, otherwise)


def _contested(side: list[Joint]) -> bool:
    """Whether two links need the side; two drivers of one pad are crowded, and no more."""
    if len(_links(side)) < 2:
        return False
    return len({j.wire.pad for j in side}) > 1 or not all(j.drives for j in side)


def _unlike(claims: list[Joint]) -> bool:
    """Whether a link that only hears and one that only talks need the port set differently."""
    sides: dict[LinkView, set[str]] = {view: set() for view in _links(claims)}
    for joint in claims:
        if joint.lead is not None and joint.lead.link is not None:
            sides[joint.lead.link].update(joint.sides)
    hears = {view.line for view, has in sides.items() if has == {"rx"}}
    talks = {view.line for view, has in sides.items() if has == {"tx"}}
    return bool(hears and talks) and len(hears | talks) > 1


def _shared(port: str, links: list[LinkView], why: str) -> Hit:
    who = together(f"the {view.name} ({view.protocol.name})" for view in links if view.protocol)
    last = f"Give one of them a port of its own; the board has none free that suits {port}'s links."
    says = f"{sentence(who)} share {port} and {why}."
    return Hit(port, says, partial(_reseat, links, last))


@rule("port-taken", "stop")
def port_taken(wiring: Wiring) -> Iterator[Hit]:
    """A link on a port that a part of the board has already."""
    for port, joints in wiring.claims.items():
        taken_by = wiring.ports[port].taken_by
        if taken_by is None:
            continue
        takers = wiring.takers.get(port)
        if takers is None and joints:
            links = _links(joints)
            last = f"Leave {port} to the {taken_by}; the board has no free port that suits."
            yield _taken(port, taken_by, links, "wired to", last)
        strangers = [view for view in takers or [] if view.device.device != taken_by]
        if strangers:
            last = f"One of the two is not on {port}: look at the board, and put the sheet right."
            yield _taken(port, taken_by, strangers, "built in on", last)


def _taken(port: str, taken_by: str, links: list[LinkView], how: str, last: str) -> Hit:
    who = together(f"the {view.name}" for view in links)
    are = "is" if len(links) == 1 else "are"
    says = f"{sentence(who)} {are} {how} {port}, which the board's {taken_by} uses."
    return Hit(port, says, partial(_reseat, links, last))


@rule("port-too-slow", "stop", source="the board's own data sheet for the port's highest rate")
def port_too_slow(wiring: Wiring) -> Iterator[Hit]:
    """A link that is faster than its port."""
    for port, joints in wiring.claims.items():
        most = wiring.ports[port].max_baud
        if most is None:
            continue
        links = [*wiring.takers.get(port, ()), *_links(_judged(joints))]
        fast = [view for view in links if _baud(view) > most]
        if fast:
            who = together(
                f"the {view.name} speaks {view.protocol.name} at {view.protocol.baud} Bd"
                for view in fast
                if view.protocol
            )
            says = f"{sentence(who)}, and {port} goes up to {plain(most)} Bd."
            yield Hit(port, says, partial(_reseat, fast, _faster(fast, port)))


def _faster(fast: list[LinkView], port: str) -> str:
    inside = [view for view in fast if view.link.inside is not None]
    if inside:
        return f"Look again which port the {inside[0].name} is inside; it cannot be moved."
    return f"No free port is fast enough for the {fast[0].name}: free one, or fit a slower part."


def _baud(view: LinkView) -> int:
    return (view.protocol and view.protocol.baud) or 0

"""Whose port it is: one link a side, not the board's own, and fast enough."""

from collections.abc import Iterable, Iterator

from server.trade.exact import plain
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import MOST_NAMED, move_link, sentence, together
from server.trade.tables.serial import SerialLink
from server.trade.wiring.leads import LinkView
from server.trade.wiring.wiring import Joint, Wiring


def _links(joints: Iterable[Joint]) -> list[LinkView]:
    return list(dict.fromkeys(j.lead.link for j in joints if j.lead and j.lead.link))


def _judged(joints: Iterable[Joint]) -> list[Joint]:
    """Without those whose link has no protocol in force."""
    return [j for j in joints if j.lead and j.lead.link and j.lead.link.protocol]


def _line(protocol: SerialLink | None) -> tuple[int | None, str, bool] | None:
    return None if protocol is None else (protocol.baud, protocol.frame, protocol.inverted)


@rule("port-shared", "stop")
def port_shared(wiring: Wiring) -> Iterator[Hit]:
    """Two links that need one side of a port, or both sides with unlike lines."""
    for port, joints in wiring.claims.items():
        claims = _judged(joints)
        links = _links(claims)
        if len(links) < 2:
            continue
        if any(_contested([j for j in claims if side in j.sides]) for side in ("rx", "tx")):
            yield _shared(wiring, port, links, "need one side of it")
        elif _unlike(claims):
            yield _shared(wiring, port, links, "have unlike line settings")


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
    hears = {_line(view.protocol) for view, has in sides.items() if has == {"rx"}}
    talks = {_line(view.protocol) for view, has in sides.items() if has == {"tx"}}
    return bool(hears and talks) and len(hears | talks) > 1


def _shared(wiring: Wiring, port: str, links: list[LinkView], why: str) -> Hit:
    who = together(f"the {view.name} ({view.protocol.name})" for view in links if view.protocol)
    last = f"Give one of them a port of its own; the board has none free that suits {port}'s links."
    advice = (move_link(wiring, view, "") for view in links[:-MOST_NAMED:-1])
    return Hit(port, f"{sentence(who)} share {port} and {why}.", next(filter(None, advice), last))


@rule("port-taken", "stop")
def port_taken(wiring: Wiring) -> Iterator[Hit]:
    """A link on a port that a part of the board has already."""
    for port, joints in wiring.claims.items():
        taken_by = wiring.ports[port].taken_by
        if taken_by is not None and joints:
            links = _links(joints)
            who = together(f"the {view.name}" for view in links)
            are = "is" if len(links) == 1 else "are"
            last = f"Leave {port} to the {taken_by}; the board has no free port that suits."
            yield Hit(
                port,
                f"{sentence(who)} {are} wired to {port}, which the board's {taken_by} uses.",
                move_link(wiring, links[0], last),
            )


@rule("port-too-slow", "stop", source="the board's own data sheet for the port's highest rate")
def port_too_slow(wiring: Wiring) -> Iterator[Hit]:
    """A link that is faster than its port."""
    for port, joints in wiring.claims.items():
        most = wiring.ports[port].max_baud
        if most is None:
            continue
        fast = [view for view in _links(_judged(joints)) if _baud(view) > most]
        if fast:
            who = together(
                f"the {view.name} speaks {view.protocol.name} at {view.protocol.baud} Bd"
                for view in fast
                if view.protocol
            )
            yield Hit(
                port,
                f"{sentence(who)}, and {port} goes up to {plain(most)} Bd.",
                move_link(
                    wiring, fast[0], f"Free a faster port for the {fast[0].name} than {port}."
                ),
            )


def _baud(view: LinkView) -> int:
    return (view.protocol and view.protocol.baud) or 0

"""The leads of one link: each on the right side, on one port, none missing, none twice."""

from collections.abc import Iterator
from functools import partial

from server.trade.finding import Bars, Severity
from server.trade.rules.advice import Advice
from server.trade.rules.registry import PRACTICE, Hit, rule
from server.trade.rules.wording import MOST_NAMED, sentence, together
from server.trade.tables.serial import Need
from server.trade.wiring.leads import LeadView, LinkView
from server.trade.wiring.wiring import Joint, WireStatus, Wiring

HALF_DUPLEX = (
    "ST RM0360, RM0456 and RM0041, single-wire half-duplex: the TX pin is used, the RX pin is not"
)


def _reseat(view: LinkView, otherwise: str, advice: Advice) -> str:
    return advice.for_links([view], otherwise)


def _standing(wiring: Wiring, view: LinkView, standing: WireStatus) -> list[Joint]:
    leads = [lead.name for lead in view.leads]
    joints = [j for name in leads for j in wiring.joints_of(view.device.device, name)]
    return [joint for joint in joints if joint.standing is standing]


@rule("lines-swapped", "stop")
def lines_swapped(wiring: Wiring) -> Iterator[Hit]:
    """A talking lead on a pad where the board talks, or a listening one where it listens."""
    for view in wiring.links:
        swapped = _standing(wiring, view, WireStatus.SWAPPED)
        if swapped:
            where = ", and ".join(
                f"{j.lead.says} is on {j.wire.pad}, where the board"
                f" {'talks' if j.lead.drives else 'listens'} too"
                for j in swapped[:MOST_NAMED]
                if j.lead is not None
            )
            do = partial(_reseat, view, _exchange(swapped))
            yield Hit(view.device.device, f"{sentence(where)}.", do)


def _exchange(swapped: list[Joint]) -> str:
    pads = together(joint.wire.pad for joint in swapped)
    return f"Talk goes to listen: take the lead off {pads}; the board has no free port that suits."


@rule("one-wire-misplaced", "stop", source=HALF_DUPLEX)
def one_wire_misplaced(wiring: Wiring) -> Iterator[Hit]:
    """The single lead of a half-duplex link on a pad where the board only listens."""
    for view in wiring.links:
        for joint in _standing(wiring, view, WireStatus.MISPLACED):
            if joint.lead is not None:
                yield Hit(
                    view.device.device,
                    f"{sentence(joint.lead.says)} is a half-duplex wire on {joint.wire.pad}, where"
                    " the board can only listen.",
                    partial(
                        _reseat,
                        view,
                        f"Take {joint.lead.says} off {joint.wire.pad}: it belongs on a TX pad, and"
                        " none that suits is free.",
                    ),
                )


@rule("lead-forked", "stop", bars="signing power")
def lead_forked(wiring: Wiring) -> Iterator[Hit]:
    """A signal lead on two pads, or a power lead that joins two rails."""
    for lead in wiring.leads.values():
        if lead.kind == "ground" or not lead.in_use or not lead.needed:
            continue
        if len(wiring.joints_of(lead.device.device, lead.name)) < 2:
            continue
        joints = [j for j in wiring.joints_of(lead.device.device, lead.name) if j.fits]
        if len(joints) < 2:
            continue
        pads = together(joint.wire.pad for joint in joints)
        if lead.kind != "power":
            says = f"{sentence(lead.says)} is wired to {pads} at once."
            last = f"Leave {lead.says} on one of {pads}."
            yield Hit(lead.device.device, says, partial(_one_end, lead, last))
        elif len(wiring.fed_by[lead.device.device]) > 1:
            rails = together(wiring.fed_by[lead.device.device])
            says = f"{sentence(lead.says)} on {pads} joins the rails {rails}."
            last = f"Leave {lead.says} on one rail only: {pads}."
            yield Hit(lead.device.device, says, partial(_one_end, lead, last), bars=Bars.POWER)


def _one_end(lead: LeadView, otherwise: str, advice: Advice) -> str:
    return advice.for_leads([lead], otherwise)


@rule("link-split", "stop")
def link_split(wiring: Wiring) -> Iterator[Hit]:
    """A link whose two leads are on two ports."""
    for view in wiring.links:
        seats = wiring.seats(view)
        ports = {
            kind: {j.pad.port for j in seats if j.pad and j.lead and j.lead.kind == kind}
            for kind in ("tx", "rx")
        }
        # A forked lead that shares one of its ports with the other lead is a fork and no split.
        if ports["tx"] and ports["rx"] and not ports["tx"] & ports["rx"]:
            where = together(
                f"{j.wire.lead} on {j.wire.pad} ({j.pad.port})" for j in seats if j.pad is not None
            )
            yield Hit(
                view.device.device,
                f"{sentence(f'the {view.name}')} has its two leads on two ports: {where}.",
                partial(
                    _reseat, view, f"Put both leads of the {view.name} on one port; none is free."
                ),
            )


@rule("link-incomplete", "stop", "caution", source=PRACTICE)
def link_incomplete(wiring: Wiring) -> Iterator[Hit]:
    """A lead that the protocol needs and that is not there or not wired."""
    for view in wiring.links:
        protocol = view.protocol
        if protocol is None:
            continue
        missing = [kind for kind in _kinds(view) if not _wired(wiring, view, kind)]
        if not missing:
            continue
        must = any(view.need(kind) is Need.MUST for kind in missing)
        which = together(_missing(view, kind) for kind in missing)
        lost = "the link does not work" if must else protocol.lost
        yield Hit(
            view.device.device,
            f"{sentence(f'the {view.name}')} speaks {protocol.name}, and {which}: {lost}.",
            partial(_complete, view, missing),
            Severity.STOP if must else Severity.CAUTION,
            protocol.source,
        )


def _kinds(view: LinkView) -> list[str]:
    kinds = [view.single] if view.single else ["tx", "rx"]
    return [kind for kind in kinds if view.need(kind) is not Need.NO]


def _wired(wiring: Wiring, view: LinkView, kind: str) -> bool:
    return bool(wiring.joints_of(view.device.device, view.lead(kind)))


def _missing(view: LinkView, kind: str) -> str:
    name = view.lead(kind)
    if name is not None:
        return f"its {name} is not wired"
    return {"tx": "it has no lead to talk on", "rx": "it has no lead to listen on"}[kind]


def _complete(view: LinkView, missing: list[str], advice: Advice) -> str:
    if any(view.lead(kind) is None for kind in missing):
        last = f"Choose a protocol that the {view.name}'s leads can carry, or another part."
        return advice.for_links([view], last)
    names = together(view.lead(kind) or "" for kind in missing)
    last = f"Wire {names} of the {view.name}; no port that suits is free."
    return advice.for_links([view], last)

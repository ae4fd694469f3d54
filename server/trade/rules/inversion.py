"""Inverted and upright lines, and the pads, ports and chips that turn them over."""

from collections.abc import Iterator
from functools import partial

from server.trade.rules.advice import Advice
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import together
from server.trade.sheet import Pad
from server.trade.tables.chips import family, inversion
from server.trade.tables.serial import SERIAL, SerialLink
from server.trade.wiring.leads import LeadView, LinkView
from server.trade.wiring.wiring import Wiring

NOT_LISTED = "common practice, no source: the chip is not in the table, its data sheet decides"


def _placed(wiring: Wiring) -> Iterator[tuple[LeadView, LinkView, Pad, SerialLink]]:
    """Serial leads in their place, with a protocol in force."""
    for joints in wiring.claims.values():
        for joint in joints:
            lead, pad = joint.lead, joint.pad
            if lead is not None and pad is not None and lead.link and lead.link.protocol:
                yield lead, lead.link, pad, lead.link.protocol


def _unaided(wiring: Wiring, chip: bool | None) -> Iterator[Hit]:
    """Inverted links on pads without an inverter, where the chip's own inversion is `chip`."""
    mcu = wiring.sheet.board.mcu
    if inversion(mcu) is not chip:
        return
    row = family(mcu)
    for lead, view, pad, protocol in _placed(wiring):
        if not view.inverted or pad.inverter or wiring.ports[pad.port or ""].software:
            continue
        comes = "is" if protocol.inverted else f"of the {view.name} comes"
        says = f"{protocol.name} {comes} inverted, {pad.pad} has no inverter"
        cannot = f"the {mcu} cannot invert" if row else f"whether the {mcu} inverts is not known"
        yield Hit(
            pad.pad,
            f"{says}, and {cannot}.",
            partial(_helped, lead, view, pad.pad, protocol),
            source=row.source if row else NOT_LISTED,
        )


def _helped(lead: LeadView, view: LinkView, pad: str, protocol: SerialLink, advice: Advice) -> str:
    """The plan's way; else what is left: the part's own upright pad, or an inverter one way."""
    look = f"No free pad of this board inverts {protocol.name}"
    if family(advice.wiring.sheet.board.mcu) is None:
        look = f"Look in the chip's data sheet whether it inverts {protocol.name}; if not"
    last = f"{look}: use the part's own upright pad where it has one, and say so in the sheet"
    if not lead.half_duplex:
        last += f", or put an inverter between {lead.says} and {pad}"
    upright = [word for word in view.link.speaks if not SERIAL[word].inverted]
    if upright and view.link.inverted is None:
        last += f", or set it to {together(upright, 'or')} where it finds a port"
    return advice.for_links([view], f"{last}.")


@rule("inversion-missing", "stop")
def inversion_missing(wiring: Wiring) -> Iterator[Hit]:
    """An inverted protocol with neither pad nor chip to invert it."""
    yield from _unaided(wiring, False)


@rule("inversion-unknown", "caution")
def inversion_unknown(wiring: Wiring) -> Iterator[Hit]:
    """An inverted protocol on a plain pad of a chip that the table does not know."""
    yield from _unaided(wiring, None)


@rule("inversion-unwanted", "stop")
def inversion_unwanted(wiring: Wiring) -> Iterator[Hit]:
    """An upright protocol on a pad with a fixed inverter."""
    for lead, view, pad, protocol in _placed(wiring):
        if pad.inverter and not view.inverted:
            last = f"Free a pad without an inverter for {lead.says}."
            yield Hit(
                pad.pad,
                f"{pad.pad} has an inverter, and the {view.name}'s {protocol.name} is upright.",
                partial(_upright, view, last),
                source=protocol.source,
            )


def _upright(view: LinkView, last: str, advice: Advice) -> str:
    return advice.for_links([view], last)

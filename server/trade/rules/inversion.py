"""Inverted and upright lines, and the pads and chips that turn them over."""

from collections.abc import Iterator

from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import move_link
from server.trade.sheet import Pad
from server.trade.tables.chips import family, inversion
from server.trade.tables.serial import SerialLink
from server.trade.wiring.leads import LeadView
from server.trade.wiring.wiring import Wiring

NOT_LISTED = "common practice, no source: the chip is not in the table, its data sheet decides"


def _placed(wiring: Wiring) -> Iterator[tuple[LeadView, Pad, SerialLink]]:
    """Serial leads in their place, with a protocol in force."""
    for joints in wiring.claims.values():
        for joint in joints:
            lead, pad = joint.lead, joint.pad
            if lead is not None and pad is not None and lead.link and lead.link.protocol:
                yield lead, pad, lead.link.protocol


def _unaided(wiring: Wiring, chip: bool | None) -> Iterator[Hit]:
    """Inverted links on pads without an inverter, where the chip's own inversion is `chip`."""
    mcu = wiring.sheet.board.mcu
    if inversion(mcu) is not chip:
        return
    row = family(mcu)
    for lead, pad, protocol in _placed(wiring):
        if protocol.inverted and not pad.inverter and lead.link is not None:
            says = f"{protocol.name} is inverted, {pad.pad} has no inverter"
            cannot = (
                f"the {mcu} cannot invert" if row else f"whether the {mcu} inverts is not known"
            )
            yield Hit(
                pad.pad,
                f"{says}, and {cannot}.",
                move_link(wiring, lead.link, _otherwise(lead, pad, protocol)),
                source=row.source if row else NOT_LISTED,
            )


def _otherwise(lead: LeadView, pad: Pad, protocol: SerialLink) -> str:
    says = f"No free pad of this board inverts {protocol.name}: put an inverter between"
    return f"{says} {lead.says} and {pad.pad}, or set it to an upright protocol."


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
    for lead, pad, protocol in _placed(wiring):
        if pad.inverter and not protocol.inverted and lead.link is not None:
            yield Hit(
                pad.pad,
                f"{pad.pad} has an inverter, and the {lead.link.name}'s {protocol.name} is"
                " upright.",
                move_link(
                    wiring,
                    lead.link,
                    f"Free a pad without an inverter for {lead.says}.",
                ),
                source=protocol.source,
            )

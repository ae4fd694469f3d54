"""What to do about a finding: the moves and settings of the plan, put into a sentence.

Advice comes from the plan and from nowhere else, so two findings never send two leads to one pad.
The plan is made when the first advice is asked for: most looks at a sheet ask for none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from server.trade.rules.wording import MOST_NAMED, sentence, together
from server.trade.wiring.leads import LeadView, LinkView
from server.trade.wiring.wiring import Wiring

if TYPE_CHECKING:
    from server.trade.planner import Change, Move, Plan

Ends = Iterable[tuple[str, str]]


class Advice:
    """The plan of one sheet, asked for what it does about some leads, links or channels."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring

    @cached_property
    def plan(self) -> Plan:
        """The plan of the sheet."""
        from server.trade.planner import plan  # the planner asks the rules in its turn

        return plan(self.wiring.sheet)

    def for_links(self, links: Iterable[LinkView], otherwise: str) -> str:
        """What the plan does with any of these links, else `otherwise`."""
        views = list(links)
        ends = [(view.device.device, lead.name) for view in views for lead in view.leads]
        return self._say(self._of_leads(ends), self._changes(views), otherwise)

    def for_leads(self, leads: Iterable[LeadView], otherwise: str) -> str:
        """What the plan does with any of these leads and the links they are of."""
        views = list(leads)
        links = list(dict.fromkeys(lead.link for lead in views if lead.link is not None))
        ends = [(lead.device.device, lead.name) for lead in views]
        ends += [(link.device.device, lead.name) for link in links for lead in link.leads]
        return self._say(self._of_leads(ends), self._changes(links), otherwise)

    def for_ends(self, ends: Ends, otherwise: str) -> str:
        """What the plan does with any of these leads, as (device, lead)."""
        return self._say(self._of_leads(ends), [], otherwise)

    def for_channels(self, channels: Iterable[str], otherwise: str) -> str:
        """What the plan does with any of these ESC channels."""
        wanted = set(channels)
        moves = [move for move in self.plan.moves if move.channel and move.lead in wanted]
        return self._say(moves, [], otherwise)

    def _of_leads(self, ends: Ends) -> list[Move]:
        wanted = set(ends)
        return [m for m in self.plan.moves if not m.channel and (m.device, m.lead) in wanted]

    def _changes(self, links: Iterable[LinkView]) -> list[Change]:
        wanted = {(view.device.device, view.index) for view in links}
        return [each for each in self.plan.changes if (each.device, each.link) in wanted]

    def _say(self, moves: list[Move], changes: list[Change], otherwise: str) -> str:
        steps = [self._set(change) for change in changes]
        steps += [_moved(move) for move in self._with_those_before(moves)]
        return f"{sentence(together(steps))}." if steps else otherwise

    def _set(self, change: Change) -> str:
        part = self.wiring.devices[change.device]
        name = change.device if len(part.links) == 1 else f"{change.device}'s {change.setting}"
        return f"set the {name} to {change.end}"

    def _with_those_before(self, moves: list[Move]) -> list[Move]:
        """The moves, and of the plan's others those that clear the pads they go to."""
        found = set(moves)
        ends = {move.end for move in moves if move.end is not None}
        while len(found) < MOST_NAMED:
            clearing = {
                move
                for move in self.plan.moves
                if move.start in ends and move not in found and self._stands_in_the_way(move)
            }
            if not clearing:
                break
            found |= clearing
            ends = {move.end for move in clearing if move.end is not None}
        return [move for move in self.plan.moves if move in found]

    def _stands_in_the_way(self, move: Move) -> bool:
        lead = self.wiring.leads.get((move.device, move.lead))
        return move.channel or (lead is not None and lead.drives)


def _moved(move: Move) -> str:
    if move.channel:
        return f"wire ESC channel {move.lead} to {move.end}"
    lead = f"the {move.device}'s {move.lead}"
    if move.start is None:
        return f"wire {lead} to {move.end}"
    if move.end is None:
        return f"take {lead} off {move.start}"
    return f"move {lead} from {move.start} to {move.end}"


Adviser = Callable[[Advice], str]

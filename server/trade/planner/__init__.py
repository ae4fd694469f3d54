"""The port plan: the fewest lead moves, then setting changes, that clear the wiring findings.

`plan(sheet)` gives a `Plan`; `apply(sheet, plan)` the sheet as it is afterwards. `WIRING_CODES` are
the findings that a plan sets out to clear. How the optimum is proven: docs/planner.md.
"""

from server.trade.planner.applying import OtherSheet, apply
from server.trade.planner.outcome import Change, Move, Plan, Unsolved
from server.trade.planner.planning import plan

WIRING_CODES = frozenset(
    {
        "pad-unknown",
        "lead-unknown",
        "device-unknown",
        "pad-crowded",
        "pad-wrong-signal",
        "lines-swapped",
        "lead-forked",
        "link-split",
        "link-incomplete",
        "port-shared",
        "port-taken",
        "port-too-slow",
        "inversion-missing",
        "inversion-unknown",
        "inversion-unwanted",
        "one-wire-misplaced",
        "protocol-unspoken",
        "protocol-unset",
        "supply-too-high",
        "supply-too-low",
        "supply-missing",
        "ground-missing",
        "rail-overloaded",
        "rail-near-limit",
        "level-too-high",
        "output-missing",
        "output-doubled",
        "timer-clash",
        "bus-incomplete",
        "motor-link-unset",
    }
)

__all__ = ["WIRING_CODES", "Change", "Move", "OtherSheet", "Plan", "Unsolved", "apply", "plan"]

"""What can be wrong with a sheet: one pure function for each finding code.

Every module in this package is imported here, so a rule is registered by being written.
"""

import pkgutil
from collections.abc import Iterator
from importlib import import_module

from server.trade.finding import RANK, Bars, Finding, Severity
from server.trade.rules.registry import RULES, Doubled, Hit, Rule, rule
from server.trade.sheet import Sheet
from server.trade.wiring.wiring import Wiring

for _module in pkgutil.iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

__all__ = ["RULES", "Doubled", "Hit", "Rule", "check", "rule"]


def check(sheet: Sheet) -> list[Finding]:
    """All findings of the sheet, each once: stops first, then board order, then sheet order."""
    wiring = Wiring(sheet)
    found = [_finding(each, hit) for each in RULES.values() for hit in each.find(wiring)]
    if len(found) < 2:
        return found
    place = {name: at for at, name in enumerate(dict.fromkeys(_names(wiring)))}
    last = len(place)
    return sorted(
        dict.fromkeys(found), key=lambda f: (RANK[f.severity], place.get(f.subject, last), f.code)
    )


def _finding(each: Rule, hit: Hit) -> Finding:
    severity = each.severities[0] if hit.severity is None else hit.severity
    return Finding(
        code=each.code,
        severity=severity,
        # Until each rule says what it bars, a stop bars every battery.
        bars=Bars.BATTERY if severity is Severity.STOP else Bars.NOTHING,
        subject=hit.subject,
        says=hit.says,
        do=hit.do,
        source=hit.source or each.source,
    )


def _names(wiring: Wiring) -> Iterator[str]:
    """Every name that a finding may be about, in the board's order, then the sheet's."""
    for names in (wiring.pads, wiring.ports, wiring.rails, wiring.devices):
        yield from names
    for wire in wiring.sheet.wires:
        yield from (wire.device, wire.pad)
    yield from wiring.sheet.esc.outputs.values()

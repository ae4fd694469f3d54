"""What can be wrong with a sheet: one pure function for each finding code.

Every module in this package is imported here, so a rule is registered by being written.
"""

import pkgutil
from collections.abc import Collection, Iterable, Iterator
from functools import partial
from importlib import import_module

from server.trade.finding import RANK, AdvisedFinding, Bars, Finding, Severity
from server.trade.rules.advice import Advice
from server.trade.rules.registry import RULES, Doubled, Hit, Rule, rule
from server.trade.sheet import Sheet
from server.trade.wiring.wiring import Wiring

for _module in pkgutil.iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

__all__ = ["RULES", "Doubled", "Hit", "Rule", "check", "findings_of", "rule"]


def check(sheet: Sheet, confirmed: Collection[str] = ()) -> list[Finding]:
    """All findings of the sheet, each once: stops first, then board order, then sheet order.

    `confirmed` are keys of notes that somebody looked at and said to be right: they are left out.
    Only notes can be; a stop or a caution is found whatever is said.
    """
    wiring = Wiring(sheet)
    found = findings_of(wiring, RULES.values())
    if confirmed:
        found = [each for each in found if not _is_quiet(each, confirmed)]
    if len(found) < 2:
        return found
    place = {name: at for at, name in enumerate(dict.fromkeys(_names(wiring)))}
    last = len(place)
    return sorted(
        dict.fromkeys(found), key=lambda f: (RANK[f.severity], place.get(f.subject, last), f.code)
    )


def findings_of(wiring: Wiring, rules: Iterable[Rule]) -> list[Finding]:
    """What these rules find, in their order."""
    advice = Advice(wiring)
    return [_finding(each, hit, advice) for each in rules for hit in each.find(wiring)]


def _is_quiet(found: Finding, confirmed: Collection[str]) -> bool:
    return found.severity is Severity.NOTE and found.key in confirmed


def _finding(each: Rule, hit: Hit, advice: Advice) -> Finding:
    severity = each.severities[0] if hit.severity is None else hit.severity
    bars = Bars.NOTHING if severity is not Severity.STOP else hit.bars or each.bars[0]
    source = hit.source or each.source
    if isinstance(hit.do, str):
        return Finding(each.code, severity, hit.subject, hit.says, hit.do, source, bars)
    advise = partial(hit.do, advice)
    return AdvisedFinding(each.code, severity, hit.subject, hit.says, advise, source, bars)


def _names(wiring: Wiring) -> Iterator[str]:
    """Every name that a finding may be about, in the board's order, then the sheet's."""
    for names in (wiring.pads, wiring.ports, wiring.rails, wiring.devices):
        yield from names
    for wire in wiring.sheet.wires:
        yield from (wire.device, wire.pad)
    yield from wiring.sheet.esc.outputs.values()

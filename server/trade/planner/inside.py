"""Built-in parts: nothing of them moves, and what they are set to can be proposed."""

from collections.abc import Iterator

from server.trade.planner.facts import SheetIndex, in_force
from server.trade.planner.outcome import Change, Unsolved
from server.trade.planner.places import is_fast
from server.trade.planner.reasons import setting_name
from server.trade.sheet.parts import Link
from server.trade.tables.serial import SERIAL


def built_in(facts: SheetIndex) -> Iterator[Change | Unsolved]:
    """A setting for every built-in link that has none that works, and what no setting clears."""
    seen: set[str] = set()
    for device, number, link in facts.built_in():
        part = f"{link.role} link"
        setting = _setting(facts, link)
        if setting:
            name = setting_name(facts, device.device, number)
            yield Change(device.device, name, link.set_to, setting, number)
        elif setting is None:
            why = f"no protocol that it speaks is slow enough for {link.inside}"
            yield Unsolved(device.device, part, why)
        port = facts.ports.get(link.inside or "")
        if port is None:
            continue
        if port.taken_by not in (None, device.device):
            why = f"the sheet says that {port.port} is taken by the {port.taken_by}"
            yield Unsolved(device.device, part, why)
        if port.port in seen:
            why = f"another built-in part is inside {port.port} too"
            yield Unsolved(device.device, part, why)
        seen.add(port.port)


def _setting(facts: SheetIndex, link: Link) -> str | None:
    """The protocol to set; '' where none needs setting, None where none would do."""
    port = facts.ports.get(link.inside or "")
    now = in_force(link)
    fits = [word for word in link.speaks if port is None or is_fast(port, SERIAL[word])]
    if not link.speaks or (now is not None and now.name in fits):
        return ""
    return fits[0] if fits else None

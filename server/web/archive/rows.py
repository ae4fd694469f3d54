"""What the archive says of a past build: its small map, what was wrong, and what it took."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

from sqlalchemy import Connection

from server.drawing.port_diagram.mini_map import mini_map
from server.records import archive
from server.records.archive import PastRow
from server.trade.choices import SYMPTOMS
from server.trade.rules import RULES
from server.trade.sheet import read_json
from server.web.site.filters import THIN, many

Lead = tuple[str, str, str]


@dataclass(frozen=True)
class PastBuild:
    """One past build as the list shows it."""

    row: PastRow
    mini: str
    parts: str
    wrong: tuple[str, ...]
    took: str


@dataclass(frozen=True)
class _Look:
    mini: str
    parts: str


def past(connection: Connection, these: Sequence[int]) -> tuple[PastBuild, ...]:
    """These builds, newest first."""
    rows = archive.past(connection, these)
    tickets, firsts = [row.ticket_id for row in rows], [row.first_id for row in rows]
    symptoms = archive.symptoms(connection, tickets)
    found = archive.findings(connection, firsts)
    leads = archive.leads(connection, list({*firsts, *(row.id for row in rows)}))
    taken = archive.taken(connection, tickets)
    return tuple(
        PastBuild(
            row,
            *_shown(row),
            _wrong(symptoms.get(row.ticket_id, []), found.get(row.first_id, [])),
            _took(row, leads, taken.get(row.ticket_id)),
        )
        for row in rows
    )


def finding_says(code: str) -> str:
    """A finding's code in words, without the part at fault."""
    rule = RULES.get(code)
    words = (rule.find.__doc__ or "").strip().splitlines() if rule else []
    return words[0].rstrip(".") if words else code


def moved(before: Sequence[Lead], after: Sequence[Lead]) -> int:
    """How many leads were on other pads at the end than on the first map."""
    was, now = _pads(before), _pads(after)
    return sum(was.get(lead) != now.get(lead) for lead in was.keys() | now.keys())


def lasted(time: timedelta) -> str:
    """52 min, 1 h 24 min, 3 days."""
    minutes = max(1, round(time.total_seconds() / 60))
    if minutes < 60:
        return f"{minutes}{THIN}min"
    if minutes < 24 * 60:
        return f"{minutes // 60}{THIN}h {minutes % 60:02d}{THIN}min"
    return many(round(minutes / (24 * 60)), "day")


def _pads(leads: Sequence[Lead]) -> dict[tuple[str, str], frozenset[str]]:
    pads: dict[tuple[str, str], frozenset[str]] = {}
    for device, lead, pad in leads:
        pads[device, lead] = pads.get((device, lead), frozenset()) | {pad}
    return pads


def _shown(row: PastRow) -> tuple[str, str]:
    look = _look(row.id, row.sheet)
    return look.mini, look.parts


@lru_cache(maxsize=2048)
def _look(build: int, sheet_json: str) -> _Look:
    # A build never changes, and reading and drawing one takes 6 ms: 25 of them would be the page.
    sheet = read_json(sheet_json.encode())
    size = f"{sheet.craft.size_in.normalize():f}{THIN}in, " if sheet.craft.size_in else ""
    devices = ", ".join(device.device for device in sheet.devices)
    parts = f"{size}{sheet.battery.cells}S. {devices[:1].upper()}{devices[1:]}"
    return _Look(mini_map(sheet, f"mini-{build}"), parts)


def _wrong(symptoms: Sequence[str], found: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    told = tuple(f"{SYMPTOMS[code]}." for code in symptoms)
    return told + tuple(f"{finding_says(code)}: {subject}." for code, subject in found)


def _took(row: PastRow, leads: Mapping[int, Sequence[Lead]], taken: datetime | None) -> str:
    count = moved(leads.get(row.first_id, ()), leads.get(row.id, ()))
    said = f"{many(count, 'lead')} moved"
    return f"{said}, {lasted(row.signed_at - taken)}" if taken else said

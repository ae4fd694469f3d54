"""The test log of a ticket as plain JSON values, in the ledger's shape."""

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from server.ledger.document import KIND, STATEMENT, VERSION
from server.ledger.parts import moment
from server.records.builds import RevisionRow
from server.records.evidence import AcceptedRow, EntryRow, EventRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade import sheet as sheets
from server.trade.events import Event
from server.trade.finding import Finding
from server.trade.power import POWERED, Power
from server.trade.rules_version import rules_version
from server.work.bench.progress import Work
from server.work.bench.second_eyes import covers
from server.work.bench.step_status import StepStatus
from server.work.customers.redaction import Veil
from server.work.port_map.facts import facts_of
from server.work.shop import Person


@dataclass(frozen=True)
class Attached:
    """A file that evidence names."""

    digest: str
    name: str
    kind: str
    bytes: int


@dataclass(frozen=True)
class Record:
    """All that a log is written from."""

    shop: ShopRow
    head: TicketHead
    work: Work
    revisions: tuple[RevisionRow, ...]
    entries: tuple[EntryRow, ...]
    events: tuple[EventRow, ...]
    attached: tuple[Attached, ...]

    @property
    def mark(self) -> str:
        """Changes when anything of the record does: names what somebody has read before signing."""
        told = (
            self.head.revision,
            [e.id for e in self.entries],
            [e.at for e in self.events],
            [(a.finding_key, a.reason) for a in self.work.accepted],
            self.shop.name,
        )
        return hashlib.sha256(repr(told).encode()).hexdigest()[:16]


def log_document(
    record: Record,
    *,
    number: int,
    previous: str | None,
    corrects: str | None,
    by: Person,
    kid: str,
    at: datetime,
    words: str,
) -> dict[str, Any]:
    """The document that is signed. `number` and `previous` are its place in the shop's chain.

    It is kept for ever, so nothing goes in that names the customer: their name and telephone are
    taken out of every free text, and whoever signs reads it so.
    """
    head, sheet = record.head, record.work.facts.sheet
    document = {
        "kind": KIND,
        "version": VERSION,
        "number": number,
        "previous": previous,
        "corrects": corrects,
        "shop": {"name": record.shop.name, "place": record.shop.address or None},
        "ticket": f"{head.number:04d}",
        "craft": {
            "name": sheet.craft.name,
            "props": sheet.craft.props,
            "cells": sheet.battery.cells,
        },
        "board": {
            "maker": sheet.board.maker,
            "model": sheet.board.model,
            "mcu": sheet.board.mcu,
            "firmware": None,
            "target": None,
        },
        "sheet": sheets.to_document(sheet),
        "rules_version": rules_version(),
        "findings": [*_standing_findings(record), *_cleared_findings(record)],
        "stages": _stages(record, by, at),
        "power": list(_power(record.events)),
        "attachments": [vars(a) for a in record.attached],
        "work": words,
        "completed_at": moment(max((e.at for e in record.entries), default=at)),
        "done_by": _people(record.entries),
        "signed_by": {"name": by.name, "initials": by.initials, "key": kid},
        "signed_at": moment(at),
        "statement": STATEMENT,
    }
    veil = Veil([head.customer], [head.phone])
    for part, key in _free_places(document):
        part[key] = veil.hide_all(part[key])
    return document


def free_text(log: dict[str, Any]) -> list[str]:
    """Every text of a log that somebody wrote freely, as JSON where it has parts."""
    return [json.dumps(part[key], ensure_ascii=False) for part, key in _free_places(log)]


def _free_places(log: dict[str, Any]) -> Iterator[tuple[dict[str, Any], str]]:
    """Where free text stands: its part, and the key in it. Anything else is ours or the map's."""
    yield log, "work"
    yield log["craft"], "name"
    yield log["sheet"]["craft"], "name"
    yield from ((f["settled"], "reason") for f in log["findings"] if f["settled"])
    for stage in log["stages"]:
        for entry in (e for step in stage["steps"] for e in step["evidence"]):
            yield from ((entry, key) for key in ("found", "says"))
    yield from ((row, "because") for row in log["power"])
    yield from ((row, "name") for row in log["attachments"])


def _standing_findings(record: Record) -> list[dict[str, Any]]:
    taken = {row.finding_key: row for row in record.work.accepted}
    return [_finding(f, _accepted(taken.get(f.key))) for f in record.work.facts.findings]


def _accepted(row: AcceptedRow | None) -> dict[str, Any] | None:
    if row is None:
        return None
    return {"how": "accepted", "by": row.by_name, "reason": row.reason, "at": moment(row.at)}


def _cleared_findings(record: Record) -> list[dict[str, Any]]:
    """What earlier revisions of the map were found with, and which revision cleared it."""
    found: dict[str, Finding] = {}
    cleared: dict[str, RevisionRow] = {}
    for revision in record.revisions:
        now = {f.key: f for f in facts_of(revision.sheet).findings}
        cleared |= dict.fromkeys(found.keys() - now.keys() - cleared.keys(), revision)
        for key in now:
            cleared.pop(key, None)
        found |= now
    return [
        _finding(
            found[key],
            {
                "how": "cleared",
                "by": revision.by_name,
                "reason": f"Map revision {revision.revision}.",
                "at": moment(revision.created_at),
            },
        )
        for key, revision in sorted(cleared.items())
    ]


def _finding(finding: Finding, settled: dict[str, Any] | None) -> dict[str, Any]:
    # What a finding barred on the way is over once the log is signed: its format has no place.
    told = {key: str(value) for key, value in finding.as_json().items() if key != "bars"}
    return {**told, "settled": settled}


def _stages(record: Record, by: Person, at: datetime) -> list[dict[str, Any]]:
    by_key = {s.step.key: s for s in record.work.steps}
    looks = [e for e in record.events if e.kind == Event.PROPS]
    return [
        {
            "key": stage.key,
            "title": stage.title,
            "seen_by": _seen(by, at) if covers(record.shop.second_eyes, stage.key) else None,
            "steps": [_step(by_key[step.key], looks) for step in stage.steps],
        }
        for stage in record.work.facts.card.stages
    ]


def _seen(by: Person, at: datetime) -> dict[str, str]:
    return {"by": by.name, "at": moment(at)}


def _step(standing: StepStatus, looks: list[EventRow]) -> dict[str, Any]:
    step = standing.step
    entries = sorted((*standing.older, *standing.entries), key=lambda e: e.id)
    return {
        "key": step.key,
        "number": step.number,
        "title": step.title,
        "target": step.target or None,
        "needed": True,
        "evidence": [_entry(e, step.basis, looks, {o.id for o in entries}) for e in entries],
    }


def _entry(entry: EntryRow, basis: str, looks: list[EventRow], here: set[int]) -> dict[str, Any]:
    powered = Power(entry.power) in POWERED
    look = next((e for e in reversed(looks) if e.at <= entry.at), None) if powered else None
    return {
        "entry": f"e{entry.id}",
        "what": entry.kind,
        "found": json.loads(entry.answer),
        "verdict": entry.verdict,
        "says": entry.says or None,
        "by": entry.by_name,
        "at": moment(entry.made_at),
        "received": moment(entry.at),
        "power": entry.power,
        "props_off": {"by": look.by_name, "at": moment(look.at)} if look else None,
        "replaces": f"e{entry.replaces_id}" if entry.replaces_id in here else None,
        "stale": entry.basis != basis,
    }


def _power(events: Iterable[EventRow]) -> Iterable[dict[str, Any]]:
    kinds = {Event.POWER: "state", Event.PROPS: "props-off", Event.LAPSED: "lapsed"}
    for event in events:
        if event.kind in kinds:
            yield {
                "event": kinds[Event(event.kind)],
                "state": event.power,
                "by": event.by_name,
                "at": moment(event.at),
                "because": event.says,
            }


def _people(entries: Iterable[EntryRow]) -> list[dict[str, str]]:
    names = {e.by_name: e.initials for e in entries}
    return [{"name": name, "initials": initials} for name, initials in names.items()]

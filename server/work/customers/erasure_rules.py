"""What becomes of each text that is held on a customer when they are erased.

Every text column of every table that leads to a customer stands here, in `FATES` or in `KEPT`; a
test holds a new column to it.
"""

import json
import secrets
from collections.abc import Callable
from typing import Any

from server.records.held import Row
from server.trade import sheet as sheets
from server.work.customers.redaction import Veil
from server.work.port_map import edit

NOBODY = "the customer"
Fate = Callable[[Any, Row, Veil], Any]


def _goes(_value: Any, _row: Row, _veil: Veil) -> str:
    return ""


def _veiled(value: Any, _row: Row, veil: Veil) -> str:
    return veil.hide(value)


def _veiled_json(value: Any, _row: Row, veil: Veil) -> str:
    told = json.loads(value)
    hidden = veil.hide_all(told)
    return str(value) if hidden == told else json.dumps(hidden, sort_keys=True)


def _nobody(value: Any, _row: Row, _veil: Veil) -> str:
    return NOBODY if value else ""


def _customer(_value: Any, row: Row, _veil: Veil) -> str:
    return f"Customer {row['id']}"


def _craft(_value: Any, row: Row, veil: Veil) -> str:
    """The craft's name stands in its logs; one that names the customer does not, and goes."""
    return f"Craft {row['id']}" if veil.hides(row["name"]) else row["name"]


def _sheet(value: Any, _row: Row, veil: Veil) -> str:
    sheet = sheets.read_json(value.encode())
    if not veil.hides(sheet.craft.name):
        return str(value)
    return sheets.dump_json(edit.for_craft(sheet, veil.hide(sheet.craft.name)))


FATES: dict[str, dict[str, Fate]] = {
    "customer": {
        "name": _customer,
        "name_key": lambda *a: _customer(*a).casefold(),
        "phone": _goes,
        "phone_key": _goes,
        "email": _goes,
    },
    "craft": {"name": _craft, "name_key": lambda *a: _craft(*a).casefold(), "mark": _goes},
    "ticket": {
        "hold_reason": _veiled,
        "own_words": _goes,
        "condition": _veiled,
        "status_code": lambda *_: secrets.token_urlsafe(16),
        "collected_by": _nobody,
    },
    "agreement": {"lines": _veiled_json, "who": _nobody},
    "attachment": {"name": lambda *_: "erased"},
    "booking": {"answers": lambda *_: "{}"},
    "build": {"sheet": _sheet},
    "map_draft": {"sheet": _sheet},
    "estimate_line": {"says": _veiled},
    "receipt": {"signature": _goes, "kept_back": _veiled, "owed_note": _veiled},
    "ticket_event": {"says": _veiled},
    "acceptance": {"reason": _veiled},
    "evidence": {"answer": _veiled_json, "found": _veiled, "says": _veiled, "do": _veiled},
    "fault_cause": {"words": _veiled},
}
KEPT: dict[str, frozenset[str]] = {
    "ticket": frozenset({"state", "bench", "battery_look", "power", "family"}),
    "erasure": frozenset({"said"}),
    "agreement": frozenset({"basis", "currency", "how", "act_key"}),
    "attachment": frozenset({"digest", "kind", "media_type"}),
    "build": frozenset({"digest"}),
    "estimate": frozenset({"currency", "rounding"}),
    "estimate_line": frozenset({"kind"}),
    "fault_search": frozenset({"act_key"}),
    "fault_symptom": frozenset({"code"}),
    "fault_answer": frozenset({"act_key", "check_code", "outcome", "power"}),
    "fault_cause": frozenset({"act_key", "cause"}),
    "handed_item": frozenset({"item"}),
    "payment": frozenset({"kind", "act_key"}),
    "receipt": frozenset({"shown", "signed"}),
    "step": frozenset({"key", "basis", "stage", "title", "target"}),
    "ticket_event": frozenset({"kind", "power", "act_key"}),
    "ticket_symptom": frozenset({"code"}),
    "acceptance": frozenset({"finding_key", "act_key"}),
    "evidence": frozenset({"act_key", "kind", "verdict", "power"}),
    "test_log": frozenset({"digest", "previous_digest", "document"}),  # signed: never changed
    "build_finding": frozenset({"code", "severity", "subject"}),
    "component": frozenset({"device", "kind", "maker", "model", "search_key"}),
    "recheck_finding": frozenset({"code", "severity", "subject", "says"}),
    "wire": frozenset({"lead", "pad", "port", "protocol"}),
}


def changes(table: str, row: Row, veil: Veil) -> dict[str, Any]:
    """What of this row becomes another text."""
    told = {name: fate(row[name], row, veil) for name, fate in FATES.get(table, {}).items()}
    return {name: text for name, text in told.items() if text != row[name]}

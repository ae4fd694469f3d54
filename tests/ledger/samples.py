"""An invented shop's logs and keys, small and cheap, for the ledger's tests."""

from functools import cache
from typing import Any

from server.ledger.document import KIND, STATEMENT
from server.ledger.keylist import KeyList, ListedKey, sign_keys
from server.ledger.keys import SealCost, SealedKey, SigningKey, new_key, open_key
from server.ledger.parts import Jwk
from server.ledger.signing import SignedLog, sign

CHEAP = SealCost(memory_kib=8, passes=1, lanes=1)
PHRASE = "four kettles in a row"
PHOTO = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@cache
def sealed(owner: str) -> SealedKey:
    """The one sealed key of this owner in a test run."""
    return new_key(PHRASE, CHEAP)


@cache
def key(owner: str) -> SigningKey:
    """The same, opened."""
    return open_key(sealed(owner), PHRASE)


def entry(name: str, found: dict[str, Any], *, power: str = "cold", **given: Any) -> dict[str, Any]:
    """A piece of evidence that passes."""
    off = {"by": "Ines Prado", "at": "2030-03-01T10:02:00Z"} if power == "limited" else None
    usual = {
        "entry": name,
        "what": "value",
        "found": found,
        "verdict": "pass",
        "says": None,
        "by": "Ines Prado",
        "at": "2030-03-01T10:03:00Z",
        "received": "2030-03-01T10:03:01Z",
        "power": power,
        "props_off": off,
        "replaces": None,
        "stale": False,
    }
    return usual | given


def step(number: str, *evidence: dict[str, Any], needed: bool = True) -> dict[str, Any]:
    """A step with its evidence."""
    return {
        "key": f"step-{number}",
        "number": number,
        "title": "First power through the limiter",
        "target": "0.20 to 0.60 A",
        "needed": needed,
        "evidence": list(evidence),
    }


def event(what: str, state: str, at: str, by: str | None = "Ines Prado") -> dict[str, Any]:
    """A line of the power history."""
    return {"event": what, "state": state, "by": by, "at": at, "because": None}


def sheet() -> dict[str, Any]:
    """As much of a build sheet as the ledger looks at, with numbers of every kind."""
    return {
        "sheet": 1,
        "craft": {"name": "Kittiwake", "size_in": 5.0, "props": "props-in"},
        "board": {"model": "Brindle F7", "mcu": "STM32F722", "supply_v": [9.0, 26.0]},
        "devices": [{"device": "receiver", "amps": 0.15}],
        "battery": {"chemistry": "LiPo", "cells": 6, "capacity_mah": 1100},
    }


def finding(severity: str, how: str | None) -> dict[str, Any]:
    """A finding, settled or not."""
    settled = {
        "how": how,
        "by": "Omar Haddad",
        "reason": "Flown so for a year, telemetry not wanted.",
        "at": "2030-03-01T09:40:00Z",
    }
    return {
        "code": "link-incomplete",
        "severity": severity,
        "subject": "receiver",
        "says": "The receiver's RX lead is not wired.",
        "do": "Wire RX to T1.",
        "source": "common practice, no source",
        "settled": settled if how else None,
    }


def log(number: int = 1, previous: str | None = None, **given: Any) -> dict[str, Any]:
    """A log that may be signed by Ines; `given` takes the place of its fields."""
    owner = given.pop("owner", "Ines Prado")
    return {
        "kind": KIND,
        "version": 1,
        "number": number,
        "previous": previous,
        "corrects": None,
        "shop": {"name": "Harbour Bench", "place": None},
        "ticket": str(1040 + number),
        "craft": {"name": "Kittiwake", "props": "props-in", "cells": 6},
        "board": {
            "maker": "Alder & Finch",
            "model": "Brindle F7",
            "mcu": "STM32F722",
            "firmware": "4.9.1 – été",
            "target": None,
        },
        "sheet": sheet(),
        "rules_version": "1",
        "findings": [finding("caution", "accepted")],
        "stages": [
            {"key": "cold", "title": "Before power", "steps": [_looks()], "seen_by": None},
            {"key": "motors", "title": "Motors", "steps": [_first_power()], "seen_by": None},
        ],
        "power": [
            event("state", "limited", "2030-03-01T10:01:00Z"),
            event("props-off", "limited", "2030-03-01T10:02:00Z"),
            event("state", "cold", "2030-03-01T10:05:00Z"),
        ],
        "attachments": [
            {"digest": PHOTO, "name": "solder.jpg", "kind": "image/jpeg", "bytes": 48211}
        ],
        "work": "Ports set anew, orientation and motors proved.",
        "completed_at": "2030-03-01T11:00:00Z",
        "done_by": [{"name": "Ines Prado", "initials": "IP"}],
        "signed_by": {"name": owner, "initials": "IP", "key": key(owner).kid},
        "signed_at": f"2030-03-01T{12 + number // 60}:{number % 60:02}:00Z",
        "statement": STATEMENT,
    } | given


def _looks() -> dict[str, Any]:
    return step("1.1", entry("1", {"attachment": PHOTO, "name": "solder.jpg"}, what="photo"))


def _first_power() -> dict[str, Any]:
    wrong = entry("2", {"values": {"amps": "0.91"}}, power="limited", verdict="fail")
    right = entry("3", {"values": {"amps": "0.41"}}, power="limited", replaces="2")
    return step("7.2", wrong, right)


def signed(number: int = 1, previous: str | None = None, **given: Any) -> SignedLog:
    """A signed log; by Ines, or by `owner`."""
    return sign(log(number, previous, **given), key(given.get("owner", "Ines Prado")))


@cache
def row(length: int) -> tuple[SignedLog, ...]:
    """A whole chain of this length."""
    logs: list[SignedLog] = []
    for number in range(1, length + 1):
        logs.append(signed(number, logs[-1].digest if logs else None))
    return tuple(logs)


def listed(owner: str, *, lead: bool = False, until: str | None = None) -> ListedKey:
    """An owner's line on the key list."""
    return ListedKey(
        owner=owner,
        initials="".join(word[0] for word in owner.split()),
        lead=lead,
        key=Jwk(crv="Ed25519", kty="OKP", x=key(owner).public.x),
        since="2030-01-01T00:00:00Z",
        until=until,
    )


def key_list(*others: ListedKey) -> KeyList:
    """The shop's list: Omar, who leads and signs it, and the others."""
    return KeyList(
        kind="quadwright key list",
        version=1,
        shop="Harbour Bench",
        made_at="2030-05-01T08:00:00Z",
        signed_by=key("Omar Haddad").kid,
        keys=(listed("Omar Haddad", lead=True), *others),
    )


def key_file(*others: ListedKey) -> bytes:
    """The same, signed."""
    return sign_keys(key_list(*others), key("Omar Haddad"))

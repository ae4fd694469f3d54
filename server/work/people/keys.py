"""Signing keys: one a technician, sealed under a passphrase that only they know.

Argon2 takes a third of a second on purpose. It runs in a pool of its own, before a transaction and
never inside one, so that nobody waits for it; what it was given is looked at again inside.
"""

import json

from sqlalchemy import Connection
from sqlmodel import Session, select

from server.ledger import keys as ledger
from server.ledger.keys import STRONG, SealCost, SealedKey
from server.records import logs
from server.records.engine import reading, writing
from server.records.logs import SealedRow
from server.records.tables import KeyRecord, ShopEvent, Staff
from server.work.errors import Missing, NotAllowed, Spent, Stale, Unfit
from server.work.office import events
from server.work.people.hashing import apart
from server.work.permissions import require
from server.work.shop import Person, Shop

QUICK = SealCost(memory_kib=64, passes=1, lanes=1)


def make_key(shop: Shop, by: Person, *, phrase: str, act_key: str | None = None) -> KeyRecord:
    """A new key for `by`; one that was open is closed and keeps its dates.

    The same `act_key` twice makes one key. Raises Unfit for a short passphrase, NotAllowed for
    somebody who has left.
    """
    require(by, "sign")
    try:
        sealed = apart(ledger.new_key, phrase, _cost(shop))
    except ledger.ShortPhrase as short:
        raise Unfit("phrase", str(short)) from short
    with writing(shop.engine) as session:
        _require_here(session, by)  # and nobody makes two at once
        made = select(KeyRecord).where(KeyRecord.act_key == act_key)
        if act_key and (key := session.exec(made).one_or_none()) is not None:
            return _own(key, by)
        at, public = shop.now(), sealed.public
        known = session.exec(select(KeyRecord).where(KeyRecord.staff_id == by.id)).all()
        for old in known:
            old.closed_at = old.closed_at or at
        key = KeyRecord(
            staff_id=by.id,
            kid=public.kid,
            fingerprint=public.fingerprint,
            public_jwk=json.dumps(public.jwk),
            sealed=sealed.to_json(),
            created_at=at,
            act_key=act_key,
        )
        session.add(key)
        closed = "; the key before it is closed" if known else ""
        events.note(
            session, by, at, "key made", f"{by.name} made the key {key.fingerprint}{closed}."
        )
        return key


def change_phrase(
    shop: Shop, by: Person, *, phrase: str, new_phrase: str, act_key: str | None = None
) -> None:
    """The same key under another passphrase. Raises NotAllowed for a wrong one, Unfit, Missing,
    and Stale where the key was changed meanwhile.
    """
    require(by, "sign")
    with reading(shop.engine) as connection:
        if _changed_before(connection, act_key):
            return
        kept = sealed_of(connection, by)
    try:
        before = SealedKey.from_json(kept.sealed)
        sealed = apart(ledger.reseal, before, phrase, new_phrase, _cost(shop))
    except ledger.WrongPhrase as wrong:
        raise NotAllowed("That passphrase does not open your key.", "Type it again.") from wrong
    except ledger.ShortPhrase as short:
        raise Unfit("new_phrase", str(short)) from short
    with writing(shop.engine) as session:
        key = still_open(session, kept)
        if events.done_before(session, act_key):
            return
        if key.sealed != kept.sealed:
            raise Stale("The passphrase was changed since then.", "Use the new one.")
        key.sealed = sealed.to_json()
        says = f"{by.name} changed the passphrase of the key {key.fingerprint}."
        events.note(session, by, shop.now(), "phrase changed", says, act_key)


def _own(key: KeyRecord, by: Person) -> KeyRecord:
    if key.staff_id != by.id:
        raise Spent("Somebody else made a key with this form.")
    return key


def sealed_of(connection: Connection, by: Person) -> SealedRow:
    """The open key of `by`. Raises Missing where there is none."""
    key = logs.open_key(connection, by.id)
    if key is None:
        raise Missing(f"{by.name} has no signing key.", "Make one first; it takes one passphrase.")
    return key


def opened(key: SealedRow, phrase: str) -> ledger.SigningKey:
    """The key for one signature: a third of a second, so not inside a transaction.

    Raises NotAllowed for a wrong passphrase.
    """
    try:
        return apart(ledger.open_key, SealedKey.from_json(key.sealed), phrase)
    except ledger.WrongPhrase as wrong:
        raise NotAllowed("That passphrase does not open your key.", "Type it again.") from wrong


def still_open(session: Session, key: SealedRow) -> KeyRecord:
    """The key's row, locked until the act ends. Raises Stale where it was closed meanwhile."""
    row = session.exec(select(KeyRecord).where(KeyRecord.id == key.id).with_for_update()).one()
    if row.closed_at is not None:
        raise Stale(f"Your key {row.fingerprint} was closed meanwhile.", "Make another, then sign.")
    return row


def fingerprint_of(connection: Connection, by: Person) -> str:
    """The fingerprint of the open key of `by`; empty where there is none."""
    key = logs.open_key(connection, by.id)
    return key.fingerprint if key else ""


def _cost(shop: Shop) -> SealCost:
    return QUICK if shop.quick_phrases else STRONG


def _changed_before(connection: Connection, act_key: str | None) -> bool:
    query = select(ShopEvent.id).where(ShopEvent.act_key == act_key)
    return act_key is not None and connection.execute(query).first() is not None


def _require_here(session: Session, by: Person) -> None:
    staff = session.exec(select(Staff).where(Staff.id == by.id).with_for_update()).one()
    if not staff.active:
        raise NotAllowed(f"{by.name} has left.", "Ask your supervisor.")

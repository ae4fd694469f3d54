"""Signing keys: one a technician, sealed under a phrase that only they know."""

import json

from sqlalchemy import Connection
from sqlmodel import Session, select
from sqlmodel.sql.expression import SelectOfScalar

from server.ledger import keys as ledger
from server.ledger.keys import STRONG, Cost, SealedKey
from server.records.engine import writing
from server.records.tables import SigningKey
from server.work.errors import Missing, NotAllowed, Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop

QUICK = Cost(memory_kib=64, passes=1, lanes=1)


def make_key(shop: Shop, by: Person, *, phrase: str) -> SigningKey:
    """A new key for `by`; one that was open is closed and keeps its dates. Raises Unfit."""
    require(by, "sign")
    try:
        sealed = ledger.new_key(phrase, QUICK if shop.quick_phrases else STRONG)
    except ledger.ShortPhrase as short:
        raise Unfit("phrase", str(short)) from short
    with writing(shop.engine) as session:
        at = shop.now()
        for old in session.exec(_open(by.id)):
            old.closed_at = at
        public = sealed.public
        key = SigningKey(
            staff_id=by.id, kid=public.kid, fingerprint=public.fingerprint,
            public_jwk=json.dumps(public.jwk), sealed=sealed.to_json(), created_at=at,
        )  # fmt: skip
        session.add(key)
        session.flush()
        return key


def key_of(session: Session, by: Person) -> SigningKey:
    """The open key of `by`. Raises Missing where there is none."""
    key = session.exec(_open(by.id)).one_or_none()
    if key is None:
        raise Missing(f"{by.name} has no signing key.", "Make one first; it takes one phrase.")
    return key


def opened(key: SigningKey, phrase: str) -> ledger.SigningKey:
    """The key for one signature. Raises NotAllowed for a wrong phrase."""
    try:
        return ledger.open_key(SealedKey.from_json(key.sealed), phrase)
    except ledger.WrongPhrase as wrong:
        raise NotAllowed("That phrase does not open your key.", "Type it again.") from wrong


def _open(staff_id: int) -> SelectOfScalar[SigningKey]:
    return select(SigningKey).where(
        SigningKey.staff_id == staff_id,
        SigningKey.closed_at.is_(None),  # type: ignore[union-attr]  # a column
    )


def fingerprint_of(connection: Connection, by: Person) -> str:
    """The fingerprint of the open key of `by`; empty where there is none."""
    query = select(SigningKey.fingerprint).where(
        SigningKey.staff_id == by.id,
        SigningKey.closed_at.is_(None),  # type: ignore[union-attr]  # a column
    )
    return str(connection.execute(query).scalar() or "")

"""What a supervisor signs for the outside: the list of keys, and the head of the chain at a moment.

Whoever keeps both can check the shop's logs without the shop, and can later be shown that none was
taken out.
"""

import json

from sqlalchemy import Connection
from sqlmodel import Session, select

from server.ledger import head as heads
from server.ledger.headfile import sign_head
from server.ledger.keylist import BadKeyList, KeyList, ListedKey, read_keys, sign_keys
from server.ledger.keys import SigningKey as OpenedKey
from server.ledger.parts import Jwk, moment
from server.records import logs, people, trust
from server.records.engine import reading, writing
from server.records.tables import Published, RunningNumber
from server.trade.roles import Role
from server.work.errors import Missing, Refused, Spent
from server.work.office import events
from server.work.people.keys import opened, sealed_of, still_open
from server.work.permissions import require
from server.work.shop import Person, Shop


def publish(shop: Shop, by: Person, *, phrase: str, act_key: str | None = None) -> Published:
    """Sign the key list and a head over all logs as they are now; the head's row comes back.

    The same `act_key` twice signs once. Raises NotAllowed, Missing without a key, Stale where the
    key was closed meanwhile.
    """
    require(by, "run the office")
    with reading(shop.engine) as connection:
        key = sealed_of(connection, by)
    private = opened(key, phrase)
    with writing(shop.engine) as session:
        # No log gets its number while these are counted.
        session.exec(
            select(RunningNumber).where(RunningNumber.name == "log").with_for_update()
        ).first()
        if (done := _done(session, by, act_key)) is not None:
            return done
        key_id = still_open(session, key).id
        return _published(session, shop, by, private, key_id, act_key)


def _done(session: Session, by: Person, act_key: str | None) -> Published | None:
    if act_key is None:
        return None
    row = session.exec(select(Published).where(Published.act_key == act_key)).one_or_none()
    if row is not None and row.by_id != by.id:
        raise Spent("Somebody else signed with this form.")
    return row


def _published(
    session: Session, shop: Shop, by: Person, private: OpenedKey, key_id: int, act_key: str | None
) -> Published:
    connection, at = session.connection(), shop.now()
    listed = key_list(connection, moment(at), private.kid)
    if listed is None:
        raise Missing("There is no key to list.", "Make one first.")
    size = trust.how_many(connection)
    head = heads.head(trust.digests(connection, size), listed.shop, moment(at))
    try:
        list_file = sign_keys(listed, private)
    except BadKeyList as bad:
        raise Refused(f"The key list cannot be signed: {bad.at}: {bad.says}") from bad
    list_row = Published(
        kind="keys",
        document=list_file.decode(),
        size=len(listed.keys),
        key_id=key_id,
        by_id=by.id,
        at=at,
    )
    head_row = Published(
        kind="head",
        document=sign_head(head, private).decode(),
        size=size,
        root=head.root,
        key_id=key_id,
        by_id=by.id,
        at=at,
        act_key=act_key,
    )
    session.add_all((list_row, head_row))
    says = f"{by.name} signed the list of {len(listed.keys)} keys and a head over {size} logs."
    events.note(session, by, at, "published", says)
    return head_row


def key_list(connection: Connection, made_at: str, signed_by: str) -> KeyList | None:
    """Whose each key is, as the shop's records have it now; None without a key."""
    rows, profile = logs.keys(connection), people.shop(connection)
    if not rows or profile is None:
        return None
    listed = tuple(
        ListedKey(
            owner=row.owner,
            initials=row.initials,
            lead=row.role == Role.SUPERVISOR,
            key=Jwk(**json.loads(row.public_jwk)),
            since=moment(row.created_at),
            until=moment(row.closed_at) if row.closed_at else None,
        )
        for row in rows
    )
    return KeyList(
        kind="quadwright key list",
        version=1,
        shop=profile.name,
        made_at=made_at,
        signed_by=signed_by,
        keys=listed,
    )


def newest_list(connection: Connection) -> KeyList | None:
    """The newest key list that a supervisor signed; None before there is one, and for one that was
    changed since: it shows nothing any more.
    """
    newest = next((row for row in trust.published(connection) if row.kind == "keys"), None)
    data = trust.file_of(connection, "keys", newest.id) if newest else None
    try:
        return read_keys(data) if data else None
    except BadKeyList:
        return None


def behind(signed: KeyList | None, now: KeyList | None) -> int:
    """How many keys were made, closed or given another owner since the list was signed."""
    known = {key.kid: key for key in signed.keys} if signed else {}
    return sum(known.get(key.kid) != key for key in now.keys) if now else 0

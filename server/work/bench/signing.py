"""Sign a ticket's test log; accept a caution. A log cannot be taken back, only followed."""

from sqlalchemy import Connection
from sqlmodel import Session, select

from server.ledger.document import BadDocument
from server.ledger.keys import SigningKey as OpenedKey
from server.ledger.signing import sign as put_signature
from server.records import builds, evidence, people
from server.records import tickets as heads
from server.records.engine import reading, writing
from server.records.logs import SealedRow
from server.records.tables import Acceptance, Build, LogRecord, Ticket
from server.trade.events import Event
from server.trade.finding import Severity
from server.trade.gate import NO_MAP, PowerNow, may_sign, power_now
from server.trade.ticket import State, TicketAct
from server.work.bench.log_document import Attached, Record, log_document
from server.work.bench.power import age_out
from server.work.bench.progress import work_of
from server.work.bench.situation import limits_of, obey, situation
from server.work.errors import Locked, Missing, Spent, Stale, Unfit
from server.work.numbers import next_number
from server.work.people.keys import opened, sealed_of, still_open
from server.work.permissions import require
from server.work.port_map.in_force import require_build
from server.work.shop import Person, Shop
from server.work.ticket import shared


def accept(
    shop: Shop, by: Person, number: int, *, finding: str, reason: str, act_key: str
) -> Acceptance:
    """The supervisor takes on a caution, with the reason. A stop cannot be accepted."""
    require(by, "accept a caution")
    if not reason.strip():
        raise Unfit("reason", "Say why this can be accepted.")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        again = select(Acceptance).where(Acceptance.act_key == act_key)
        if (done := session.exec(again).one_or_none()) is not None:
            _require_repeat(done, ticket, finding, reason)
            return done
        shared.require_open(ticket)
        if ticket.state == State.READY:
            raise Locked("The log is signed.", "What is found later goes into a new log.")
        build, facts = require_build(session, ticket)
        found = next((f for f in facts.findings if f.key == finding), None)
        if found is None:
            raise Missing("That finding is gone.", "Look at the map again.")
        if found.severity is Severity.STOP:
            raise Locked("A stop cannot be accepted.", "Clear it on the map.")
        if (first := _acceptance(session, ticket, build, finding)) is not None:
            raise Stale(f"It is accepted already: {first.reason}", "Yours is not written down.")
        row = Acceptance(
            ticket_id=ticket.id,
            build_id=build.id,
            finding_key=finding,
            reason=reason.strip(),
            by_id=by.id,
            at=shop.now(),
            act_key=act_key,
        )
        session.add(row)
        told = {"caution": found.says, "reason": row.reason}
        shared.note(session, ticket, by, row.at, Event.CAUTION_ACCEPTED, **told)
        return row


def _require_repeat(done: Acceptance, ticket: Ticket, finding: str, reason: str) -> None:
    same = (ticket.id, finding, reason.strip())
    if (done.ticket_id, done.finding_key, done.reason) != same:
        raise Spent(f"accepted, because {done.reason}")


def record_of(connection: Connection, number: int) -> Record:
    """All that the log of this ticket is written from. Raises Missing, Locked."""
    head, shop = heads.head(connection, number), people.shop(connection)
    if head is None or shop is None:
        raise Missing(f"There is no ticket {number:04d}.")
    work = work_of(connection, head)
    if work is None:
        raise Locked(NO_MAP.says, NO_MAP.do)
    return Record(
        shop,
        head,
        work,
        tuple(builds.revisions(connection, head.id)),
        tuple(evidence.entries(connection, head.id)),
        tuple(evidence.events(connection, head.id)),
        tuple(Attached(*row) for row in evidence.attached(connection, head.id)),
    )


def sign(
    shop: Shop, by: Person, number: int, *, phrase: str, words: str, seen: str | None = None
) -> LogRecord:
    """Sign the test log of a ticket with `by`'s key; the ticket is ready to collect then.

    A signed ticket gives its log back. `seen` is the mark of the record that the signer read: where
    anything came to it since, they read it again first. Raises Locked while anything stands in the
    way, NotAllowed for a wrong phrase, Missing without a key, Unfit for words that a log does not
    hold, and Stale where the key was closed or the record changed meanwhile.
    """
    require(by, "sign")
    key = _looked_over(shop, by, number, seen)
    private = opened(key, phrase) if key else None
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        shared.require_open(ticket)
        build, _ = require_build(session, ticket)
        signed = session.exec(select(LogRecord).where(LogRecord.build_id == build.id)).first()
        if signed is not None and ticket.state == State.READY:
            return signed
        if key is None or private is None:
            raise Stale("This ticket was opened again meanwhile.", "Look at it anew, then sign.")
        _require_seen(session.connection(), number, seen)  # before the act adds to the record
        power = age_out(shop, session, ticket, shop.now())
        _require_signable(session.connection(), number, by, power)
        key_id = still_open(session, key).id
        log = _signed(session, shop, by, ticket, build, private, key_id, words)
        session.add(log)
        build.signed_at = at = log.signed_at
        shared.move(ticket, TicketAct.COMPLETE)  # nothing is in the way any more
        shared.move(ticket, TicketAct.SIGN)
        ticket.holder_id, ticket.bench = None, ""
        shared.note(session, ticket, by, at, Event.SIGNED, log=log.number)
        return log


def _looked_over(shop: Shop, by: Person, number: int, seen: str | None) -> SealedRow | None:
    """The key to open, when nothing is in the way yet; None for a ticket that is signed.

    Opening takes its time, and nobody's writing waits for it: what is found here is looked at
    again in the act's own transaction.
    """
    with reading(shop.engine) as connection:
        head, limits = heads.head(connection, number), limits_of(connection)
        if head is not None and head.state == State.READY:
            return None
        power = power_now(head, limits, shop.now(), leapt=shop.watch.leapt) if head else None
        _require_signable(connection, number, by, power)
        _require_seen(connection, number, seen)
        return sealed_of(connection, by)


def _signed(
    session: Session,
    shop: Shop,
    by: Person,
    ticket: Ticket,
    build: Build,
    private: OpenedKey,
    key_id: int,
    words: str,
) -> LogRecord:
    at = shop.now()
    number = next_number(session, "log")
    previous = session.exec(select(LogRecord.digest).where(LogRecord.number == number - 1)).first()
    corrects = _log_before(session, ticket)
    document = log_document(
        record_of(session.connection(), ticket.number),
        number=number,
        previous=previous,
        corrects=corrects.digest if corrects else None,
        by=by,
        kid=private.kid,
        at=at,
        words=words.strip(),
    )
    try:
        signed = put_signature(document, private)
    except BadDocument as bad:
        if bad.at == "work":
            raise Unfit("words", bad.says) from bad
        says = f"The log cannot be signed: {bad.at}: {bad.says}"
        raise Locked(says, "Look at the card.") from bad
    return LogRecord(
        number=number,
        ticket_id=ticket.id,
        build_id=build.id,
        digest=signed.digest,
        previous_digest=previous or "",
        document=signed.data.decode(),
        key_id=key_id,
        signed_by_id=by.id,
        signed_at=at,
        corrects_id=corrects.id if corrects else None,
    )


def _log_before(session: Session, ticket: Ticket) -> LogRecord | None:
    """The log of this same ticket that the new one puts right."""
    return session.exec(
        select(LogRecord).where(LogRecord.ticket_id == ticket.id).order_by(LogRecord.number.desc())  # type: ignore[attr-defined]  # a column, not an int
    ).first()


def _require_signable(
    connection: Connection, number: int, by: Person, power: PowerNow | None
) -> None:
    head, shop = heads.head(connection, number), people.shop(connection)
    if head is None or shop is None or power is None:
        raise Missing(f"There is no ticket {number:04d}.", "Look in the queue.")
    work = work_of(connection, head)
    in_the_way = work.in_the_way_of(by.id, shop.second_eyes) if work else ()
    now = situation(head, power, work.facts if work else None, work.steps if work else ())
    obey(may_sign(now, [each.says for each in in_the_way]))


def _require_seen(connection: Connection, number: int, seen: str | None) -> None:
    if seen is not None and seen != record_of(connection, number).mark:
        raise Stale("The record changed since you read it.", "Read the log again, then sign.")


def _acceptance(session: Session, ticket: Ticket, build: Build, key: str) -> Acceptance | None:
    return session.exec(
        select(Acceptance).where(
            Acceptance.ticket_id == ticket.id,
            Acceptance.build_id == build.id,
            Acceptance.finding_key == key,
        )
    ).one_or_none()

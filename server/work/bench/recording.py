"""The bench: record what was seen at a step. Rows are only added; a correction names the old."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypedDict, Unpack

from sqlalchemy import Connection
from sqlmodel import Session

from server.records import evidence as rows
from server.records import tickets
from server.records.engine import writing
from server.records.evidence import EntryRow
from server.records.tables import Build, Evidence, StepRecord, Ticket
from server.records.tickets import TicketHead
from server.trade import card as cards
from server.trade.card import BadAnswer
from server.trade.gate import NO_MAP, is_complete, may_record, may_work
from server.trade.ticket import ON_A_BENCH, TicketAct
from server.work.bench import late
from server.work.bench.power import age_out, look_event
from server.work.bench.progress import TicketSeen, Work, card_facts, seen_of, work_of
from server.work.bench.situation import obey, situation, step_task
from server.work.bench.soldered import entries_now
from server.work.bench.step_status import StepStatus, answers, counted, standings
from server.work.errors import Locked, Missing, Spent, Stale, Unfit
from server.work.permissions import require
from server.work.port_map.facts import SheetFacts, facts_of
from server.work.shop import Person, Shop
from server.work.ticket import files, shared
from server.work.ticket.files import Upload


@dataclass(frozen=True)
class Recorded:
    """What was put down, and the ticket as it stands with it."""

    entry: Evidence
    seen: TicketSeen


class Said(TypedDict, total=False):
    """What a page says beside the answer, as `recorded` explains it."""

    basis: str
    seen: int
    under: str
    made_at: datetime | None


def record(
    shop: Shop,
    by: Person,
    number: int,
    key: str,
    *,
    answer: Mapping[str, Any],
    act_key: str,
    **said: Unpack[Said],
) -> Evidence:
    """The same as `recorded`, for who wants the entry alone."""
    return recorded(shop, by, number, key, answer=answer, act_key=act_key, **said).entry


def recorded(
    shop: Shop,
    by: Person,
    number: int,
    key: str,
    *,
    answer: Mapping[str, Any],
    act_key: str,
    upload: Upload | None = None,
    basis: str = "",
    seen: int = 0,
    under: str = "",
    made_at: datetime | None = None,
) -> Recorded:
    """Put down what was seen at step `key`; with an `upload`, the file that is the answer.

    `basis` is the step's target as the page showed it, and `seen` the newest entry that the page
    knew of: where either has moved on the act is refused with what is there now. So it is where the
    power is no longer what it was `under` (see gate.connection_of). `made_at` is when it was seen,
    where that is earlier than now. The same `act_key` twice is one entry. Raises
    Missing, Locked, Stale, Unfit.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        again = rows.sent_before(session.connection(), act_key)
        if again is not None:
            entry = session.get_one(Evidence, again)
            again_said = answer if upload is None else _same_file(entry, upload)
            _require_repeat(session, entry, ticket, key, again_said)
            return Recorded(entry, _seen(session.connection(), ticket))
        at = shop.now()
        power = age_out(shop, session, ticket, at)
        obey(may_work(ticket))
        head = _head(session.connection(), ticket)
        build_id, facts = _require_mapped(session.connection(), head)
        known = entries_now(session.connection(), ticket.id, facts.card, ticket.revision)
        now = standings(facts.card, known)
        standing = _standing(now, key)
        _require_current(standing, basis, seen, by)
        late.require_same_connection(session, ticket, under, made_at)
        obey(may_record(step_task(standing), situation(ticket, power, facts, now)))
        given = dict(answer) if upload is None else _attached(session, shop, by, ticket, upload)
        taken = _taken(standing, now, given)
        moments = (at, late.when_made(ticket, made_at, at))
        entry = _entry(session, ticket, by, standing, taken, build_id, act_key, moments)
        session.add(entry)
        session.flush()
        after = standings(facts.card, [*known, _row(entry, standing.step, head.revision, by)])
        _count(ticket, facts, after)
        ticket.changed_at = at
        return Recorded(entry, _seen_with(session.connection(), ticket, head, facts, after))


def _entry(
    session: Session,
    ticket: Ticket,
    by: Person,
    standing: StepStatus,
    taken: cards.NewEntry,
    build_id: int,
    act_key: str,
    moments: tuple[datetime, datetime],
) -> Evidence:
    """What is put down at a step, under the power and the look that hold. `moments`: when it is
    put down, and when it was seen where that was earlier."""
    step, judgement = standing.step, taken.judgement
    return Evidence(
        ticket_id=ticket.id,
        step_id=_step_id(session, ticket, step),
        kind=step.evidence.kind,
        answer=json.dumps(taken.stored, sort_keys=True),
        verdict=judgement.state,
        found=judgement.found,
        says=judgement.says,
        do=judgement.do,
        power=ticket.power,
        props_event_id=look_event(session, ticket),
        by_id=by.id,
        at=moments[0],
        made_at=moments[1],
        build_id=build_id,
        act_key=act_key,
        replaces_id=_replaced(standing, taken),
    )


def recount(session: Session, ticket: Ticket, facts: SheetFacts) -> None:
    """Count the steps anew, and move the ticket between the bench and the signature."""
    connection = session.connection()
    entries = entries_now(connection, ticket.id, facts.card, ticket.revision)
    _count(ticket, facts, standings(facts.card, entries))


def _count(ticket: Ticket, facts: SheetFacts, now: tuple[StepStatus, ...]) -> None:
    ticket.steps_done, ticket.steps_again, ticket.steps_total = counted(now)
    if ticket.state in ON_A_BENCH:
        complete = is_complete(ticket.steps_done, ticket.steps_total, facts.findings)
        shared.move(ticket, TicketAct.COMPLETE if complete else TicketAct.REOPEN)


def _head(connection: Connection, ticket: Ticket) -> TicketHead:
    head = tickets.head(connection, ticket.number)
    assert head is not None, "the act holds its row"
    return head


def _require_mapped(connection: Connection, head: TicketHead) -> tuple[int, SheetFacts]:
    """The build in force and its facts. Raises Locked."""
    facts = card_facts(connection, head)
    if facts is None or head.build_id is None:
        raise Locked(NO_MAP.says, NO_MAP.do)
    return head.build_id, facts


def _same_file(entry: Evidence, upload: Upload) -> dict[str, Any]:
    """The answer of a form that brings its file again, under the name that is kept."""
    return dict(json.loads(entry.answer)) | {"attachment": upload.digest}


def _attached(
    session: Session, shop: Shop, by: Person, ticket: Ticket, upload: Upload
) -> dict[str, Any]:
    """The file kept, in the same act as the result that names it."""
    kept = files.keep_file(session, shop, by, ticket, upload)
    return {"attachment": kept.digest, "name": kept.name}


def _seen(connection: Connection, ticket: Ticket) -> TicketSeen:
    """The ticket as it stands, looked up."""
    head = _head(connection, ticket)
    return seen_of(connection, head, work_of(connection, head))


def _seen_with(
    connection: Connection,
    ticket: Ticket,
    head: TicketHead,
    facts: SheetFacts,
    steps: tuple[StepStatus, ...],
) -> TicketSeen:
    """The same from what the act read and decided."""
    accepted = tuple(rows.accepted(connection, ticket.id, head.revision))
    head = head._replace(
        state=ticket.state,
        steps_done=ticket.steps_done,
        steps_again=ticket.steps_again,
        steps_total=ticket.steps_total,
    )
    return seen_of(connection, head, Work(facts, steps, accepted))


def _row(entry: Evidence, step: cards.Step, revision: int, by: Person) -> EntryRow:
    """The entry just added as the query would read it back."""
    return EntryRow(
        entry.id,
        step.key,
        step.basis,
        entry.kind,
        entry.answer,
        entry.verdict,
        entry.found,
        entry.says,
        entry.do,
        entry.power,
        revision,
        by.id,
        by.name,
        by.initials,
        entry.made_at,
        entry.at,
        entry.replaces_id,
    )


def _standing(now: tuple[StepStatus, ...], key: str) -> StepStatus:
    for standing in now:
        if standing.step.key == key:
            return standing
    raise Missing("This craft’s card has no such step.", "Open the card again: the map changed.")


def _require_repeat(
    session: Session, entry: Evidence, ticket: Ticket, key: str, answer: Mapping[str, Any]
) -> None:
    """A form sent again with another answer is no repeat, and is not swallowed as one."""
    step = session.get(StepRecord, entry.step_id)
    same_step = entry.ticket_id == ticket.id and step is not None and step.key == key
    if not same_step or json.loads(entry.answer) != _stored(session, entry, key, answer):
        raise Spent(f"{step.title if step else ''}: {entry.found}.")


def _require_current(standing: StepStatus, basis: str, seen: int, by: Person) -> None:
    step = standing.step
    if basis and basis != step.basis:
        raise Stale(
            f"The map changed, and with it step {step.number}: {step.title}.",
            "Read the step again, then record.",
        )
    theirs = [e for e in standing.entries if e.id > seen and e.by_id != by.id]
    if theirs:
        raise Stale(
            f"{theirs[-1].by_name} recorded step {step.number} first: {theirs[-1].found}.",
            "Use theirs, or record yours as a correction.",
        )


def _taken(
    standing: StepStatus, steps: tuple[StepStatus, ...], answer: Mapping[str, Any]
) -> cards.NewEntry:
    """The answer read and judged. Raises Unfit."""
    step = standing.step
    earlier = [json.loads(e.answer) for e in standing.entries]
    before = answers(s for s in steps if s.step.key in step.reads)
    try:
        return cards.take(step, answer, earlier, before)
    except BadAnswer as bad:
        raise Unfit(bad.field, bad.says, more=bad.faults[1:]) from bad


def _stored(
    session: Session, entry: Evidence, key: str, answer: Mapping[str, Any]
) -> Mapping[str, Any] | None:
    """The answer as it would have been stored by the card of `entry`; the map may have changed
    since. None where that card has no place for it."""
    build = session.get_one(Build, entry.build_id)
    try:
        return cards.stored(facts_of(build.sheet).card.step(key), answer)
    except (cards.NoSuchStep, BadAnswer):
        return None


def _replaced(standing: StepStatus, taken: cards.NewEntry) -> int | None:
    """The entry that this one puts right: the last one, or the last of the same part."""
    return None if taken.replaces is None else standing.entries[taken.replaces].id


def _step_id(session: Session, ticket: Ticket, step: cards.Step) -> int:
    known = rows.step_id(session.connection(), ticket.id, step.key, step.basis)
    if known is not None:
        return known
    row = StepRecord(
        ticket_id=ticket.id,
        key=step.key,
        basis=step.basis,
        stage=step.stage,
        title=step.title,
        target=step.target,
    )
    session.add(row)
    session.flush()
    return row.id

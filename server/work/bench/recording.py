"""The bench: record what was seen at a step. Rows are only added; a correction names the old."""

import json
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlmodel import Session

from server.records import evidence as rows
from server.records.engine import writing
from server.records.evidence import EntryRow
from server.records.tables import Build, Evidence, Step, Ticket
from server.trade import card as cards
from server.trade.card import BadAnswer
from server.trade.gate import ON_A_BENCH, is_complete, may_record, may_work
from server.work.bench import late
from server.work.bench.power import age_out, look_event
from server.work.bench.situation import obey, situation, step_task
from server.work.bench.soldered import entries_now
from server.work.bench.step_status import Standing, counted, so_far, standings
from server.work.errors import Missing, Spent, Stale, Unfit
from server.work.permissions import require
from server.work.port_map.facts import Facts
from server.work.port_map.in_force import require_build
from server.work.shop import Person, Shop
from server.work.ticket import shared


def record(
    shop: Shop,
    by: Person,
    number: int,
    key: str,
    *,
    answer: Mapping[str, Any],
    act_key: str,
    basis: str = "",
    seen: int = 0,
    under: str = "",
    made_at: datetime | None = None,
) -> Evidence:
    """Put down what was seen at step `key`.

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
            _require_repeat(session, entry, ticket, key, answer)
            return entry
        at = shop.now()
        power = age_out(shop, session, ticket, at)
        obey(may_work(ticket))
        build, facts = require_build(session, ticket)
        known = entries_now(session.connection(), ticket.id, facts.card, ticket.revision)
        now = standings(facts.card, known)
        standing = _standing(now, key)
        _require_current(standing, basis, seen, by)
        late.require_same_connection(session, ticket, under, made_at)
        obey(may_record(step_task(standing), situation(ticket, power, facts, now)))
        step = standing.step
        given = dict(answer)
        judgement = _judged(facts, known, standing, given)
        entry = Evidence(
            ticket_id=ticket.id,
            step_id=_step_id(session, ticket, step),
            build_id=build.id,
            act_key=act_key,
            kind=step.evidence.kind,
            answer=json.dumps(given, sort_keys=True),
            verdict=judgement.state,
            found=judgement.found,
            says=judgement.says,
            do=judgement.do,
            power=ticket.power,
            props_event_id=look_event(session, ticket),
            by_id=by.id,
            at=at,
            made_at=late.when_made(ticket, made_at, at),
            replaces_id=_replaced(standing, given),
        )
        session.add(entry)
        session.flush()
        _count(ticket, facts, [*known, _row(entry, step, build, by)])
        ticket.changed_at = at
        return entry


def recount(session: Session, ticket: Ticket, facts: Facts) -> None:
    """Count the steps anew, and move the ticket between the bench and the signature."""
    connection = session.connection()
    _count(ticket, facts, entries_now(connection, ticket.id, facts.card, ticket.revision))


def _count(ticket: Ticket, facts: Facts, entries: list[EntryRow]) -> None:
    now = standings(facts.card, entries)
    ticket.steps_done, ticket.steps_again, ticket.steps_total = counted(now)
    if ticket.state in ON_A_BENCH:
        complete = is_complete(ticket.steps_done, ticket.steps_total, facts.findings)
        ticket.state = "to-sign" if complete else "bench"


def _row(entry: Evidence, step: cards.Step, build: Build, by: Person) -> EntryRow:
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
        build.revision,
        by.id,
        by.name,
        by.initials,
        entry.made_at,
        entry.at,
        entry.replaces_id,
    )


def _standing(now: tuple[Standing, ...], key: str) -> Standing:
    for standing in now:
        if standing.step.key == key:
            return standing
    raise Missing("This craft’s card has no such step.", "Open the card again: the map changed.")


def _require_repeat(
    session: Session, entry: Evidence, ticket: Ticket, key: str, answer: Mapping[str, Any]
) -> None:
    """A form sent again with another answer is no repeat, and is not swallowed as one."""
    step = session.get(Step, entry.step_id)
    same_step = entry.ticket_id == ticket.id and step is not None and step.key == key
    if not same_step or json.loads(entry.answer) != json.loads(json.dumps(dict(answer))):
        raise Spent(f"{step.title if step else ''}: {entry.found}.")


def _require_current(standing: Standing, basis: str, seen: int, by: Person) -> None:
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


def _judged(
    facts: Facts, known: list[EntryRow], standing: Standing, answer: dict[str, Any]
) -> cards.Judgement:
    step = standing.step
    given = so_far(facts.card, known) if step.reads else {}
    earlier = [json.loads(e.answer) for e in standing.entries]
    try:
        whole = cards.gather(step, [*earlier, answer]) or answer
        return cards.judge(step, whole, given | {step.key: whole})
    except BadAnswer as bad:
        raise Unfit(bad.field, bad.says) from bad


def _replaced(standing: Standing, answer: Mapping[str, Any]) -> int | None:
    """The entry that this one puts right: the last one, or the last of the same part."""
    same = [e for e in standing.entries if cards.same_part(e.kind, json.loads(e.answer), answer)]
    return same[-1].id if same else None


def _step_id(session: Session, ticket: Ticket, step: cards.Step) -> int:
    known = rows.step_id(session.connection(), ticket.id, step.key, step.basis)
    if known is not None:
        return known
    row = Step(
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

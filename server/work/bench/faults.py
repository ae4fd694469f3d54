"""The fault finder at the bench: what is looked for, what a check showed, and the cause found.

Rows are only added. A correction names the row it replaces, and the last one stands.
"""

from collections.abc import Collection
from datetime import datetime

from sqlmodel import Session, select

from server.records import faults
from server.records.engine import writing
from server.records.faults import SearchRow
from server.records.tables import FaultAnswer, FaultCause, FaultSearch, FaultSymptom, Ticket
from server.records.tables.faults import WITHDRAWN
from server.trade.events import Event
from server.trade.fault_finder import OTHER, TABLE, UNCLEAR, Check, listed, offered
from server.trade.gate import may_record, may_work
from server.work.bench import late
from server.work.bench.power import age_out, look_event, situation_of
from server.work.bench.situation import check_task, obey
from server.work.errors import Locked, Missing, Spent, Stale, Unfit
from server.work.permissions import require
from server.work.port_map.in_force import facts_in_force
from server.work.shop import Person, Shop
from server.work.ticket import shared

MOST_WORDS = 500


def begin(
    shop: Shop, by: Person, number: int, *, symptoms: Collection[str], act_key: str
) -> FaultSearch:
    """Look for the cause of these symptoms; what was answered since the last cause holds on.

    Raises Missing, Locked, Unfit.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        again = session.exec(select(FaultSearch).where(FaultSearch.act_key == act_key)).first()
        if again is not None:
            _require_repeat(again.ticket_id == ticket.id, "a search was begun.")
            return again
        obey(may_work(ticket))
        known = _require_symptoms(session, ticket, symptoms)
        last, at = faults.last(session.connection(), ticket.id), shop.now()
        turn = 1 if last is None else last.round + (last.found is not None)
        search = FaultSearch(ticket_id=ticket.id, round=turn, at=at, by_id=by.id, act_key=act_key)
        session.add(search)
        session.flush()
        session.add_all(FaultSymptom(search_id=search.id, code=code) for code in known)
        says = "; ".join(TABLE.symptoms[code].says for code in known)
        shared.note(session, ticket, by, at, Event.FAULT, says=f"Looking for the cause of: {says}.")
        return search


def answer(
    shop: Shop,
    by: Person,
    number: int,
    *,
    check: str,
    outcome: str,
    act_key: str,
    seen: int = 0,
    under: str = "",
    made_at: datetime | None = None,
) -> FaultAnswer:
    """Put down what a check showed. `seen` is the newest answer to it that the page knew of.

    Under battery it is refused without a live look at the propellers, as a step is, and so it is
    where the power is no longer what it was `under` (see gate.connection_of). `made_at` is when it
    was seen, where that is earlier than now. Raises Missing, Locked, Stale, Unfit.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        again = session.exec(select(FaultAnswer).where(FaultAnswer.act_key == act_key)).first()
        if again is not None:
            same = (again.check_code, again.outcome) == (check, outcome)
            _require_repeat(same, f"{says_of(TABLE.checks[again.check_code], again.outcome)}.")
            return again
        at = shop.now()
        power = age_out(shop, session, ticket, at)
        obey(may_work(ticket))
        search = _require_open(session, ticket)
        asked = _require_check(check, outcome)
        _require_newest(search, asked, by, seen)
        late.require_same_connection(session, ticket, under, made_at)
        obey(may_record(check_task(asked), situation_of(session, ticket, power)))
        before = search.answers.get(check)
        given = FaultAnswer(
            search_id=search.id,
            act_key=act_key,
            check_code=check,
            outcome=outcome,
            power=ticket.power,
            props_event_id=look_event(session, ticket),
            by_id=by.id,
            at=at,
            made_at=late.when_made(ticket, made_at, at),
            replaces_id=before.id if before else None,
        )
        session.add(given)
        ticket.changed_at = at
        return given


def found(
    shop: Shop,
    by: Person,
    number: int,
    *,
    cause: str,
    act_key: str,
    words: str = "",
    check: str = "",
) -> FaultCause:
    """Put down the cause, with the check that showed it; a second one corrects the first.

    Raises Missing, Locked, Unfit.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        again = session.exec(select(FaultCause).where(FaultCause.act_key == act_key)).first()
        if again is not None:
            _require_repeat(again.cause == cause, "a cause was put down.")
            return again
        obey(may_work(ticket))
        search = _require_search(session, ticket)
        _require_cause(search, cause, words)
        shown = _require_answer(search, check)
        says = f"Cause found: {TABLE.causes[cause].says} {words}".strip()
        return _put(
            session,
            ticket,
            search,
            by,
            shop.now(),
            act_key,
            says,
            cause=cause,
            words=words.strip(),
            answer_id=shown,
        )


def withdraw(shop: Shop, by: Person, number: int, *, act_key: str) -> FaultCause:
    """It was not that: the cause no longer stands, and the search goes on.

    Raises Missing, Locked, Stale.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        again = session.exec(select(FaultCause).where(FaultCause.act_key == act_key)).first()
        if again is not None:
            _require_repeat(again.cause == WITHDRAWN, "a cause was put down.")
            return again
        obey(may_work(ticket))
        search = _require_search(session, ticket)
        if search.found is None:
            raise Stale("No cause stands on this ticket.", "Look at the page again.")
        says = f"It was not that: {TABLE.causes[search.found.cause].says}"
        return _put(session, ticket, search, by, shop.now(), act_key, says, cause=WITHDRAWN)


def _require_repeat(same: bool, was: str) -> None:
    """A form sent again with another answer is no repeat."""
    if not same:
        raise Spent(was)


def _put(
    session: Session,
    ticket: Ticket,
    search: SearchRow,
    by: Person,
    at: datetime,
    act_key: str,
    says: str,
    *,
    cause: str,
    words: str = "",
    answer_id: int | None = None,
) -> FaultCause:
    before = session.exec(
        select(FaultCause.id)
        .where(FaultCause.search_id == search.id)
        .order_by(FaultCause.id.desc())  # type: ignore[attr-defined]  # a column, not an int
        .limit(1)
    ).first()
    row = FaultCause(
        search_id=search.id,
        act_key=act_key,
        cause=cause,
        words=words,
        answer_id=answer_id,
        by_id=by.id,
        at=at,
        replaces_id=before,
    )
    session.add(row)
    shared.note(session, ticket, by, at, Event.FAULT, says=says)
    return row


def _require_symptoms(session: Session, ticket: Ticket, symptoms: Collection[str]) -> list[str]:
    facts = facts_in_force(session, ticket)
    known = [s.code for s in offered(facts.sheet if facts else None)]
    if not symptoms:
        raise Unfit("symptoms", "Choose what is wrong.")
    if not set(symptoms) <= set(known):
        raise Unfit("symptoms", "This craft’s map rules one of these out.", "Choose again.")
    return [code for code in known if code in symptoms]


def _require_search(session: Session, ticket: Ticket) -> SearchRow:
    search = faults.last(session.connection(), ticket.id)
    if search is None:
        raise Locked("Nothing is looked for on this ticket yet.", "Choose what is wrong first.")
    return search


def _require_open(session: Session, ticket: Ticket) -> SearchRow:
    search = _require_search(session, ticket)
    if search.found is not None:
        raise Locked(
            f"{search.found.by_name} found the cause of this already.",
            "Look for another fault, or say that it was not that.",
        )
    return search


def _require_check(check: str, outcome: str) -> Check:
    if check not in TABLE.checks:
        raise Missing("There is no such check.", "Look at the page again.")
    if outcome != UNCLEAR and outcome not in TABLE.checks[check].outcomes:
        raise Unfit("outcome", "Choose one of the answers.")
    return TABLE.checks[check]


def says_of(check: Check, outcome: str) -> str:
    """An outcome in words."""
    return "could not tell" if outcome == UNCLEAR else check.outcomes[outcome]


def _require_newest(search: SearchRow, check: Check, by: Person, seen: int) -> None:
    newest = search.answers.get(check.code)
    if newest is not None and newest.id > seen and newest.by_id != by.id:
        raise Stale(
            f"{newest.by_name} answered this first: {says_of(check, newest.outcome)}.",
            "Use theirs, or answer again to correct it.",
        )


def _require_cause(search: SearchRow, cause: str, words: str) -> None:
    if cause not in {c.code for c in listed(search.symptoms)}:
        raise Unfit("cause", "Choose the cause that you found.")
    if cause == OTHER and not words.strip():
        raise Unfit("words", "Write down in words what it was.")
    if len(words) > MOST_WORDS:
        raise Unfit("words", f"Write {MOST_WORDS} characters at most.")


def _require_answer(search: SearchRow, check: str) -> int | None:
    if not check:
        return None
    if check not in search.answers:
        raise Unfit("check", "Choose a check that was answered.")
    return search.answers[check].id

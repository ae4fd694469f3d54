"""The sheets that go home with a craft: set up and proven, or returned unrepaired."""

import json
from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection

from server.drawing import hand
from server.printing.sheets.base import Drawing
from server.printing.sheets.parts import Marked
from server.printing.sheets.pickup_sheet import PickupSheet
from server.printing.sheets.returned_sheet import ReturnedSheet
from server.records import leaving
from server.records.tickets import TicketHead
from server.trade.events import Event
from server.trade.ticket import State
from server.work.bench.progress import Work, work_of
from server.work.bench.signing import record_of
from server.work.errors import Locked
from server.work.papers import pickup_words
from server.work.papers.counter import findings_of, map_of
from server.work.papers.setup import PaperDesk, board_line, craft_line
from server.work.port_map.facts import facts_of
from server.work.shop import Person
from server.work.ticket.account import Account

NO_MAP = "The port map was not entered. Nothing was set or tested."
NOT_DONE = "No tuning. No flight by the shop."
FLIGHT_ONLY = {
    "flips": "Not flown: that it takes off without flipping is still to be seen, with care.",
    "drifts": "Not flown: whether it still drifts shows only in flight.",
}


def pickup_sheet(
    connection: Connection, account: Account, desk: PaperDesk, by: Person
) -> PickupSheet:
    """The pickup sheet. Raises Locked before the test log is signed."""
    head, log = account.head, account.log
    if log is None:
        raise Locked("There is no signed log yet.", "Sign the test log first.")
    record = record_of(connection, head.number)
    facts, given = record.work.facts, pickup_words.recorded(record)
    accepted, at = record.work.accepted, head.collected_at
    drawn, says = pickup_words.arming(given)
    return PickupSheet(
        made=at or log.signed_at,
        paper=desk.paper,
        shop=desk.shop,
        ticket=f"{head.number:04d}",
        collected_by=head.collected_by or head.customer,
        collected_on=desk.clock.date(at or desk.now),
        craft=craft_line(head),
        board=board_line(head),
        radio=pickup_words.radio(facts.sheet),
        verify=desk.verify(log),
        was_wrong=pickup_words.was_wrong(account, record),
        was_done=pickup_words.was_done(record, json.loads(log.document)["log"].get("work", "")),
        motors=pickup_words.motors(record, given),
        props=pickup_words.BLADES[facts.sheet.craft.props],
        corners=pickup_words.corners(record),
        arming=drawn,
        arming_says=says,
        tested=pickup_words.tested(record, given),
        not_done=(
            NOT_DONE,
            *(FLIGHT_ONLY[code] for code in account.symptoms if code in FLIGHT_ONLY),
            *(f.says for f in facts.findings if f.severity == "note"),
        ),
        cautions=tuple(m for m in findings_of(facts, accepted) if m.settled),
        prices=desk.prices(account.bill),
        totals=desk.totals(account.bill, paid=True),
        handed_over_by=by.name,
        port_map=map_of(facts, head.revision, accepted),
        **_receipt(connection, account, desk),
    )


def returned_sheet(
    connection: Connection, account: Account, desk: PaperDesk, by: Person
) -> ReturnedSheet:
    """The sheet of a craft returned unrepaired. Raises Locked for one that was not."""
    head = account.head
    if head.state != State.RETURNED or head.collected_at is None:
        raise Locked(f"Ticket {head.number:04d} was not returned unrepaired.", "Open the ticket.")
    event = next((e for e in reversed(account.events) if e.kind == Event.RETURNED), None)
    facts = facts_of(head.sheet) if head.sheet else None
    work = work_of(connection, head)
    return ReturnedSheet(
        made=head.collected_at,
        paper=desk.paper,
        shop=desk.shop,
        ticket=f"{head.number:04d}",
        collected_by=head.collected_by,
        collected_on=desk.clock.date(head.collected_at),
        craft=craft_line(head),
        board=board_line(head),
        reason=event.says.partition(": ")[2] if event else "",
        unsafe=unsafe(connection, head),
        was_done=_stages(work, done=True) if work else (),
        not_done=_stages(work, done=False) if work else (NO_MAP,),
        given_back=account.handed_in,
        prices=desk.prices(account.bill),
        totals=desk.totals(account.bill, paid=True),
        handed_over_by=by.name,
        status_url=desk.status_url(head),
        port_map=map_of(facts, head.revision) if facts else None,
        **_receipt(connection, account, desk),
    )


def unsafe(connection: Connection, head: TicketHead) -> tuple[Marked, ...]:
    """What remains unsafe on a craft that is returned unrepaired: findings, what failed, what was
    not proven; empty only without a map, or where all was proven and nothing found."""
    work = work_of(connection, head)
    if work is None:
        return ()
    failed = (s for s in work.steps if s.mark == "out" and s.last)
    return (
        *findings_of(work.facts, work.accepted),
        *(Marked("stop", "", f"{s.step.title}: {s.last.found}") for s in failed if s.last),
        *_unproven(work),
    )


def _unproven(work: Work) -> Iterator[Marked]:
    open_ = {s.step.key for s in work.steps if not s.done}
    stages = (s.title for s in work.facts.card.stages if open_ & {step.key for step in s.steps})
    if named := ", ".join(stages):
        yield Marked("stop", "", f"Not proven, in whole or in part: {named}.")


def _receipt(connection: Connection, account: Account, desk: PaperDesk) -> dict[str, Any]:
    """What is owed, kept back and signed, as both sheets have it."""
    kept, to_pay = leaving.receipt(connection, account.head.id), desk.to_pay(account.bill)
    if kept is None:
        return {"to_pay": to_pay}
    left = f", left open: {kept.owed_note}" if kept.owed_note else ""
    drawn = hand.strokes(kept.signature)
    name = account.head.collected_by
    return {
        "to_pay": to_pay + left,
        "kept_back": tuple(filter(None, map(str.strip, kept.kept_back.splitlines()))),
        "signature": Drawing(hand.signature(drawn, colour=False), f"Signature of {name}")
        if drawn
        else None,
    }


def _stages(work: Work, *, done: bool) -> tuple[str, ...]:
    """'Motors: 3 of 8 steps', for every stage with steps that were, or were not, done."""
    by_key = {s.step.key: s.done for s in work.steps}
    rows = (
        (stage.title, sum(by_key[step.key] is done for step in stage.steps), len(stage.steps))
        for stage in work.facts.card.stages
    )
    return tuple(f"{title}: {count} of {of} steps" for title, count, of in rows if count)

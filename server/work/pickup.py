"""The sheets that go home with a craft: set up and proven, or returned as it is."""

import json

from sqlalchemy import Connection

from server.printing.sheets.parts import Marked
from server.printing.sheets.pickup_sheet import PickupSheet
from server.printing.sheets.returned_sheet import ReturnedSheet
from server.work import pickup_words
from server.work.account import Account
from server.work.errors import Locked
from server.work.facts import facts_of
from server.work.paper_desk import PaperDesk, board_line, craft_line
from server.work.papers import findings_of, map_of
from server.work.shop import Person
from server.work.signing import record_of
from server.work.standing_of import Work, work_of

NO_MAP = "The port map was not entered. Nothing was set or tested."
NOT_DONE = "No tuning. No flight by the shop."


def pickup_sheet(connection: Connection, account: Account, desk: PaperDesk,
                 by: Person) -> PickupSheet:  # fmt: skip
    """The pickup sheet. Raises Locked before the test log is signed."""
    head, log = account.head, account.log
    if log is None:
        raise Locked("There is no signed log yet.", "Sign the test log first.")
    record = record_of(connection, head.number)
    facts, given = record.work.facts, pickup_words.answers(record)
    accepted, at = record.work.accepted, head.collected_at
    drawn, says = pickup_words.arming(given)
    return PickupSheet(
        made=at or log.signed_at, paper=desk.paper, shop=desk.shop, ticket=f"{head.number:04d}",
        collected_by=head.collected_by or head.customer,
        collected_on=desk.clock.date(at or desk.now), craft=craft_line(head),
        board=board_line(head), radio=pickup_words.radio(facts.sheet),
        to_pay=desk.to_pay(account.bill), verify=desk.verify(log),
        was_wrong=pickup_words.was_wrong(account, record),
        was_done=pickup_words.was_done(record, json.loads(log.document)["log"].get("work", "")),
        motors=pickup_words.motors(record, given),
        props=pickup_words.BLADES[facts.sheet.craft.props],
        corners=pickup_words.corners(record), arming=drawn, arming_says=says,
        tested=pickup_words.tested(record, given),
        not_done=(NOT_DONE, *(f.says for f in facts.findings if f.severity == "note")),
        cautions=tuple(m for m in findings_of(facts, accepted) if m.settled),
        prices=desk.prices(account.bill), totals=desk.totals(account.bill, paid=True),
        handed_over_by=by.name, port_map=map_of(facts, head.revision, accepted),
    )  # fmt: skip


def returned_sheet(connection: Connection, account: Account, desk: PaperDesk,
                   by: Person) -> ReturnedSheet:  # fmt: skip
    """The sheet of a craft returned as it is. Raises Locked for one that was not."""
    head = account.head
    if head.state != "returned" or head.collected_at is None:
        raise Locked(f"Ticket {head.number:04d} was not returned as it is.", "Open the ticket.")
    event = next((e for e in reversed(account.events) if e.kind == "returned"), None)
    facts = facts_of(head.sheet) if head.sheet else None
    work = work_of(connection, head)
    out = tuple(s for s in work.steps if s.mark == "out") if work else ()
    failed = tuple(Marked("stop", "", f"{s.step.title}: {s.last.found}") for s in out if s.last)
    unsafe = (*(findings_of(facts, ()) if facts else ()), *failed)
    return ReturnedSheet(
        made=head.collected_at, paper=desk.paper, shop=desk.shop, ticket=f"{head.number:04d}",
        collected_by=head.collected_by, collected_on=desk.clock.date(head.collected_at),
        craft=craft_line(head), board=board_line(head),
        reason=event.says.partition(": ")[2] if event else "", to_pay=desk.to_pay(account.bill),
        unsafe=unsafe,
        was_done=_stages(work, done=True) if work else (),
        not_done=_stages(work, done=False) if work else (NO_MAP,),
        given_back=account.handed_in, prices=desk.prices(account.bill),
        totals=desk.totals(account.bill, paid=True), handed_over_by=by.name,
        status_url=desk.status_url(head), port_map=map_of(facts, head.revision) if facts else None,
    )  # fmt: skip


def _stages(work: Work, *, done: bool) -> tuple[str, ...]:
    """'Motors: 3 of 8 steps', for every stage with steps that were, or were not, done."""
    by_key = {s.step.key: s.done for s in work.steps}
    rows = (
        (stage.title, sum(by_key[step.key] is done for step in stage.steps), len(stage.steps))
        for stage in work.facts.card.stages
    )
    return tuple(f"{title}: {count} of {of} steps" for title, count, of in rows if count)

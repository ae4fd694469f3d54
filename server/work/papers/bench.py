"""The bench's papers from the records: the card to fill in by hand, and the signed log to read."""

import json
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from server.printing.sheets.bench_card_sheet import BenchCardSheet, BenchStage, BenchStep
from server.printing.sheets.parts import Marked, Panel
from server.printing.sheets.test_log_sheet import EvidenceLine, PowerRow, TestLogSheet
from server.records import evidence
from server.trade.card import Card, blanks
from server.work.bench.progress import work_of
from server.work.bench.step_status import StepStatus
from server.work.errors import Locked
from server.work.papers.setup import PaperDesk, board_line, craft_line
from server.work.ticket.account import Account


def bench_card(connection: Connection, account: Account, desk: PaperDesk) -> BenchCardSheet:
    """The card with what was recorded, and lines for the rest. Raises Locked without a map."""
    head, work = account.head, work_of(connection, account.head)
    if work is None:
        raise Locked("There is no port map yet.", "Enter and save the map first.")
    by_key = {s.step.key: s for s in work.steps}
    asked = set(_asks_props(work.facts.card))
    return BenchCardSheet(
        made=desk.now,
        paper=desk.paper,
        shop=desk.shop,
        ticket=f"{head.number:04d}",
        craft=craft_line(head),
        board=board_line(head),
        revision=str(head.revision),
        promised=desk.when(head.promised_at),
        technician=head.holder or "nobody",
        ticket_url=desk.ticket_url(head),
        printed_on=desk.at(desk.now),
        stages=tuple(
            BenchStage(
                str(stage.number),
                stage.title,
                tuple(_step(by_key[s.key], desk, s.key in asked) for s in stage.steps),
            )
            for stage in work.facts.card.stages
        ),
        stops=tuple(f.says for f in work.facts.stops),
    )


def _asks_props(card: Card) -> Iterator[str]:
    """The first step of each run that needs a battery connected the same way."""
    before: frozenset[Any] = frozenset()
    for step in card.steps():
        states = step.states if step.needs_battery else frozenset()
        if states and not states & before:
            yield step.key
        before = states


def _step(standing: StepStatus, desk: PaperDesk, asks_props: bool) -> BenchStep:
    step, last = standing.step, standing.last
    hazard = step.hazard
    done = last if standing.done else None
    return BenchStep(
        number=step.number,
        title=step.title,
        do=step.do,
        target=step.target,
        source=step.source,
        power=" or ".join(sorted(step.states)),
        blanks=() if done else blanks(step),
        found=done.found if done else "",
        by=f"{done.initials} {desk.clock.when(done.made_at)}" if done else "",
        hazard=Panel(hazard.word, hazard.says) if hazard else None,  # type: ignore[arg-type]  # one of the three words
        asks_props=asks_props,
    )


def test_log(connection: Connection, account: Account, desk: PaperDesk) -> TestLogSheet:
    """The newest signed log for reading. Raises Locked before there is one."""
    head, log = account.head, account.log
    if log is None:
        raise Locked("There is no signed log yet.", "Sign the test log first.")
    told = json.loads(log.document)["log"]
    found = {f"e{e.id}": e.found for e in evidence.entries(connection, head.id)}
    return TestLogSheet(
        made=log.signed_at,
        paper=desk.paper,
        shop=desk.shop,
        ticket=told["ticket"],
        craft=craft_line(head),
        board=board_line(head),
        work_done=tuple(filter(None, told["work"].splitlines())),
        finished=_at(desk, told["completed_at"]),
        rules_version=told["rules_version"],
        previous_digest=told["previous"] or "none, this is the first",
        rows=tuple(_rows(told, found, desk)),
        powers=tuple(_power(row, desk) for row in told["power"]),
        findings=tuple(_finding(n, f) for n, f in enumerate(told["findings"], 1)),
        attachments=tuple(f"{a['name']}: {a['digest']}" for a in told["attachments"]),
        verify=desk.verify(log),
    )


def _rows(
    told: Mapping[str, Any], found: Mapping[str, str], desk: PaperDesk
) -> Iterator[EvidenceLine]:
    for stage in told["stages"]:
        for step in stage["steps"]:
            for entry in step["evidence"]:
                yield EvidenceLine(
                    step["number"],
                    step["title"],
                    step["target"] or "",
                    found.get(entry["entry"], entry["says"] or ""),
                    entry["power"],
                    entry["by"],
                    _seen_at(desk, entry),
                    f"corrects {entry['replaces']}" if entry["replaces"] else "",
                )


def _seen_at(desk: PaperDesk, entry: Mapping[str, Any]) -> str:
    """When it was seen, and when it arrived where a tablet kept it in between."""
    seen, had = _at(desk, entry["at"]), _at(desk, entry["received"])
    return seen if seen == had else f"{seen}, arrived {had}"


def _power(row: Mapping[str, Any], desk: PaperDesk) -> PowerRow:
    props = "0" if row["event"] == "props-off" else ""
    return PowerRow(_at(desk, row["at"]), row["state"], props, row["by"] or "by itself")


def _finding(number: int, told: Mapping[str, Any]) -> Marked:
    settled = told["settled"]
    says = (
        f"{settled['how'].capitalize()} by {settled['by']}: {settled['reason']}" if settled else ""
    )
    return Marked(told["severity"], str(number), told["says"], says)


def _at(desk: PaperDesk, moment: str) -> str:
    return desk.at(datetime.fromisoformat(moment))

"""The sign page in words: cautions to accept, and what is signed, stage by stage."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from zoneinfo import ZoneInfo

from server.trade.card import kind_of
from server.trade.finding import Finding, Severity
from server.web.site.filters import Clock
from server.web.ticket.blockers import numbered
from server.work.bench.log_document import Record
from server.work.bench.progress import Work
from server.work.bench.step_status import StepStatus

EYES = {"none": "", "motors": "the motors", "log": "every stage"}


@dataclass(frozen=True)
class StageLine:
    """One stage of what is signed."""

    number: int
    title: str
    done: str
    last: str


@dataclass(frozen=True)
class AcceptedCaution:
    """A caution that was accepted, by whom and why."""

    number: int
    says: str
    by: str
    reason: str


@dataclass(frozen=True)
class Open:
    """A caution that is not accepted; `number` is its number on the map."""

    finding: Finding
    number: int


def open_cautions(work: Work) -> tuple[Open, ...]:
    """The cautions that wait for the supervisor."""
    taken, numbers = {row.finding_key for row in work.accepted}, numbered(work)
    return tuple(
        Open(f, numbers[f.key])
        for f in work.facts.findings
        if f.severity is Severity.CAUTION and f.key not in taken
    )


def taken(work: Work) -> tuple[AcceptedCaution, ...]:
    """The cautions that the supervisor took on, with the reasons."""
    rows, numbers = {row.finding_key: row for row in work.accepted}, numbered(work)
    return tuple(
        AcceptedCaution(numbers[f.key], f.says, rows[f.key].by_name, rows[f.key].reason)
        for f in work.facts.cautions
        if f.key in rows
    )


def prefix_of(finding: str, cautions: Sequence[Open]) -> str:
    """Before the names of the fields of one caution's form, so that an error finds its own."""
    number = next((each.number for each in cautions if each.finding.key == finding), 0)
    return f"f{number}-"


def asked(record: Record, signer: str, fingerprint: str, zone: str) -> tuple[tuple[str, str], ...]:
    """What 14 CFR 43.9(a) asks of a maintenance record, and what this one holds of it."""
    clock = Clock(ZoneInfo(zone))
    last = max((e.at for e in record.entries), default=None)
    names = dict.fromkeys(e.by_name for e in record.entries)
    key = f"key {fingerprint}" if fingerprint else "no key yet"
    eyes = EYES[record.shop.second_eyes]
    return (
        ("What was done", "in your words below, and step by step in the log"),
        ("When it was finished", f"{clock.date(last)}, {clock.clock(last)}" if last else "not yet"),
        ("Who did it", ", ".join(names) or "nobody yet"),
        ("Whose signature", f"{signer}, {key}"),
        *((("Second pair of eyes", f"{signer}, for {eyes}"),) if eyes else ()),
    )


def stage_lines(work: Work, zone: str) -> tuple[StageLine, ...]:
    """Every stage with how many of its steps are done, and whose stamp is the last."""
    clock = Clock(ZoneInfo(zone))
    titles = {stage.key: (stage.number, stage.title) for stage in work.facts.card.stages}
    found = []
    for key, group in groupby(work.steps, key=lambda s: s.step.stage):
        steps = list(group)
        done = f"{sum(s.done for s in steps)} of {len(steps)}"
        again = sum(len(s.entries) > 1 for s in steps if not kind_of(s.step.evidence).by_parts)
        found.append(
            StageLine(
                *titles[key], f"{done}, {again} corrected" if again else done, _last(steps, clock)
            )
        )
    return tuple(found)


def _last(steps: list[StepStatus], clock: Clock) -> str:
    entries = [entry for s in steps for entry in s.entries]
    if not entries:
        return ""
    newest = max(entries, key=lambda e: e.id)
    return f"{newest.initials} {clock.clock(newest.made_at)}"


def summary(work: Work, revisions: int) -> str:
    """What was done, for the technician to read over and change."""
    board = work.facts.sheet.board
    done = sum(s.done for s in work.steps)
    lines = [
        f"Settings of the {board.model} entered anew and read back after a restart.",
        f"{done} of {len(work.steps)} steps of the bench card done and recorded.",
    ]
    if revisions > 1:
        lines.append(f"The port map was changed {revisions - 1} times; revision {revisions} holds.")
    if work.accepted:
        lines.append(f"{len(work.accepted)} caution accepted with a reason.")
    return "\n".join(lines)

"""From a sheet to its bench card."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from server.trade.card.basis import digest
from server.trade.card.bench import FIRST_POWER, Chapter, Draft, SheetView
from server.trade.card.model import Card, Hazard, Stage, Step
from server.trade.card.stages import (
    battery,
    before,
    check,
    keep,
    level,
    motors,
    parts,
    picture,
    ports,
    radio,
    switches,
)
from server.trade.card.text import tie
from server.trade.card.wording import Wording, weave
from server.trade.power import POWERED
from server.trade.sheet import Sheet

# The order of the job: cold before USB, settings before the battery, proof after every setting.
CHAPTERS: tuple[Chapter, ...] = (
    before.CHAPTER,
    keep.CHAPTER,
    level.CHAPTER,
    ports.CHAPTER,
    radio.CHAPTER,
    switches.CHAPTER,
    motors.CHAPTER,
    picture.CHAPTER,
    parts.CHAPTER,
    battery.CHAPTER,
    check.CHAPTER,
)


def derive(sheet: Sheet, wording: Wording | None = None) -> Card:
    """The card of a sheet: only the steps that this craft needs, in the order of the job.

    `wording` maps keys of SETTINGS to what the shop's own program calls them; it is woven into the
    first instruction and changes no basis. Keys that are not known are passed over. Any sheet that
    can be read has a card, one with findings too.
    """
    bench = SheetView(sheet)
    drafted = ((chapter, list(_keyed(chapter.drafts(bench)))) for chapter in CHAPTERS)
    needed = list(_in_order((chapter, drafts) for chapter, drafts in drafted if drafts))
    return Card(
        tuple(_stage(n, chapter, drafts, wording) for n, (chapter, drafts) in enumerate(needed, 1))
    )


def _keyed(drafts: Iterator[Draft]) -> Iterator[Draft]:
    """The drafts, with a count on further ones of one key: a part may have two like links."""
    seen: dict[str, int] = {}
    for draft in drafts:
        seen[draft.key] = count = seen.get(draft.key, 0) + 1
        yield draft if count == 1 else replace(draft, key=f"{draft.key}/{count}")


def _in_order(
    drafted: Iterable[tuple[Chapter, list[Draft]]],
) -> Iterator[tuple[Chapter, list[Draft]]]:
    """The drafts, each with everything that has to be passed before it."""
    before: list[str] = []
    for chapter, drafts in drafted:
        ordered = []
        for draft in drafts:
            whole = before if chapter.whole else ()
            powered = (FIRST_POWER,) if _waits_for_current(draft) else ()
            after = tuple(dict.fromkeys((*whole, *powered, *draft.after)))
            ordered.append(replace(draft, after=after))
            before += () if draft.off_bench else (draft.key,)
        yield chapter, ordered


def _waits_for_current(draft: Draft) -> bool:
    """What is done on a battery alone waits for the current that the first battery gave."""
    return draft.states <= POWERED and draft.key != FIRST_POWER


def _stage(number: int, chapter: Chapter, drafts: list[Draft], wording: Wording | None) -> Stage:
    steps = tuple(
        _step(f"{number}.{n}", chapter.key, draft, wording) for n, draft in enumerate(drafts, 1)
    )
    return Stage(chapter.key, number, chapter.title, chapter.short, steps)


def _step(number: str, stage: str, draft: Draft, wording: Wording | None) -> Step:
    first, *rest = draft.do
    hazard = draft.hazard
    return Step(
        key=draft.key,
        number=number,
        stage=stage,
        title=tie(draft.title),
        do=tuple(tie(line) for line in (weave(first, draft.setting, wording), *rest)),
        target=tie(draft.target),
        why=tie(draft.why),
        source=draft.source,
        states=draft.states,
        evidence=draft.evidence,
        hazard=Hazard(hazard.word, tie(hazard.says)) if hazard else None,
        basis=digest(draft.parts),
        basis_parts=draft.parts,
        setting=draft.setting,
        after=draft.after,
        reads=draft.reads,
        joints=draft.joints,
    )

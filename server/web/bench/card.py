"""The bench card: the step to do now, what is recorded at it, and the card itself."""

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, ClassVar
from urllib.parse import quote

from fastapi import Request, Response
from starlette.datastructures import FormData

from server.drawing.port_diagram.mini_map import mini_map
from server.records.people import ShopRow
from server.records.tables import Evidence
from server.trade.card import DEFERENCE, Step, read
from server.trade.choices import SYMPTOMS
from server.web.bench.current_step import Now, Theirs, first_open, now_of
from server.web.bench.current_step import Sent as SentBack
from server.web.bench.gate import Gate, gate_of
from server.web.bench.hidden_fields import CARRIED
from server.web.bench.kind_view import Posted, Turn
from server.web.bench.kinds import view_of
from server.web.bench.posted import Submission, told, typed_words
from server.web.bench.progress import StageView, cells, stage_views
from server.web.bench.spin_rounds import outputs
from server.web.bench.state import BenchState, look, looked, step_of
from server.web.bench.uploads import brought_with
from server.web.site.errors import Refusal
from server.web.site.forms import new_key
from server.web.site.offline_answer import is_kept, not_taken, taken
from server.web.site.page import View, by_htmx, go, render
from server.web.site.parts import StageCell, TitleBlock, Way
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.blockers import brief
from server.web.ticket.frame import stamped, title_block
from server.work.bench import recording
from server.work.bench.recording import Recorded
from server.work.bench.step_status import StepStatus
from server.work.errors import Refused, Spent, Stale, Unfit
from server.work.port_map.facts import facts_of
from server.work.shop import Person, Shop

desk = Desk()


@dataclass(frozen=True)
class CounterNotes:
    """What the counter wrote down."""

    words: str
    symptoms: tuple[str, ...]
    by: str


@dataclass(frozen=True)
class CardPage(View):
    """The bench card of one ticket. `now` is None where `gate` says what comes first."""

    template: ClassVar[str] = "bench/card.html"
    fragment: ClassVar[str | None] = "bench/_changed.html"
    desk: ClassVar[str] = "queue"
    scripts: ClassVar[tuple[str, ...]] = ("bench",)

    number: int
    block: TitleBlock
    now: Now | None
    gate: Gate | None
    cells: tuple[StageCell, ...]
    folds: tuple[StageView, ...]
    ways: tuple[Way, ...]
    left: int
    mini: str
    revision: int
    counter: CounterNotes
    deference: str

    def titled(self) -> str:
        """The ticket, and the step when there is one."""
        at = f"{self.now.number} {self.now.title}, " if self.now else ""
        return f"{at}ticket {self.number:04d}"


@desk.get("/tickets/{number:int}/card")
def card(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep, step: str = ""
) -> Response:
    """The card, with the first open step at the top, or the one that is named."""
    seen = look(shop, by, profile, number)
    chosen = seen.standing(step) if step else None
    return render(request, page_of(seen, chosen))


@desk.get("/tickets/{number:int}/steps/{key:path}/evidence")
@desk.get("/tickets/{number:int}/steps/{key:path}/file")
def back_to_step(request: Request, number: int, key: str, _by: By) -> Response:
    """A reload of what a form was sent to: on to the step."""
    return go(request, f"/tickets/{number}/steps/{quote(key)}")


@desk.get("/tickets/{number:int}/steps/{key:path}/so-far")
def so_far(request: Request, number: int, key: str, shop: ShopDep, _by: By) -> Response:
    """What the looks that are chosen and not recorded yet come to."""
    step = step_of(shop, number, key)
    return render(request, view_of(step).so_far(step, request.query_params))


@desk.get("/tickets/{number:int}/steps/{key:path}")
def step_page(
    request: Request,
    number: int,
    key: str,
    shop: ShopDep,
    by: By,
    profile: ProfileDep,
    output: int | None = None,
    again: str = "",
    part: str = "",
) -> Response:
    """The card with this step at the top, to do it again or to correct it."""
    seen = look(shop, by, profile, number)
    turn = Turn(output, outputs(again), part)
    return render(request, page_of(seen, seen.standing(key), turn))


@desk.post("/tickets/{number:int}/steps/{key:path}/evidence")
def record(
    request: Request, number: int, key: str, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Put down what was seen at the step."""
    return _recorded(request, StepAt(shop, by, profile, number, key), sent)


@desk.post("/tickets/{number:int}/steps/{key:path}/file", slow=True)
def record_file(
    request: Request, number: int, key: str, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """The same for a file, which takes longer to write."""
    return _recorded(request, StepAt(shop, by, profile, number, key), sent)


@dataclass(frozen=True)
class StepAt:
    """Who records at which step of which ticket."""

    shop: Shop
    by: Person
    profile: ShopRow
    number: int
    key: str

    def step(self) -> Step:
        """The step itself, however it stands. Raises Missing."""
        return step_of(self.shop, self.number, self.key)

    def look(self) -> BenchState:
        """The ticket as it stands now."""
        return look(self.shop, self.by, self.profile, self.number)


def _recorded(request: Request, at: StepAt, sent: FormData) -> Response:
    act_key = str(sent.get("act_key") or new_key())
    step = at.step()
    posted = told(step, sent)
    if posted.answer is None:
        return _back(request, at, posted, SentBack(posted.form, act_key), 422)
    answer = posted.answer
    try:
        upload = None
        if posted.view.layout.attaches:
            named, upload = brought_with(at.shop, at.number, posted)
            answer = named or answer
        done = recording.recorded(
            at.shop,
            at.by,
            at.number,
            at.key,
            answer=answer,
            act_key=act_key,
            upload=upload,
            basis=posted.basis,
            seen=posted.seen,
            under=posted.under,
            made_at=posted.made_at,
        )
    except Unfit as no:
        form = posted.with_faults([(no.field, f"{no.says} {no.do}".strip()), *no.more])
        return _back(request, at, posted, SentBack(form, act_key), 422)
    except Refused as no:
        # A form whose key is spent would be refused for ever.
        again = new_key() if isinstance(no, Spent) else act_key
        return _back(request, at, posted, _refused(at, posted, again, no, answer), no.status)
    return _next(request, at, step, done)


def _back(request: Request, at: StepAt, told: Submission, sent: SentBack, status: int) -> Response:
    """The page again, with everything that was typed; to a tablet that kept it, only why."""
    if is_kept(request):
        no = sent.refused
        words = (no.says, no.do) if no else sent.form.errors.values()
        return not_taken(" ".join(words).strip(), status)
    seen = at.look()
    view = page_of(seen, seen.standing(at.key), told.view.turn(told.form), sent)
    return render(request, view, status)


def _refused(at: StepAt, told: Submission, act_key: str, no: Refused, answer: Posted) -> SentBack:
    refusal = Refusal(no.says, no.do, no.status)
    theirs = _theirs(at.look(), at.key, told, answer) if isinstance(no, Stale) else None
    return SentBack(told.form, act_key, refusal, theirs)


def _theirs(seen: BenchState, key: str, told: Submission, answer: Posted) -> Theirs | None:
    """Another hand's newer entry at this step; None when it was the map that moved."""
    standing = seen.standing(key)
    newer = [e for e in standing.entries if e.id > told.seen and e.by_id != seen.by.id]
    if not newer or told.basis != standing.step.basis:
        return None
    last = newer[-1]
    says = f"{last.found}, {last.by_name}, {stamped(last, seen.clock)}"
    unsent = (*CARRIED, "file", "kept")
    pairs = [(n, text) for n, texts in told.form.typed.items() for text in texts]
    sent = [(n, text) for n, text in pairs if n not in unsent]
    sent += [("kept", answer["attachment"])] if "attachment" in answer else []
    return Theirs(says, typed_words(standing.step, told.form), tuple(sent))


def _next(request: Request, at: StepAt, step: Step, done: Recorded) -> Response:
    """On to the next step; or to stay, where there is more to record or something to read."""
    entry = done.entry
    if is_kept(request):
        return taken(entry.act_key)
    stays = entry.verdict != "pass" or bool(entry.do) or view_of(step).layout.stays
    ticket = f"/tickets/{at.number}"
    to = f"{ticket}/steps/{quote(at.key)}" if stays else f"{ticket}/card"
    if not by_htmx(request):
        return go(request, to, _says(step, entry))
    seen = looked(done.seen, at.by, at.profile, at.shop.now())
    here = seen.standing(at.key) if stays else None
    answer = render(request, page_of(seen, here, says=_says(step, entry), touched=at.key))
    answer.headers["HX-Replace-Url"] = to
    return answer


def _says(step: Step, entry: Evidence) -> str:
    """One short sentence: a phone has one line for it above the next step."""
    said = view_of(step).said(step.number, read(step, json.loads(entry.answer)), entry.found)
    return f"{said}{', out of limits' if entry.verdict == 'fail' else ''}."


@lru_cache(maxsize=256)
def _small_map(sheet_json: str) -> str:
    """The small map of a saved sheet, which never changes."""
    return mini_map(facts_of(sheet_json).sheet, "mini")


def page_of(
    seen: BenchState,
    chosen: StepStatus | None,
    turn: Turn | None = None,
    sent: SentBack | None = None,
    **more: Any,
) -> CardPage:
    """The whole card. `chosen` stands at the top in place of the first open step."""
    gate = gate_of(seen, chosen)
    here = None if gate else chosen or first_open(seen)
    touched = more.pop("touched", "")
    folds = stage_views(seen, here.step.key if here else "", touched)
    head, work = seen.head, seen.work
    return CardPage(
        number=head.number,
        block=title_block(head, seen.profile),
        now=now_of(seen, here, turn or Turn(), sent) if here else None,
        gate=gate,
        cells=cells(folds, here.step.stage if here else ""),
        folds=folds,
        ways=brief(work, head.number, seen.obstacles) if work else (),
        left=len(seen.obstacles),
        mini=_small_map(head.sheet) if head.sheet else "",
        revision=head.revision,
        counter=CounterNotes(head.own_words, tuple(SYMPTOMS[c] for c in seen.symptoms), _by(seen)),
        deference=DEFERENCE,
        strip=seen.strip,
        **more,
    )


def _by(seen: BenchState) -> str:
    return f"{seen.head.customer}, {seen.clock.day(seen.head.booked_at)}"

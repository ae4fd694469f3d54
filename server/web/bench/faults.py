"""The fault finder: from what is wrong to its cause, a check at a time."""

from dataclasses import dataclass
from typing import Any, ClassVar

from fastapi import Request, Response
from starlette.datastructures import FormData

from server.records.engine import reading
from server.trade.card import DEFERENCE
from server.trade.fault_finder import TABLE, offered
from server.web.bench import fault_view
from server.web.bench.fault_forms import AnswerForm, CauseForm, SymptomsForm
from server.web.bench.fault_view import Answered, CauseShare, CheckQuestion, FoundCause, Other
from server.web.bench.hidden_fields import moment
from server.web.bench.shut import Shut
from server.web.bench.state import BenchState, look
from server.web.site import forms
from server.web.site.errors import Refusal
from server.web.site.forms import Form, new_key
from server.web.site.offline_answer import is_kept, not_taken, taken
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import title_block
from server.work.bench import faults
from server.work.bench.fault_search import FaultSearchState, search_of
from server.work.errors import Refused, Unfit
from server.work.shop import Person, Shop

desk = Desk()
FIRST = 5  # causes that are shown before one asks for more


@dataclass(frozen=True)
class FaultPage(View):
    """Where the search stands. `choosing`: the symptoms are asked for, and nothing else."""

    template: ClassVar[str] = "bench/faults.html"
    scripts: ClassVar[tuple[str, ...]] = ("bench",)
    desk: ClassVar[str] = "queue"

    number: int
    block: TitleBlock
    shut: Shut | None
    refused: Refusal | None
    choosing: bool
    picking: Form[SymptomsForm]
    options: tuple[tuple[str, str], ...]
    looked_for: str
    ask: CheckQuestion | None
    found: FoundCause | None
    plight: str
    first: tuple[CauseShare, ...]
    rest: tuple[CauseShare, ...]
    ruled_out: str
    past: str
    naming: Form[CauseForm]
    shown_by: tuple[tuple[str, str], ...]
    others: tuple[Other, ...]
    answers: tuple[Answered, ...]
    before: tuple[FoundCause, ...]
    deference: str

    def titled(self) -> str:
        """The ticket."""
        return f"Find the fault, ticket {self.number:04d}"


@dataclass(frozen=True)
class FaultSearchAt:
    """Who looks for the fault of which ticket."""

    shop: Shop
    by: Person
    profile: Any
    number: int

    def page(self, **more: Any) -> FaultPage:
        """The page as the search stands now."""
        seen = look(self.shop, self.by, self.profile, self.number)
        with reading(self.shop.engine) as connection:
            return page_of(seen, search_of(connection, seen.head), **more)


@desk.get("/tickets/{number:int}/faults")
def fault_page(
    request: Request,
    number: int,
    shop: ShopDep,
    by: By,
    profile: ProfileDep,
    check: str = "",
    choose: str = "",
) -> Response:
    """The search, with the check that tells most at the top, or the one that is named."""
    at = FaultSearchAt(shop, by, profile, number)
    return render(request, at.page(chosen=check, choosing=bool(choose)))


@desk.get("/tickets/{number:int}/faults/{part:path}")
def back_to_search(request: Request, number: int, part: str, _by: By) -> Response:
    """A reload of what a form was sent to: on to the search."""
    return go(request, f"/tickets/{number}/faults")


@desk.post("/tickets/{number:int}/faults")
def begin(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Look for the cause of what is picked."""
    at, form = FaultSearchAt(shop, by, profile, number), forms.read(SymptomsForm, sent)
    try:
        picked = form.filled.symptoms if form.filled else []
        faults.begin(shop, by, number, symptoms=picked, act_key=_key(sent))
    except Refused as no:
        wrong = form.with_error("symptoms", f"{no.says} {no.do}".strip())
        return render(request, at.page(choosing=True, picking=wrong), no.status)
    return go(request, f"/tickets/{number}/faults")


@desk.post("/tickets/{number:int}/faults/answers")
def answer(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Put down what a check showed."""
    at, form = FaultSearchAt(shop, by, profile, number), forms.read(AnswerForm, sent)
    given = form.filled
    if given is None:
        return _not_answered(request, at, form.text("check"), _unread(form))
    try:
        row = faults.answer(
            shop,
            by,
            number,
            check=given.check,
            outcome=given.outcome,
            act_key=_key(sent),
            seen=given.seen,
            under=given.under,
            made_at=moment(given.made_at),
        )
    except Refused as no:
        return _not_answered(request, at, given.check, _refusal(no))
    if is_kept(request):
        return taken(row.act_key)
    check = TABLE.checks[given.check]
    says = f"Recorded: {faults.says_of(check, given.outcome)}."
    return go(request, f"/tickets/{number}/faults", says)


def _not_answered(request: Request, at: FaultSearchAt, check: str, no: Refusal) -> Response:
    """The check again, with what is in the way; to a tablet that kept it, only that."""
    if is_kept(request):
        return not_taken(f"{no.says} {no.do}".strip(), no.status)
    return render(request, at.page(chosen=check, refused=no), no.status, block="top")


@desk.post("/tickets/{number:int}/faults/causes")
def name_cause(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Put down the cause that was found."""
    at, form = FaultSearchAt(shop, by, profile, number), forms.read(CauseForm, sent)
    if form.filled is None:
        return render(request, at.page(naming=form), 422)
    try:
        faults.found(shop, by, number, act_key=_key(sent), **form.filled.model_dump())
    except Unfit as no:
        field = "" if no.field == "cause" else no.field  # no field of that name is on the page
        wrong = form.with_error(field, f"{no.says} {no.do}".strip())
        return render(request, at.page(naming=wrong), no.status)
    except Refused as no:
        return render(request, at.page(naming=form, refused=_refusal(no)), no.status)
    return go(request, f"/tickets/{number}/faults", "The cause is recorded.")


@desk.post("/tickets/{number:int}/faults/causes/end")
def not_that(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """It was not that: the search goes on."""
    try:
        faults.withdraw(shop, by, number, act_key=_key(sent))
    except Refused as no:
        at = FaultSearchAt(shop, by, profile, number)
        return render(request, at.page(refused=_refusal(no)), no.status)
    return go(request, f"/tickets/{number}/faults", "Recorded: it was not that.")


def _key(sent: FormData) -> str:
    return str(sent.get("act_key") or new_key())


def _refusal(no: Refused) -> Refusal:
    return Refusal(no.says, no.do, no.status)


def _unread(form: Form[Any]) -> Refusal:
    return Refusal("That cannot be read.", " ".join(form.errors.values()), 422)


def page_of(
    seen: BenchState,
    search: FaultSearchState | None,
    *,
    chosen: str = "",
    choosing: bool = False,
    picking: Form[SymptomsForm] | None = None,
    naming: Form[CauseForm] | None = None,
    refused: Refusal | None = None,
) -> FaultPage:
    """The whole page; `picking` and `naming` are forms that came back."""
    ruling = seen.work.facts.sheet if seen.work else None
    told = search.row.symptoms if search and not search.row.found else fault_view.suggested(seen)
    options = tuple((s.code, s.says) for s in offered(ruling))
    picks = picking or Form.blank(SymptomsForm, symptoms=[c for c, _ in options if c in told])
    return FaultPage(
        number=seen.head.number,
        block=title_block(seen.head, seen.profile),
        shut=seen.shut_to_person(),
        refused=refused,
        choosing=choosing or search is None,
        picking=picks,
        options=options,
        deference=DEFERENCE,
        strip=seen.strip,
        **_standing(seen, search, chosen, naming),
    )


def _standing(
    seen: BenchState, search: FaultSearchState | None, chosen: str, naming: Form[CauseForm] | None
) -> dict[str, Any]:
    """What there is of a search; all of it empty before the first."""
    if search is None:
        nothing = ("first", "rest", "shown_by", "others", "answers", "before")
        words = dict.fromkeys(("looked_for", "plight", "ruled_out", "past"), "")
        blank = Form.blank(CauseForm)
        return dict.fromkeys(nothing, ()) | words | {"ask": None, "found": None, "naming": blank}
    row, said = search.row, search.advice
    came_back = naming.text("cause") if naming else ""
    last = next(reversed(row.answers), "")
    blank = Form.blank(CauseForm, check=last)
    causes = [
        fault_view.likely(search, r, naming if naming and r.cause.code == came_back else blank)
        for r in said.causes
    ]
    answers = [fault_view.answered(seen, a) for a in reversed(row.answers.values())]
    ask = None if row.found else fault_view.ask_of(seen, search, chosen)
    return {
        "looked_for": fault_view.listed_symptoms(search),
        "ask": ask,
        "found": fault_view.found_cause(seen, row.found) if row.found else None,
        "plight": fault_view.plight(said),
        "first": tuple(causes[:FIRST]),
        "rest": tuple(causes[FIRST:]),
        "ruled_out": fault_view.ruled_out(said),
        "past": fault_view.past_says(seen, search),
        "naming": naming or blank,
        "shown_by": tuple((code, TABLE.checks[code].asks) for code in reversed(row.answers)),
        "others": tuple(
            fault_view.other(seen, n) for n in said.checks if ask and n.check.code != ask.code
        ),
        "answers": tuple(answers),
        "before": tuple(fault_view.found_cause(seen, c) for c in row.before),
    }

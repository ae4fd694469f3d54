"""The sign desk: what is in the way, the log to read, one phrase, one button."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.ledger.document import STATEMENT
from server.records import logs
from server.records.engine import reading
from server.records.logs import LogRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.ticket import State
from server.web.bench import signing_view
from server.web.bench.signing_view import AcceptedCaution, Open, StageLine
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock, Way
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.blockers import around as ways_around
from server.web.ticket.blockers import every
from server.web.ticket.frame import strip_of, title_block
from server.work.bench import signing
from server.work.bench.log_document import log_document
from server.work.errors import NotAllowed, Refused, Unfit
from server.work.people.keys import fingerprint_of
from server.work.permissions import may
from server.work.shop import Person, Shop

desk = Desk()
NOT_YET = "0" * 43  # stands for the key's thumbprint in a log that is only read over


class SignForm(BaseModel):
    """What was done, in words, and the phrase that opens the key; `seen` names what was read."""

    words: Annotated[str, Field(max_length=4000, description="what was done")]
    phrase: Annotated[str, Field(description="your signing passphrase")]
    seen: Annotated[str, Field(max_length=64)] = ""


class AcceptForm(BaseModel):
    """Which caution, and why it can be taken on."""

    finding: str
    reason: Annotated[str, Field(max_length=1000, description="why it can be accepted")]


@dataclass(frozen=True)
class SignPage(View):
    """Before the signature."""

    template: ClassVar[str] = "bench/signing.html"
    desk: ClassVar[str] = "queue"

    head: TicketHead
    block: TitleBlock
    ways: tuple[Way, ...]
    cautions: tuple[Open, ...]
    taken: tuple[AcceptedCaution, ...]
    stages: tuple[StageLine, ...]
    asked: tuple[tuple[str, str], ...]
    statement: str
    steps: str
    form: Form[SignForm]
    seen: str
    accepting: Form[AcceptForm]
    prefix: str
    may_accept: bool
    may_sign: bool
    fingerprint: str
    not_yet: str
    signed: tuple[LogRow, ...]

    def titled(self) -> str:
        """The ticket."""
        return f"Sign ticket {self.head.number:04d}"


@dataclass(frozen=True)
class DraftPage(View):
    """The whole log as it would be signed now."""

    template: ClassVar[str] = "bench/draft.html"
    desk: ClassVar[str] = "queue"

    head: TicketHead
    block: TitleBlock
    log: dict[str, Any]

    def titled(self) -> str:
        """The ticket."""
        return f"The log of ticket {self.head.number:04d}"


@desk.get("/tickets/{number:int}/signature")
def sign_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """What stands in the way, and the phrase."""
    return render(request, _page(shop, profile, by, number))


@desk.post("/tickets/{number:int}/signature", slow=True)
def sign(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Sign, or say what is in the way; the phrase is never given back."""
    form = forms.read(SignForm, sent)
    if form.filled is None:
        return render(request, _page(shop, profile, by, number, form=form), 422)
    try:
        given = form.filled
        signing.sign(shop, by, number, phrase=given.phrase, words=given.words, seen=given.seen)
    except Refused as no:
        field = no.field if isinstance(no, Unfit) else "phrase" if type(no) is NotAllowed else ""
        wrong = form.with_error(field, f"{no.says} {no.do}".strip())
        return render(request, _page(shop, profile, by, number, form=wrong), no.status)
    return go(request, f"/tickets/{number}", f"The test log of ticket {number:04d} is signed.")


@desk.post("/tickets/{number:int}/acceptances")
def accept(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """The supervisor takes on a caution."""
    form = forms.read(AcceptForm, sent)
    if form.filled is None:
        return render(request, _page(shop, profile, by, number, accepting=form), 422)
    given, key = form.filled, str(sent.get("act_key", ""))
    try:
        signing.accept(shop, by, number, finding=given.finding, reason=given.reason, act_key=key)
    except Refused as no:
        wrong = form.with_error("reason", f"{no.says} {no.do}".strip())
        return render(request, _page(shop, profile, by, number, accepting=wrong), no.status)
    return go(request, f"/tickets/{number}/signature", "The caution is accepted.")


@desk.get("/tickets/{number:int}/log-draft")
def draft_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """The log to read before it is signed."""
    with reading(shop.engine) as connection:
        record = signing.record_of(connection, number)
    log = log_document(
        record,
        number=0,
        previous=None,
        corrects=None,
        by=by,
        kid=NOT_YET,
        at=shop.now(),
        words=signing_view.summary(record.work, len(record.revisions)),
    )
    head, strip = record.head, strip_of(record.head, profile, shop.now())
    return render(request, DraftPage(head, title_block(head, profile), shown(log), strip=strip))


def shown(log: dict[str, Any]) -> dict[str, Any]:
    """The log with each entry's finding as one short text, for people to read."""
    for stage in log["stages"]:
        for step in stage["steps"]:
            for entry in step["evidence"]:
                entry["found_text"] = json.dumps(entry["found"], ensure_ascii=False)
    return log


def _page(
    shop: Shop,
    profile: ShopRow,
    by: Person,
    number: int,
    *,
    form: Form[SignForm] | None = None,
    accepting: Form[AcceptForm] | None = None,
) -> SignPage:
    with reading(shop.engine) as connection:
        record = signing.record_of(connection, number)
        signed = tuple(logs.of_ticket(connection, number))
        fingerprint = fingerprint_of(connection, by)
    head, work, strip = record.head, record.work, strip_of(record.head, profile, shop.now())
    done, signs = sum(s.done for s in work.steps), may(by, "sign")
    obstacles = work.in_the_way_of(by.id, profile.second_eyes) if signs else work.obstacles
    ways = (*ways_around(head, strip), *every(work, number, obstacles))
    cautions = signing_view.open_cautions(work)
    told = (accepting.text("finding") if accepting else "", cautions)
    return SignPage(
        head,
        title_block(head, profile),
        ways,
        cautions,
        signing_view.taken(work),
        signing_view.stage_lines(work, profile.zone),
        signing_view.asked(record, by.name, fingerprint, profile.zone),
        STATEMENT,
        f"{done} of {len(work.steps)} steps",
        form or Form.blank(SignForm, words=signing_view.summary(work, len(record.revisions))),
        record.mark,
        accepting or Form.blank(AcceptForm),
        signing_view.prefix_of(*told),
        may(by, "accept a caution"),
        signs,
        fingerprint,
        _not_yet(head, ways),
        signed,
        strip=strip,
    )


def _not_yet(head: TicketHead, ways: Sequence[Way]) -> str:
    """Why the button is inert; empty when nothing stands in the way."""
    if head.state == State.READY:
        return "this ticket is signed."
    return f"{len(ways)} in the way, see the list." if ways else ""

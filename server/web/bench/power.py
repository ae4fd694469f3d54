"""Power and propellers: the page behind the strip's Change, its heartbeat, and its two acts."""

from dataclasses import dataclass
from typing import Annotated, ClassVar
from urllib.parse import quote

from fastapi import Request, Response
from pydantic import BaseModel, Field
from starlette.datastructures import FormData

from server.trade.card import DEFERENCE
from server.trade.card.stages.hazards import FIRST_POWER, MOTORS, PROPELLERS
from server.trade.power import CONNECTED, MOVES, POWERED, Act, Power
from server.web.bench.asked import PowerRequest, asked_by
from server.web.bench.shut import Shut
from server.web.bench.state import BenchState, look
from server.web.site import forms
from server.web.site.errors import Refusal
from server.web.site.page import View, go, render, strip_answer
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import title_block
from server.work.bench import power
from server.work.errors import Refused
from server.work.permissions import may

desk = Desk()
NAMES = {Power.USB: "USB", Power.LIMITED: "Limited", Power.BATTERY: "Battery"}
HAZARDS = {Power.LIMITED: FIRST_POWER, Power.BATTERY: MOTORS}


class PowerForm(BaseModel):
    """What the hand does, and for a battery how many propellers are on the craft."""

    act: Annotated[Act, Field(description="what is connected or unplugged")]
    propellers: Annotated[int | None, Field(ge=0, le=4)] = None
    step: Annotated[str, Field(max_length=200)] = ""


class PropellersForm(BaseModel):
    """How many propellers are on the craft now."""

    propellers: Annotated[int, Field(ge=0, le=4, description="how many propellers are on it")]
    step: Annotated[str, Field(max_length=200)] = ""


@dataclass(frozen=True)
class Source:
    """One thing that can be connected. `asks`: the propeller question comes with it."""

    state: str
    name: str
    says: str
    act: str
    asks: bool
    word: str
    hazard: str
    shut: Shut | None
    refused: Refusal | None


@dataclass(frozen=True)
class PowerPage(View):
    """Change the power of one ticket's craft. `sources` are what can be connected from here."""

    template: ClassVar[str] = "bench/power.html"
    desk: ClassVar[str] = "queue"

    number: int
    block: TitleBlock
    state: str
    connected: str
    sources: tuple[Source, ...]
    again: bool
    looked: bool
    refused: Refusal | None
    wanted: str
    step: str
    word: str
    hazard: str
    may_act: bool
    deference: str

    def titled(self) -> str:
        """The ticket."""
        return f"Power, ticket {self.number:04d}"


@desk.get("/tickets/{number:int}/power")
def power_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep, step: str = ""
) -> Response:
    """What is connected, and what can be; with ?seen= the strip's heartbeat."""
    seen = look(shop, by, profile, number)
    if "seen" in request.query_params:
        return strip_answer(request, seen.strip)
    return render(request, _page(seen, step))


@desk.post("/tickets/{number:int}/power")
def change(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Connect a source, or unplug."""
    form = forms.read(PowerForm, sent)
    if form.filled is None:
        unread = Refusal("That cannot be read.", " ".join(form.errors.values()), 422)
        return render(request, _page(look(shop, by, profile, number), refused=unread), 422)
    given = form.filled
    try:
        power.change(
            shop, by, number, act=given.act, propellers=given.propellers, act_key=_act_key(sent)
        )
    except Refused as no:
        view = _page(look(shop, by, profile, number), given.step, _refusal(no), given.act)
        return render(request, view, no.status)
    return _onwards(request, look(shop, by, profile, number), given.step)


@desk.post("/tickets/{number:int}/propellers")
def look_again(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Answer the propeller question anew for the connection that is on."""
    form = forms.read(PropellersForm, sent)
    if form.filled is None:
        unread = Refusal("That cannot be read.", " ".join(form.errors.values()), 422)
        return render(request, _page(look(shop, by, profile, number), refused=unread), 422)
    given = form.filled
    try:
        power.look_again(shop, by, number, propellers=given.propellers, act_key=_act_key(sent))
    except Refused as no:
        view = _page(look(shop, by, profile, number), given.step, _refusal(no))
        return render(request, view, no.status)
    return _onwards(request, look(shop, by, profile, number), given.step)


def _act_key(sent: FormData) -> str | None:
    return str(sent.get("act_key") or "") or None


def _refusal(no: Refused) -> Refusal:
    return Refusal(no.says, no.do, no.status)


def _onwards(request: Request, seen: BenchState, step: str) -> Response:
    """To what asked for power; after Unplug to the choices, at once, unless cold was asked for."""
    strip, asked, first = seen.strip, asked_by(seen, step), seen.situation.first_power
    if strip.state is Power.COLD:
        query = f"?step={quote(step)}" if step else ""
        done = asked.href if asked and Power.COLD in asked.states else ""
        to = done or f"{seen.address}/power{query}"
        return go(request, to, "Unplugged. The craft is cold.")
    says = f"Power is now: {strip.name}, {strip.connected}."
    wanted = asked is not None and strip.state in asked.states
    if first and strip.state in seen.standing(first.key).step.states and not wanted:
        return go(request, seen.step_address(first.key), says)
    return go(request, asked.href if asked else f"{seen.address}/card", says)


def _page(
    seen: BenchState, step: str = "", refused: Refusal | None = None, act: Act | None = None
) -> PowerPage:
    state, asked = seen.strip.state, asked_by(seen, step)
    sources = _sources(seen, asked, refused, act) if state is Power.COLD else ()
    placed = any(s.refused for s in sources)
    hazard = PROPELLERS if state in POWERED else None
    return PowerPage(
        number=seen.head.number,
        block=title_block(seen.head, seen.profile),
        state=str(state),
        connected=CONNECTED[state],
        sources=sources,
        again=state in POWERED,
        looked=seen.power.looked,
        refused=None if placed else refused,
        wanted=asked.says if asked else "",
        step=step,
        word=hazard.word if hazard else "",
        hazard=hazard.says if hazard else "",
        may_act=may(seen.by, "work at the bench"),
        deference=DEFERENCE,
        strip=seen.strip,
    )


def _sources(
    seen: BenchState, asked: PowerRequest | None, refused: Refusal | None, act: Act | None
) -> tuple[Source, ...]:
    """Every source, those that are asked for first."""
    wanted = asked.states if asked else frozenset(NAMES)
    moves = MOVES[Power.COLD]
    made = [
        (to, _source(seen, to, one, refused if one is act else None)) for one, to in moves.items()
    ]
    return tuple(source for _, source in sorted(made, key=lambda m: m[0] not in wanted))


def _source(seen: BenchState, to: Power, act: Act, refused: Refusal | None) -> Source:
    hazard = HAZARDS.get(to)
    return Source(
        state=str(to),
        name=NAMES[to],
        says=CONNECTED[to],
        act=act.value,
        asks=to in POWERED,
        word=hazard.word if hazard else "",
        hazard=hazard.says if hazard else "",
        shut=seen.shut_source(to),
        refused=refused,
    )

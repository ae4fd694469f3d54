"""Coming in and going out: the first supervisor of a new shop, signing in, signing out."""

from dataclasses import dataclass
from typing import Annotated, ClassVar
from zoneinfo import available_timezones

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.web.site import forms
from server.web.site.forms import Form, Posted
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import COOKIE, Sent, ShopDep, VisitDep
from server.work.errors import Refused, Unfit
from server.work.people import staff
from server.work.shop import Shop

desk = Desk()
_WITHIN = r"^/([^/\\\s][^\\\s]*)?$"  # an address of ours; another host's would begin with //


class SignInForm(BaseModel):
    """Who, and the phrase; the bench is where this browser stands."""

    name: Annotated[str, Field(description="your sign-in name")]
    phrase: Annotated[str, Field(description="your phrase")]
    bench: Annotated[str, Field(max_length=40)] = ""
    next: Annotated[str, Field(pattern=_WITHIN, max_length=500)] = "/queue"


class SetUpForm(BaseModel):
    """The shop and its first supervisor."""

    shop_name: Annotated[str, Field(description="the shop’s name", max_length=80)]
    zone: Annotated[str, Field(description="the time zone")] = "UTC"
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")] = "EUR"
    name: Annotated[str, Field(description="your name", max_length=80)]
    initials: Annotated[str, Field(description="your initials", max_length=4)]
    sign_in: Annotated[str, Field(description="a name to sign in with", max_length=60)]
    phrase: Annotated[str, Field(description="a phrase")]


@dataclass(frozen=True)
class SignInPage(View):
    """The door."""

    template: ClassVar[str] = "people/sign_in.html"
    title: ClassVar[str] = "Sign in"

    form: Form[SignInForm]
    demo_staff: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class SetUpPage(View):
    """Shown once, in a shop without a supervisor."""

    template: ClassVar[str] = "people/set_up.html"
    title: ClassVar[str] = "Set up the shop"

    form: Form[SetUpForm]
    zones: tuple[tuple[str, str], ...]


@desk.get("/")
def home(request: Request) -> Response:
    """The queue is where work starts."""
    return go(request, "/queue")


@desk.get("/sign-in")
def sign_in_page(request: Request, here: VisitDep, shop: ShopDep) -> Response:
    """Ask who it is."""
    if here.profile is None:
        return go(request, "/set-up")
    wanted = request.query_params.get("next", "/queue")
    return render(request, _door(shop, Form.blank(SignInForm, next=wanted)))


@desk.post("/sign-in", slow=True)
def sign_in(request: Request, posted: Posted, here: VisitDep, shop: ShopDep) -> Response:
    """Let them in, or say that name or phrase is wrong."""
    form = forms.read(SignInForm, posted)
    if form.filled is None:
        return render(request, _door(shop, form), 422)
    try:
        token, _ = staff.sign_in(
            shop, name=form.filled.name, phrase=form.filled.phrase, bench=form.filled.bench
        )
    except Refused as no:
        return render(request, _door(shop, form.with_error("phrase", f"{no.says} {no.do}")), 422)
    return _remembered(request, go(request, form.filled.next), token)


@desk.post("/sign-out")
def sign_out(request: Request, _sent: Sent, shop: ShopDep) -> Response:
    """End this browser's sign-in."""
    staff.sign_out(shop, request.cookies.get(COOKIE, ""))
    answer = go(request, "/sign-in", "Signed out.")
    answer.delete_cookie(COOKIE)
    return answer


@desk.get("/set-up")
def set_up_page(request: Request, here: VisitDep) -> Response:
    """The one-time page of a new shop."""
    if here.profile is not None:
        return go(request, "/sign-in")
    return render(request, SetUpPage(Form.blank(SetUpForm, zone="UTC", currency="EUR"), _zones()))


@desk.post("/set-up", slow=True)
def set_up(request: Request, posted: Posted, shop: ShopDep) -> Response:
    """Make the shop and its first supervisor, and let them in."""
    form = forms.read(SetUpForm, posted)
    if form.filled is None:
        return render(request, SetUpPage(form, _zones()), 422)
    given = form.filled
    try:
        staff.set_up(shop, **given.model_dump())
    except Unfit as no:
        return render(request, SetUpPage(form.with_error(no.field, no.says), _zones()), 422)
    token, _ = staff.sign_in(shop, name=given.sign_in, phrase=given.phrase)
    return _remembered(request, go(request, "/queue", "The shop is set up."), token)


def _door(shop: Shop, form: Form[SignInForm]) -> SignInPage:
    return SignInPage(form, staff.DEMO_STAFF if shop.demo else ())


def _remembered(request: Request, answer: Response, token: str) -> Response:
    answer.set_cookie(
        COOKIE,
        token,
        httponly=True,
        samesite="lax",
        secure=request.app.state.secure_cookies,
        max_age=staff.LOGIN_HOURS * 3600,
    )
    return answer


def _zones() -> tuple[tuple[str, str], ...]:
    known = sorted(z for z in available_timezones() if "/" in z and not z.startswith("Etc/"))
    return tuple((zone, zone) for zone in ("UTC", *known))

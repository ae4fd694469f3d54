"""Setting a password: the first by a one-time code, another by the one there is."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.web.site import forms
from server.web.site.errors import told_when
from server.web.site.forms import Form, Posted
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import COOKIE, By, Sent, ShopDep, VisitDep, address_of, remembered
from server.work.errors import Refused, Unfit
from server.work.people import staff
from server.work.people.passwords import MOST

desk = Desk()
_TWICE = "The two passwords differ. Type both again."


class FirstPasswordForm(BaseModel):
    """Who, the code they were given, and the password that they want; it is never given back."""

    name: Annotated[str, Field(description="your sign-in name", max_length=60)]
    one_time_code: Annotated[str, Field(description="the one-time code", max_length=40)]
    password: Annotated[str, Field(description="the new password", max_length=MOST)]
    again: Annotated[str, Field(description="the new password once more", max_length=MOST)]


class PasswordForm(BaseModel):
    """The password as it is, and the new one twice; none of the three is given back."""

    password: Annotated[str, Field(description="your password as it is now", max_length=MOST)]
    new_password: Annotated[str, Field(description="the new password", max_length=MOST)]
    again: Annotated[str, Field(description="the new password once more", max_length=MOST)]


@dataclass(frozen=True)
class FirstPasswordPage(View):
    """For somebody new, or whose password was reset."""

    template: ClassVar[str] = "people/first_password.html"
    title: ClassVar[str] = "Set your password"

    form: Form[FirstPasswordForm]


@dataclass(frozen=True)
class PasswordPage(View):
    """For whoever is signed in."""

    template: ClassVar[str] = "people/password.html"
    title: ClassVar[str] = "Your password"
    desk: ClassVar[str] = "office"

    form: Form[PasswordForm]


@desk.get("/first-password")
def first_password_page(request: Request, here: VisitDep) -> Response:
    """Ask for the code and the password."""
    if here.profile is None:
        return go(request, "/set-up")
    return render(request, FirstPasswordPage(Form.blank(FirstPasswordForm)))


@desk.post("/first-password", slow=True)
def first_password(request: Request, posted: Posted, _here: VisitDep, shop: ShopDep) -> Response:
    """Set it, and let them in; the code is used up then."""
    form = forms.read(FirstPasswordForm, posted)
    if form.filled is not None and form.filled.password != form.filled.again:
        form = form.with_error("again", _TWICE)
    if form.filled is None:
        return render(request, FirstPasswordPage(form), 422)
    given = form.filled
    try:
        token, _ = staff.choose_password(
            shop,
            name=given.name,
            code=given.one_time_code,
            password=given.password,
            address=address_of(request),
        )
    except Refused as no:
        field = no.field if isinstance(no, Unfit) else "one_time_code"
        wrong = form.with_error(field, f"{no.says} {no.do}".strip())
        status = 422 if no.status == 403 else no.status
        return told_when(render(request, FirstPasswordPage(wrong), status), no)
    return remembered(request, go(request, "/queue", "Your password is set."), token)


@desk.get("/password")
def password_page(request: Request, _by: By) -> Response:
    """Ask for the old one and the new one."""
    return render(request, PasswordPage(Form.blank(PasswordForm)))


@desk.post("/password", slow=True)
def change_password(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Change it; every other browser of theirs is signed out."""
    form = forms.read(PasswordForm, sent)
    if form.filled is not None and form.filled.new_password != form.filled.again:
        form = form.with_error("again", _TWICE)
    if form.filled is None:
        return render(request, PasswordPage(form), 422)
    given = form.filled
    try:
        staff.change_password(
            shop,
            by,
            password=given.password,
            new_password=given.new_password,
            token=request.cookies.get(COOKIE, ""),
            address=address_of(request),
        )
    except Refused as no:
        field = no.field if isinstance(no, Unfit) else "password"
        wrong = form.with_error(field, f"{no.says} {no.do}".strip())
        return told_when(render(request, PasswordPage(wrong), no.status), no)
    says = "Your password is changed. Every other device is signed out."
    return go(request, "/queue", says)

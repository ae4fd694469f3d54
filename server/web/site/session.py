"""Who is at this browser, and whether the form they sent is one of ours."""

import hmac
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request, Response
from starlette.datastructures import FormData

from server.records import people
from server.records.engine import reading
from server.web.site import page
from server.web.site.forms import posted
from server.web.site.offline_answer import is_kept
from server.web.site.routing import run
from server.work.bench import not_known
from server.work.errors import NotAllowed
from server.work.people.staff import LOGIN_HOURS, digest
from server.work.shop import Person, Shop

COOKIE = "quadwright"


class SignInFirst(Exception):
    """Nobody is signed in here, and the page needs somebody."""


class SetUpFirst(Exception):
    """The shop has no supervisor yet."""


@dataclass(frozen=True)
class Visit:
    """One request: the shop's settings, and who is signed in, if anybody."""

    profile: people.ShopRow | None
    person: Person | None
    csrf: str


def shop_of(request: Request) -> Shop:
    """The shop that this app serves."""
    shop: Shop = request.app.state.shop
    return shop


async def get_shop(request: Request) -> Shop:
    """The same, for a route's signature."""
    return shop_of(request)


async def visit(request: Request) -> Visit:
    """Who is here; also fills what base.html shows of them."""
    found = await run(request, _look_up, shop_of(request), request.cookies.get(COOKIE, ""))
    _furnish(request, found)
    return found


def _look_up(shop: Shop, token: str) -> Visit:
    not_known.end_after_a_leap(shop)  # so that every page shows what is known now
    with reading(shop.engine) as connection:
        profile = people.shop(connection)
        row = people.signed_in(connection, digest(token), shop.now()) if token else None
    if row is None:
        return Visit(profile, None, "")
    return Visit(profile, Person(row.id, row.name, row.initials, row.role, row.bench), row.csrf)


def _furnish(request: Request, found: Visit) -> None:
    _furnish_house(request, found.profile)
    person = found.person
    request.state.csrf = found.csrf
    request.state.staff = _shown(person) if person else None


async def furnish_house(request: Request) -> None:
    """How the shop's pages are drawn, for a page that no route answers."""
    _furnish_house(request, await run(request, _profile_of, shop_of(request)))


def _profile_of(shop: Shop) -> people.ShopRow | None:
    with reading(shop.engine) as connection:
        return people.shop(connection)


def _furnish_house(request: Request, shop: people.ShopRow | None) -> None:
    if shop is not None:
        request.state.house = page.House(shop.name, shop.zone, shop.country)


def _shown(person: Person) -> page.Visitor:
    return page.Visitor(person.name, person.initials, person.role, person.id)


async def signed_in(here: Annotated[Visit, Depends(visit)]) -> Person:
    """Who acts. Raises SignInFirst, or SetUpFirst in a shop without a supervisor."""
    if here.profile is None:
        raise SetUpFirst
    if here.person is None:
        raise SignInFirst
    return here.person


async def profile(here: Annotated[Visit, Depends(visit)]) -> people.ShopRow:
    """The shop's own settings. Raises SetUpFirst before there are any."""
    if here.profile is None:
        raise SetUpFirst
    return here.profile


async def checked_form(
    request: Request,
    here: Annotated[Visit, Depends(visit)],
    form: Annotated[FormData, Depends(posted)],
) -> FormData:
    """The posted form of somebody signed in, with the token against cross-site requests."""
    if here.profile is not None and here.person is None:
        raise SignInFirst
    sent = form.get("csrf") or request.headers.get("X-Csrf", "")
    if not here.csrf or not hmac.compare_digest(str(sent).encode(), here.csrf.encode()):
        if is_kept(request):
            raise SignInFirst  # somebody else has signed in since: it waits on the tablet
        raise NotAllowed(
            "This form is from an older sign-in.", "Go back, load the page again, and send anew."
        )
    return form


def address_of(request: Request) -> str:
    """Where the request comes from, as the server or its trusted proxy says."""
    return request.client.host if request.client else ""


def remembered(request: Request, answer: Response, token: str) -> Response:
    """The answer with the cookie of a new sign-in."""
    answer.set_cookie(
        COOKIE,
        token,
        httponly=True,
        samesite="lax",
        secure=request.app.state.secure_cookies,
        max_age=LOGIN_HOURS * 3600,
    )
    return answer


ShopDep = Annotated[Shop, Depends(get_shop)]
By = Annotated[Person, Depends(signed_in)]
ProfileDep = Annotated[people.ShopRow, Depends(profile)]
VisitDep = Annotated[Visit, Depends(visit)]
Sent = Annotated[FormData, Depends(checked_form)]

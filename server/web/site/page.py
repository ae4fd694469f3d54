"""A page: what its template may know, and how it becomes an answer.

A page is a frozen dataclass derived from `View`; its fields are its template's whole vocabulary,
beside `frame` and the names that every template has. `render` draws it: whole, or, when htmx asks,
its fragment with what else of the page changed.
"""

import hashlib
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, fields
from datetime import UTC, datetime, tzinfo
from functools import lru_cache
from pathlib import Path
from typing import Any, ClassVar, NamedTuple
from urllib.parse import quote, unquote

from fastapi import Request, Response
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from server.trade.choices import (
    BATTERY_LOOKS,
    CONDITIONS,
    HOW_AGREED,
    ITEMS,
    SYMPTOMS,
    TOLD_THE_SHOP,
)
from server.trade.power import BARS, CONNECTED, Power
from server.trade.roles import ROLE_WORDS, Role
from server.trade.ticket import State, TicketAct
from server.web.site import filters
from server.web.site.forms import new_key
from server.web.site.marks import MARKS

DESKS = (
    ("queue", "Queue", "/queue"),
    ("book-in", "Book in", "/book-in"),
    ("archive", "Archive", "/archive"),
    ("catalogue", "Catalogue", "/catalogue"),
    ("office", "Office", "/office"),
)
_SAID = "said"  # the cookie that carries one sentence across a redirect
_NAMES = {
    Power.COLD: "Cold",
    Power.USB: "USB",
    Power.LIMITED: "Limited",
    Power.BATTERY: "Battery",
}


@dataclass(frozen=True)
class Visitor:
    """Who is signed in, as the page shows them."""

    name: str
    initials: str
    role: str
    id: int = 0


def milliseconds(moment: datetime) -> int:
    """As scripts count time, rounded up."""
    return int(moment.timestamp() * 1000) + 1


@dataclass(frozen=True)
class PowerStrip:
    """The strip under the head of a bench page.

    `address` answers GET with the strip itself (see `strip_answer`) and shows the page that changes
    the state; `props` is the bold half of the line, `says` the rest. `under` is what the forms of
    the page carry (gate.connection_of), `until` when the look at the propellers ends, and `at` when
    all this was so, by the server's clock. Not `known`: `state` is the last that was.
    """

    ticket: int
    state: Power
    address: str
    props: str = ""
    says: str = ""
    under: str = ""
    until: datetime | None = None
    at: datetime | None = None
    known: bool = True

    @property
    def look(self) -> str:
        """Which look of the strip fits."""
        return str(self.state) if self.known else "unknown"

    @property
    def bars(self) -> int:
        """How many of the three bars are filled."""
        return BARS[self.state]

    @property
    def name(self) -> str:
        """The state as a heading."""
        return _NAMES[self.state] if self.known else "Not known"

    @property
    def connected(self) -> str:
        """What is connected."""
        return CONNECTED[self.state] if self.known else f"before: {CONNECTED[self.state]}"

    @property
    def clock(self) -> int:
        """`at` in milliseconds, rounded up: nothing known here happened after it."""
        return milliseconds(self.at) if self.at else 0

    @property
    def ends(self) -> int:
        """`until` in milliseconds; 0 where nothing ends."""
        return milliseconds(self.until) if self.until else 0

    @property
    def mark(self) -> str:
        """Changes when anything on the strip does."""
        shown = f"{self.ticket}|{self.look}|{self.state}|{self.props}|{self.says}|{self.under}"
        return hashlib.sha256(shown.encode()).hexdigest()[:12]


@dataclass(frozen=True)
class View:
    """Base of all pages. Derive a frozen dataclass; give `template`, and `title` or `titled()`.

    `scripts` names the folders of static/js that the page needs beside what every page has.
    `fragment` is the template that htmx gets instead of the whole page. `strip` and `says` belong
    to the frame: the power strip of a bench page, and the sentence for the status region.
    """

    known: ClassVar[list[type["View"]]] = []
    template: ClassVar[str]
    fragment: ClassVar[str | None] = None
    title: ClassVar[str] = ""
    desk: ClassVar[str] = ""
    public: ClassVar[bool] = False
    scripts: ClassVar[tuple[str, ...]] = ()

    strip: PowerStrip | None = field(default=None, kw_only=True)
    says: str = field(default="", kw_only=True)

    def __init_subclass__(cls, **given: Any) -> None:
        """Keep every page in a list, for the tests over all of them."""
        super().__init_subclass__(**given)
        View.known.append(cls)

    def titled(self) -> str:
        """The page's title, where it depends on what is shown."""
        return self.title

    def vocabulary(self) -> dict[str, Any]:
        """What the template is given beside `frame`."""
        return {name: getattr(self, name) for name in vocabulary(type(self))}


def vocabulary(view: type[View]) -> set[str]:
    """The names that a page gives to its template."""
    return {f.name for f in fields(view)} - {f.name for f in fields(View)}


@dataclass(frozen=True)
class Frame:
    """What base.html needs on every page."""

    shop_name: str
    demo: bool
    staff: Visitor | None
    csrf: str
    desk: str
    path: str
    theme: str
    strip: PowerStrip | None
    status_line: str
    request_id: str
    title: str
    failed: bool
    public: bool
    scripts: tuple[str, ...]


class House(NamedTuple):
    """What of a shop's settings its pages are drawn by."""

    name: str = "Quadwright"
    zone: str = "UTC"
    country: str = "GB"


@dataclass(frozen=True)
class Pages:
    """How this shop draws, as `app.state.pages` gives it for a `House`."""

    env: Environment
    shop_name: str
    demo: bool = False


def environment(
    templates: Path,
    *,
    zone: tzinfo = UTC,
    country: str = "GB",
    asset: Callable[[str], str] = "/static/{}".format,
) -> Environment:
    """The templates' surroundings: strict about unknown names, escaping, times in the shop's zone,
    money and telephones as its country writes them.

    `asset` gives the address of a static file by its name.
    """
    env = Environment(
        loader=FileSystemLoader(templates),
        undefined=StrictUndefined,
        autoescape=True,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters |= filters.filters(zone, country)
    env.globals |= {"asset": asset, "desks": DESKS, "new_key": new_key, "kept": _kept()}
    env.globals |= TABLES | MARKS
    return env


# The tables of the shop, so that no template spells a state, a role or a choice.
TABLES: dict[str, object] = {
    "BATTERY_LOOKS": BATTERY_LOOKS,
    "CONDITIONS": CONDITIONS,
    "HOW_TOLD": tuple((how, HOW_AGREED[how].capitalize()) for how in TOLD_THE_SHOP),
    "ITEMS": ITEMS,
    "Role": Role,
    "ROLE_WORDS": ROLE_WORDS,
    "SYMPTOMS": SYMPTOMS,
    "State": State,
    "TicketAct": TicketAct,
}


def pages_of(request: Request) -> Pages:
    """How the shop of this request draws; before anybody looked it up, and before it is set up, as
    a shop without settings does."""
    pages: Pages = request.app.state.pages(getattr(request.state, "house", House()))
    return pages


def _kept() -> Callable[..., str]:
    """For templates: `kept(macro, *given)` is what the macro draws of frozen values, drawn once.

    Most of a card is as it was at the last look, and to compare its values costs a tenth of drawing
    them. Only for macros imported without context, which draw from their arguments alone.
    """

    @lru_cache(maxsize=4096)
    def kept(macro: Callable[..., str], *given: Hashable) -> str:
        return macro(*given)

    return kept


def by_htmx(request: Request) -> bool:
    """Whether a fragment is asked for. A page restored from history is always whole."""
    asked = request.headers.get("HX-Request") == "true"
    return asked and request.headers.get("HX-History-Restore-Request") != "true"


def render(request: Request, view: View, status: int = 200, block: str | None = None) -> Response:
    """The page, or for htmx its fragment with the strip and the status line out of band.

    `block` names a block of the page's template to send instead of `fragment`; what the block uses
    has to be imported inside it.
    """
    pages = pages_of(request)
    frame = frame_of(request, view, failed=status == 422)
    given = view.vocabulary() | {"frame": frame}
    if by_htmx(request) and (block or view.fragment):
        # The title goes first: htmx looks at the first only, and drawings have titles too.
        body = _beside(pages.env, frame) + _fragment(pages.env, view, given, block)
    else:
        body = pages.env.get_template(view.template).render(given)
    answer = HTMLResponse(body, status, headers={"Vary": "HX-Request"})
    if not view.public:
        answer.headers["Cache-Control"] = "no-store"
    if _SAID in request.cookies:
        answer.delete_cookie(_SAID)
    return answer


def _fragment(env: Environment, view: View, given: dict[str, Any], block: str | None) -> str:
    if block is None:
        return env.get_template(view.fragment or view.template).render(given)
    template = env.get_template(view.template)
    return "".join(template.blocks[block](template.new_context(given)))


def _beside(env: Environment, frame: Frame) -> str:
    return env.get_template("site/_beside.html").render(frame=frame)


def frame_of(request: Request, view: View, *, failed: bool = False) -> Frame:
    """What surrounds the page: who is signed in, where they are, what was just said to them."""
    pages = pages_of(request)
    state = request.state
    theme = request.cookies.get("theme", "")
    return Frame(
        shop_name=pages.shop_name,
        demo=pages.demo,
        staff=getattr(state, "staff", None),
        csrf=getattr(state, "csrf", ""),
        desk=view.desk,
        path=request.url.path,
        theme=theme if theme in ("light", "dark") else "",
        strip=view.strip,
        status_line=view.says or unquote(request.cookies.get(_SAID, "")),
        request_id=getattr(state, "request_id", ""),
        title=view.titled(),
        failed=failed,
        public=view.public,
        scripts=(("strip",) if view.strip else ()) + view.scripts,
    )


def go(request: Request, to: str, says: str = "") -> Response:
    """After an act without a fragment of its own: on to the page `to`, which then `says` so."""
    if by_htmx(request):
        answer = Response(status_code=204, headers={"HX-Redirect": to})
    else:
        answer = Response(status_code=303, headers={"Location": to})
    answer.headers["Vary"] = "HX-Request"
    if says:
        secure = request.url.scheme == "https"
        answer.set_cookie(
            _SAID, quote(says), max_age=60, httponly=True, samesite="lax", secure=secure
        )
    return answer


def after(request: Request, view: View, to: str) -> Response:
    """After an act: the fragments it changed for htmx, else on to the page `to`."""
    return render(request, view) if by_htmx(request) else go(request, to, view.says)


def strip_answer(request: Request, strip: PowerStrip) -> Response:
    """What the page's heartbeat gets: 204 when it has shown this strip already, else the strip."""
    quiet = {"Cache-Control": "no-store", "X-Clock": str(strip.clock)}
    if request.query_params.get("seen") == strip.mark:
        return Response(status_code=204, headers=quiet)
    pages = pages_of(request)
    draw = vars(pages.env.get_template("site/_parts.html").module)["power_strip"]
    return HTMLResponse(str(draw(strip)), headers=quiet)

"""The app on a tablet: what installs it, what shows without network, and who is signed in on it."""

import hashlib
import json
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from fastapi import Request, Response
from fastapi.responses import HTMLResponse, JSONResponse

from server.places import STATIC
from server.web.site.page import View, frame_of, pages_of
from server.web.site.routing import Desk
from server.web.site.session import VisitDep

desk = Desk()
# What the page without network needs; other static files are put by when they are first asked for.
FILES = (
    "quadwright.css",
    "quadwright.js",
    "offline.js",
    "mark.svg",
    "fira-sans-400-latin.woff2",
    "fira-sans-600-latin.woff2",
    "fira-sans-condensed-600-latin.woff2",
)
PAPER, INK = "#ffffff", "#14201b"  # of static/mark.svg


@dataclass(frozen=True)
class OfflinePage(View):
    """Stands in for any page that could not be fetched. It holds nothing of anybody."""

    template: ClassVar[str] = "site/offline.html"
    title: ClassVar[str] = "No network"
    public: ClassVar[bool] = True
    scripts: ClassVar[tuple[str, ...]] = ("offline",)


@desk.get("/offline")
def offline(request: Request, _here: VisitDep) -> Response:
    """The page that a tablet puts by: the same whoever asks; `visit` gives the shop its name."""
    return HTMLResponse(_offline(request), headers={"Cache-Control": "no-cache"})


@desk.get("/service-worker.js")
def service_worker(request: Request, _here: VisitDep) -> Response:
    """The script that answers without network; its cache is named by what is in it."""
    files = [_asset(request, name) for name in FILES]
    digest = hashlib.sha256("".join((*files, _offline(request))).encode()).hexdigest()[:12]
    names = f"const kept = {json.dumps('quadwright-' + digest)}, files = {json.dumps(files)};\n"
    text = names + (STATIC / "worker/service-worker.js").read_text("utf-8")
    return Response(text, media_type="text/javascript", headers={"Cache-Control": "no-cache"})


@desk.get("/manifest.webmanifest")
def manifest(request: Request, _here: VisitDep) -> Response:
    """What a browser asks before it installs the pages as an app (W3C Web App Manifest)."""
    told: dict[str, Any] = {
        "id": "/queue",
        "name": f"Quadwright, {pages_of(request).shop_name}",
        "short_name": "Quadwright",
        "start_url": "/queue",
        "scope": "/",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": INK,
        "icons": [
            {"src": _asset(request, "mark.svg"), "sizes": "any", "type": "image/svg+xml"},
        ],
    }
    headers = {"Cache-Control": "no-cache"}
    return JSONResponse(told, media_type="application/manifest+json", headers=headers)


@desk.get("/here")
def here(here: VisitDep) -> Response:
    """Who is signed in, and the token for what they kept: an act goes out under no other name."""
    who = {"by": str(here.person.id), "csrf": here.csrf} if here.person else {"by": ""}
    return JSONResponse(who, headers={"Cache-Control": "no-store"})


def _asset(request: Request, name: str) -> str:
    return str(pages_of(request).env.globals["asset"](name))  # type: ignore[operator]  # Assets.url


def _offline(request: Request) -> str:
    view = OfflinePage()
    bare = replace(
        frame_of(request, view),
        staff=None,
        csrf="",
        theme="",
        status_line="",
        request_id="",
        path="/queue",
    )
    return pages_of(request).env.get_template(view.template).render(frame=bare)

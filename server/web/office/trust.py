"""The supervisor's page about trust: the key list and heads to sign, logs to keep elsewhere."""

import io
import zipfile
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field
from sqlalchemy import Connection

from server.ledger import headfile, keylist, signing
from server.ledger.parts import moment
from server.records import logs, trust
from server.records.engine import reading
from server.records.logs import KeyRow
from server.records.trust import PublishedRow, ShopEventRow
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, Sent, ShopDep
from server.work.errors import Missing, NotAllowed, Refused
from server.work.office import trust as acts
from server.work.people.keys import fingerprint_of
from server.work.permissions import require
from server.work.shop import Person, Shop

desk = Desk()
AT_ONCE = 500  # logs in one archive: some 30 MB of them unpacked
SHOWN = 30  # lines of what was changed


class PublishForm(BaseModel):
    """The phrase that opens the supervisor's key."""

    phrase: Annotated[str, Field(description="your signing passphrase", max_length=300)]


@dataclass(frozen=True)
class TrustPage(View):
    """What is signed for the outside, and how far behind it is."""

    template: ClassVar[str] = "office/trust.html"
    title: ClassVar[str] = "Keys and heads"
    desk: ClassVar[str] = "office"

    form: Form[PublishForm]
    fingerprint: str
    keys: tuple[KeyRow, ...]
    signed: PublishedRow | None
    head: PublishedRow | None
    behind: int
    count: int
    archives: tuple[tuple[int, int], ...]
    events: tuple[ShopEventRow, ...]


@desk.get("/office/trust")
def trust_page(request: Request, shop: ShopDep, by: By) -> Response:
    """How things stand."""
    require(by, "run the office")
    return render(request, _page(shop, by))


@desk.post("/office/trust", slow=True)
def publish(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Sign the key list and a head as they are now."""
    require(by, "run the office")
    form = forms.read(PublishForm, sent)
    if form.filled is None:
        return render(request, _page(shop, by, form), 422)
    act_key = str(sent.get("act_key") or "") or None
    try:
        head = acts.publish(shop, by, phrase=form.filled.phrase, act_key=act_key)
    except Refused as no:
        field = "phrase" if type(no) is NotAllowed else ""
        return render(
            request, _page(shop, by, form.with_error(field, f"{no.says} {no.do}")), no.status
        )
    return go(request, "/office/trust", f"Key list and head over {head.size} logs are signed.")


@desk.get("/office/logs-{first:int}.zip", slow=True)
def archive(first: int, shop: ShopDep, by: By) -> Response:
    """Some logs with the newest key list and head, to be kept elsewhere."""
    require(by, "run the office")
    with reading(shop.engine) as connection:
        found = trust.some(connection, first, first + AT_ONCE - 1)
        beside = [*_newest(connection)]
    if not found:
        raise Missing("There is no such log.", "Look at the list.")
    last = found[-1][0]
    named = [(f"{number:04d}{signing.SUFFIX}", data) for number, data in found]
    headers = {
        "Content-Disposition": f'attachment; filename="logs-{first:04d}-{last:04d}.zip"',
        "Cache-Control": "no-store",
    }
    return Response(_packed([*named, *beside]), media_type="application/zip", headers=headers)


def _newest(connection: Connection) -> list[tuple[str, bytes]]:
    """The newest key list and head, by the names that they have in an archive."""
    names = {"keys": f"shop{keylist.SUFFIX}", "head": f"shop{headfile.SUFFIX}"}
    rows = trust.published(connection)
    found = []
    for kind, name in names.items():
        newest = next((row.id for row in rows if row.kind == kind), None)
        data = trust.file_of(connection, kind, newest) if newest else None
        found += [(name, data)] if data else []
    return found


def _packed(files: list[tuple[str, bytes]]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in files:
            # The same logs give the same archive, whenever it is fetched.
            made.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def _page(shop: Shop, by: Person, form: Form[PublishForm] | None = None) -> TrustPage:
    with reading(shop.engine) as connection:
        rows, count = trust.published(connection), trust.how_many(connection)
        signed, head = (
            next((r for r in rows if r.kind == kind), None) for kind in ("keys", "head")
        )
        now = acts.key_list(connection, moment(shop.now()), signed.kid if signed else "0" * 43)
        behind = acts.behind(acts.newest_list(connection), now)
        return TrustPage(
            form or Form.blank(PublishForm),
            fingerprint_of(connection, by),
            tuple(logs.keys(connection)),
            signed,
            head,
            behind,
            count,
            _archives(count),
            tuple(trust.events(connection, SHOWN)),
        )


def _archives(count: int) -> tuple[tuple[int, int], ...]:
    return tuple((first, min(first + AT_ONCE - 1, count)) for first in range(1, count + 1, AT_ONCE))

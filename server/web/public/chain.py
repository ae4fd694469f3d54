"""The shop's key lists and heads for everybody, and the proof from one head to the next."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request, Response
from sqlalchemy import Connection

from server.ledger import headfile, keylist, proofs
from server.ledger.head import growth
from server.records import trust
from server.records.engine import reading
from server.records.trust import PublishedRow
from server.web.site.noindex import handed_out, quiet
from server.web.site.page import View, render
from server.web.site.routing import Desk
from server.web.site.session import ShopDep, VisitDep
from server.work.errors import Missing, Unfit

desk = Desk()
SUFFIXES = {"keys": keylist.SUFFIX, "head": headfile.SUFFIX}


@dataclass(frozen=True)
class ChainPage(View):
    """What the shop gave out, the newest first."""

    template: ClassVar[str] = "public/chain.html"
    public: ClassVar[bool] = True
    title: ClassVar[str] = "Key lists and heads"

    lists: tuple[PublishedRow, ...]
    heads: tuple[PublishedRow, ...]


@desk.get("/chain")
def chain_page(request: Request, shop: ShopDep, _here: VisitDep) -> Response:
    """Key lists and heads to keep."""
    with reading(shop.engine) as connection:
        rows = trust.published(connection)
    lists, heads = (tuple(row for row in rows if row.kind == kind) for kind in ("keys", "head"))
    return quiet(render(request, ChainPage(lists, heads)))


@desk.get("/chain/{kind}-{number:int}")
def published_file(kind: str, number: int, shop: ShopDep) -> Response:
    """A key list or head, as it was signed."""
    with reading(shop.engine) as connection:
        data = trust.file_of(connection, kind, number)
    if data is None:
        raise Missing("This shop signed no such list or head.", "Look at the list of them.")
    return handed_out(f"{kind}-{number}{SUFFIXES[kind]}", data)


@desk.get("/chain/growth", slow=True)
def growth_file(shop: ShopDep, older: int = 0, younger: int = 0) -> Response:
    """The proof that the younger head begins with the older."""
    with reading(shop.engine) as connection:
        heads = sorted((_head(connection, older), _head(connection, younger)), key=_size)
        digests = trust.digests(connection, heads[1].size)
    if heads[0].size == heads[1].size:
        raise Unfit("younger", "Both heads count the same logs.", "Choose two that differ.")
    if len(digests) < heads[1].size:
        raise Missing("Logs that the head counts are not here.", "Ask the shop.")
    proof = growth(digests, heads[0].size)
    return handed_out(
        f"growth-{heads[0].size}-{heads[1].size}{proofs.SUFFIX}", proofs.proof_file(proof)
    )


def _head(connection: Connection, number: int) -> PublishedRow:
    rows = trust.published(connection)
    found = next((row for row in rows if row.kind == "head" and row.id == number), None)
    if found is None:
        raise Missing("This shop signed no such head.", "Choose two of the list.")
    return found


def _size(row: PublishedRow) -> int:
    return row.size

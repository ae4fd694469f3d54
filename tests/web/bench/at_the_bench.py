"""What the tests of the bench's pages share: a ticket got ready, and a page read."""

import html
import re

from sqlalchemy import func
from sqlmodel import select

from server.records.engine import reading
from server.records.tables import Evidence
from server.trade.power import Act
from server.work.bench import power
from server.work.bench.progress import work_of
from server.work.shop import Person, Shop
from tests import make
from tests.web.client import Browser, Page


def ready(shop: Shop, kit: Person, key: str, act: Act | None = None) -> int:
    """A ticket worked through up to `key`, with the power that it wants."""
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until=key)
    if act is not None:
        power.change(shop, kit, number, act=act, propellers=0)
    return number


def mark(shop: Shop, number: int, key: str) -> str:
    with reading(shop.engine) as connection:
        work = work_of(connection, make.head(shop, number))
    return next(s.mark for s in work.steps if s.step.key == key)


def entries(shop: Shop) -> int:
    with reading(shop.engine) as connection:
        return connection.execute(select(func.count()).select_from(Evidence)).scalar_one()


def said(page: Page) -> str:
    """The page as it is read: no tags, single spaces."""
    text = html.unescape(re.sub(r"<[^>]+>", " ", page.text)).replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(text.split()).replace(" ,", ",").replace(" .", ".")


def now(page: Page) -> str:
    """The title of the card at the top."""
    title = re.search(r'id="do-now-title"[^>]*>([^<]*)', page.text)
    assert title, "no Do now card"
    return html.unescape(title[1])


def step_page(browser: Browser, number: int, key: str, query: str = "") -> Page:
    return browser.get(f"/tickets/{number}/steps/{key}{query}")

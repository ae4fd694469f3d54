"""The demo shop is filled by the acts, and its pages have something to show."""

from collections import Counter

import pytest
from sqlalchemy import select

from server.demo.shop import fill
from server.places import MIGRATIONS
from server.records import tickets
from server.records.columns import core
from server.records.engine import open_engine, reading
from server.records.migrate import bring_up_to_date
from server.records.tables import CraftRecord, Ticket
from server.trade.ticket import State
from server.work.bench.fault_search import search_of
from server.work.shop import Shop


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    engine = open_engine(f"sqlite:///{folder / 'shop.db'}", durable=False)
    bring_up_to_date(engine, MIGRATIONS)
    shop = Shop(engine, folder / "files", demo=True, quick_phrases=True)
    fill(shop)
    yield shop
    engine.dispose()


def test_every_state_of_a_ticket_is_there(demo):
    with reading(demo.engine) as connection:
        assert set(connection.execute(select(core(Ticket).c.state)).scalars()) == set(State)


def test_a_search_for_a_fault_has_a_past_to_look_back_on(demo):
    ticket, craft = core(Ticket), core(CraftRecord)
    newest = (
        select(ticket.c.number)
        .join(craft, craft.c.id == ticket.c.craft_id)
        .where(craft.c.name == "Kittiwake")
        .order_by(ticket.c.number.desc())
    )
    with reading(demo.engine) as connection:
        head = tickets.head(connection, connection.execute(newest).scalars().first())
        search = search_of(connection, head)
    assert search.row.found is None
    assert len(search.row.answers) == 1
    assert Counter(p.cause for p in search.past) == {"arm-range-wrong": 2, "throttle-high": 1}

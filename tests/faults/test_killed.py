"""The server's process killed at any moment: what it acknowledged is there, and nothing twice.

SIGKILL takes the process and not the machine: what the kernel already holds is written all the
same. A power cut is not shown here; against it stands synchronous=FULL (server/records/engine.py).
"""

import random
import sqlite3
import time

from sqlalchemy import text

from server.records import tickets as heads
from server.records.engine import is_sqlite, reading
from server.work.bench.progress import work_of
from server.work.bench.step_status import counted
from server.work.shop import Person, Shop
from tests import make
from tests.faults.lives import Server, signed_in
from tests.faults.senders import Sender, told

SEED = 20300304
KILLS = {"sqlite": 100, "postgresql": 30}
LONGEST_S = 0.12  # of a life, counted from its first answer on
EVIDENCE = text(
    "SELECT e.act_key, e.answer, e.power, e.props_event_id, t.number FROM evidence e"
    " JOIN ticket t ON t.id = e.ticket_id WHERE e.act_key LIKE :mine ORDER BY e.id"
)
EVENTS = text("SELECT act_key FROM ticket_event WHERE act_key LIKE :mine ORDER BY id")


def test_what_was_acknowledged_outlives_a_hundred_kills(
    shop: Shop, people: tuple[Person, Person], server: Server
) -> None:
    senders = [Sender(shop, signed_in(shop, by, server.port), proven(shop, by)) for by in people]
    for sender in senders:
        server.look(sender.browser, f"/tickets/{sender.number}/card")
        sender.start()
    kills = KILLS[shop.engine.dialect.name]
    live_and_die(server, senders, kills)
    for sender in senders:
        check(shop, sender)
    whole(shop)
    sent = sum(len(sender.acknowledged) for sender in senders)
    cut = sum(len(sender.cut_off) for sender in senders)
    print(f"{kills} kills, {sent} acts acknowledged, {cut} of them sent again")
    assert cut > kills / 4, "the kills hit hardly any act"


def proven(shop: Shop, by: Person) -> int:
    """A craft that is done up to its spins."""
    number = make.on_the_bench(shop, by)
    make.work_through(shop, by, number, until="motors/spins")
    return number


def live_and_die(server: Server, senders: list[Sender], kills: int) -> None:
    """So many lives, each ended at a moment of its own, and one that lasts."""
    chance = random.Random(SEED)
    for _ in range(kills):
        for sender in senders:
            sender.at_work.clear()
        pid = server.live()
        if chance.random() < 0.8:  # the others die before they are up
            senders[0].at_work.wait(10)
        time.sleep(chance.uniform(0, LONGEST_S))
        server.kill(pid)
    server.live()
    for sender in senders:
        sender.at_work.clear()
        assert sender.at_work.wait(20), "the last life answers nobody"
        sender.ends.set()
    for sender in senders:
        sender.join(20)
        sender.browser.hang_up()


def check(shop: Shop, sender: Sender) -> None:
    """Each acknowledged act once and in order, as it was sent; no other; and the counts fit."""
    assert not sender.refused
    with reading(shop.engine) as connection:
        mine = {"mine": f"{sender.number}-%"}
        entries = connection.execute(EVIDENCE, mine).all()
        events = connection.execute(EVENTS, mine).scalars().all()
        head = heads.head(connection, sender.number)
        assert head
        work = work_of(connection, head)
    given = [act for act in sender.acknowledged if act.answer is not None]
    assert [row[0] for row in entries] == [act.key for act in given]
    assert [told(row[1]) for row in entries] == [act.answer for act in given]
    assert {row[4] for row in entries} == {sender.number}
    assert all(row[3] is not None for row in entries if row[2] == "battery")
    assert events == [act.key for act in sender.acknowledged if act.answer is None]
    assert work
    assert (head.steps_done, head.steps_again, head.steps_total) == counted(work.steps)


def whole(shop: Shop) -> None:
    """What the database itself says of its file."""
    if is_sqlite(shop.engine):
        with sqlite3.connect(str(shop.engine.url.database)) as file:
            assert file.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert file.execute("PRAGMA foreign_key_check").fetchall() == []
        file.close()

"""The hardest ticket that the counter may take in: long names, twelve devices, fifty lines, words
from right to left, emoji. All of it comes in by the acts that the pages call."""

from server.demo.bench import work_through
from server.records.engine import reading
from server.records.people import shop as profile_of
from server.trade.sheet import Sheet
from server.work.bench import signing
from server.work.bench.progress import work_of
from server.work.booking import intake
from server.work.handover import handover
from server.work.handover.handover import HandedTo
from server.work.papers.bench import bench_card, test_log
from server.work.papers.counter import bag_tag, claim_slip, estimate, port_map_sheet
from server.work.papers.pickup import pickup_sheet, returned_sheet
from server.work.papers.setup import PaperDesk
from server.work.people.keys import make_key
from server.work.port_map import edit, revisions
from server.work.queue import queue
from server.work.shop import Person, Shop
from server.work.ticket.account import account_of
from tests import make
from tests.drawing import samples

NAME = "שלום בן־אברהם-Featherstonehaugh علي حسن 🚁 Łukasz Ωμέγα Юрий"
CRAFT = "KittiwakeKittiwakeKittiwakeKittiwake 🚁 שלום the Very Long On"
WORDS = "It fell. " * 60 + "لا يطير 🚁 #let x = 1 *bold* _it_ $x^2$"
LINES = [
    intake.EstimateItem(
        says=f"Line {n}: wire, heat-shrink and patience {'of the long kind ' * (n % 4)}",
        quantity=n,
        unit_minor=61725,
    )
    for n in range(1, 51)
]
SIGNED = "40 150 80 60 110 150 150 70 180 140 230 90 280 140 340 80 420 130 540 100"


def sheet() -> Sheet:
    """Twelve devices on a board of forty pads, for this craft."""
    return edit.for_craft(samples.big(), CRAFT)


def ticket(shop: Shop, by: Person, *, signed: bool) -> int:
    """Booked in, mapped, and given back: signed and collected, or returned as it is."""
    number = make.ticket(
        shop,
        by,
        customer_name=NAME,
        craft_name=CRAFT,
        own_words=WORDS,
        mark="M" * 60,
        phone="+44 20 7946 0911",
        symptoms=["wiped", "no-arm", "flips", "drifts", "other"],
        items={"craft": 1, "battery": 9, "radio": 1, "props": 44, "case": 1},
        battery_look="worn",
        condition_words="\n".join(f"{n}. {WORDS[:90]}" for n in range(8)),
        lines=LINES,
    )
    queue.take(shop, by, number)
    revisions.draw_up(shop, by, number, sheet=sheet(), version=0)
    revisions.save(shop, by, number, version=1, act_key=f"extreme-{number}")
    to = HandedTo(NAME, "slip", SIGNED, "One swollen pack\n" * 5, "Pays by the end of the month.")
    if not signed:
        handover.return_as_is(shop, by, number, to=to, reason=WORDS[:300], act_key=f"back-{number}")
        return number
    make_key(shop, by, phrase=make.SIGNING)
    _accept(shop, by, number)
    work_through(shop, by, number)
    signing.sign(shop, by, number, phrase=make.SIGNING, words=WORDS)
    handover.collect(shop, by, number, to=to, act_key=f"out-{number}")
    return number


def _accept(shop: Shop, by: Person, number: int) -> None:
    with reading(shop.engine) as connection:
        work = work_of(connection, make.head(shop, number))
    assert work is not None
    assert not work.facts.stops, work.facts.stops
    for finding in work.facts.cautions:
        signing.accept(
            shop, by, number, finding=finding.key, reason=WORDS[:200], act_key=finding.key
        )


def papers(shop: Shop, by: Person, number: int) -> dict:
    """Every paper of the ticket by its name."""
    with reading(shop.engine) as connection:
        profile = profile_of(connection)
        desk = PaperDesk(profile, "https://plover.example", shop.now())
        account = account_of(connection, number, profile)
        found = {
            "claim-slip": claim_slip(account, desk),
            "bag-tag": bag_tag(account, desk),
            "estimate": estimate(account, desk),
            "port-map": port_map_sheet(account, desk),
            "bench-card": bench_card(connection, account, desk),
        }
        if account.log:
            found["test-log"] = test_log(connection, account, desk)
            found["pickup"] = pickup_sheet(connection, account, desk, by)
        else:
            found["returned"] = returned_sheet(connection, account, desk, by)
        return found

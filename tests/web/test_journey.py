"""The whole job through the pages without script, on both databases: from an empty shop to a
verified log and a found past build."""

import json

from server.ledger.checking.verify import verify_log
from server.records import logs
from server.records.engine import reading
from server.work.shop import Shop
from tests import make
from tests.journey import CROSSED, LEAD, Bench, Seat, code_on
from tests.web.client import Browser, Page


def staffed(shop: Shop) -> tuple[Seat, Seat, Seat]:
    """An empty shop set up by its lead, who adds a counter and a technician."""
    lead = Seat(Browser(shop))
    lead.send(lead.get("/"), "/set-up", **LEAD)
    ilse, kit = (
        begun(shop, name, code_on(added(lead, name, role).text))
        for name, role in (("Ilse Brand", "counter"), ("Kit Thorne", "technician"))
    )
    return lead, ilse, kit


def added(lead: Seat, name: str, role: str) -> Page:
    return lead.send(
        lead.get("/office"),
        "/office/staff",
        name=name,
        initials=make.initials(name),
        sign_in=name,
        role=role,
    )


def begun(shop: Shop, name: str, code: str) -> Seat:
    """Somebody's first day: in by the code that was handed to them."""
    seat = Seat(Browser(shop))
    seat.send(
        seat.get("/first-password"),
        "/first-password",
        name=name,
        one_time_code=code,
        password=make.PASSWORD,
        again=make.PASSWORD,
    )
    return seat


def booked(ilse: Seat) -> None:
    """Six thoughts, told by a customer who was never here."""
    page = ilse.get("/book-in")
    page = ilse.send(page, "/book-in", "Next", customer_name="Perrin Vale", phone="555 0142")
    page = ilse.send(page, "/craft", "Next", craft_name="Kittiwake")
    page = ilse.send(
        page, "/trouble", "Next", symptoms=["wiped"], own_words="It forgot everything."
    )
    page = ilse.send(
        page,
        "/items",
        "Next",
        **{"items[craft]": "1", "items[battery]": "1", "battery_look": "sound"},
    )
    page = ilse.send(page, "/condition", "Next", condition=["nothing"])
    ilse.send(page, "/promise", "Book", terms_agreed="yes")


def test_the_whole_job_from_an_empty_shop(shop: Shop) -> None:
    _, ilse, kit = staffed(shop)
    booked(ilse)
    assert "Kittiwake" in kit.get("/queue").text
    kit.send(kit.get("/queue"), "/tickets/1/holder")

    sheet = json.loads(make.EXAMPLE.read_text())
    make.swapped(sheet)
    page = kit.get("/tickets/1/map/sheet")
    page = kit.load(
        page, "/tickets/1/map/sheet", "sheet", ("kittiwake.json", json.dumps(sheet).encode())
    )
    assert "lines-swapped" in kit.get("/tickets/1/map").text
    kit.send(kit.get("/tickets/1/map"), "/tickets/1/map/revisions", "Save the moves")
    saved = json.loads(kit.browser.get("/tickets/1/sheet.json").text)
    assert {w["pad"] for w in saved["wires"] if w["device"] == "video unit"} >= {"R4", "T4"}

    bench = Bench(shop, kit, 1)
    bench.work(until="motors/spins")
    spins = bench.step("motors/spins")
    bench.power_for(spins)
    for output, tap in CROSSED:
        page = bench.record(spins, {"output": output, "tap": tap})
    assert "would flip" in page.text
    bench.work()
    assert make.head(shop, 1).state == "to-sign"

    kit.send(kit.get("/office/key"), "/office/key", phrase=make.SIGNING, again=make.SIGNING)
    kit.send(kit.get("/tickets/1/signature"), "/signature", "Sign", phrase=make.SIGNING)
    with reading(shop.engine) as connection:
        log = logs.of_ticket(connection, 1)[0]
    assert verify_log(log.document.encode()).problems == ()
    stranger = Seat(Browser(shop))
    assert "The signature holds" in stranger.get(f"/logs/{log.digest}").text

    for paper in ("claim-slip", "bag-tag", "pickup", "port-map", "bench-card"):
        answer = ilse.browser.get(f"/tickets/1/{paper}.pdf").answer
        assert (answer.status_code, answer.content[:5]) == (200, b"%PDF-"), paper
    page = ilse.get("/tickets/1/collection")
    ilse.send(page, "/collection", "Hand", shown="slip", on_paper="yes")
    assert make.head(shop, 1).state == "collected"

    found = kit.get("/archive?board=brindle").text
    assert "Kittiwake" in found
    assert "0001" in found

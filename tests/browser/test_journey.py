"""The whole job in a real Chromium, as three people, from an empty shop to a found past build.

Every page on the way is looked over by axe in light and dark at three widths; with
QUADWRIGHT_TEST_PICTURES naming a folder, each is kept there as a picture.
"""

import json
import re
from pathlib import Path

from server.app import create_app
from server.records import logs
from server.records.engine import reading
from server.work.shop import Shop
from tests import databases, make
from tests.browser.glass import PICTURES, Glass
from tests.browser.serving import chromium, serve
from tests.journey import CROSSED, LEAD, Bench, code_on
from tests.web.client import CUTS

LOOKED_AT = (
    "level/faces",
    "radio/sticks",
    "radio/ends",
    "radio/loss",
    "switches/others",
    "switches/arm",
    "motors/order",
    "motors/first-power",
    "battery/volts",
    "keep/settings",
    "before/looks",
)


class Looking(Bench):
    """A bench where the pages of some steps are looked at before they are answered."""

    def record(self, step, typed):
        if step.key in LOOKED_AT:
            self.seat.get(f"/tickets/{self.number}/steps/{step.key}")
            self.seat.look("step-" + step.key.replace("/", "-"))
        return super().record(step, typed)


def test_the_whole_job_as_three_people(tmp_path: Path) -> None:
    shop = Shop(databases.fresh_sqlite(tmp_path), tmp_path, quick_phrases=True)
    CUTS.mkdir(exist_ok=True)
    with serve(create_app(shop, cache=CUTS)) as address, chromium() as browser:
        people = [Glass.open(browser, address, who) for who in ("Sunniva", "Ilse", "Kit", "Perrin")]
        lead, ilse, kit, perrin = people
        _staff(lead, ilse, kit)
        _book(ilse)
        _map(kit)
        _prove(shop, kit)
        digest = _sign(shop, kit)
        perrin.get(f"/logs/{digest}")
        assert "The signature holds" in perrin.page.content()
        perrin.look("log")
        _hand_over(ilse, address)
        _find(kit)
        faults = [fault for person in people for fault in person.faults]
    assert not faults, "\n".join(faults)


def _staff(lead: Glass, ilse: Glass, kit: Glass) -> None:
    page = lead.get("/")
    lead.look("set-up")
    lead.send(page, "/set-up", **LEAD)
    codes = []
    for name, role in (("Ilse Brand", "counter"), ("Kit Thorne", "technician")):
        lead.send(
            lead.get("/office"),
            "/office/staff",
            name=name,
            role=role,
            initials=make.initials(name),
            sign_in=name,
        )
        codes.append(code_on(lead.page.inner_text("main")))
        lead.look("one-time-code")
    lead.get("/office")
    lead.look("office")
    lead.get("/queue")
    lead.look("queue-empty")
    lead.get("/catalogue")
    lead.look("catalogue-empty")
    for person, name, code in ((ilse, "Ilse Brand", codes[0]), (kit, "Kit Thorne", codes[1])):
        person.get("/queue")
        person.look("sign-in")
        page = person.get("/first-password")
        person.look("first-password")
        person.send(
            page,
            "/first-password",
            name=name,
            one_time_code=code,
            password=make.PASSWORD,
            again=make.PASSWORD,
        )
    kit.get("/password")
    kit.look("password")


def _book(ilse: Glass) -> None:
    page = ilse.get("/book-in")
    ilse.look("book-who")
    ilse.send(page, "/book-in", "Next", customer_name="Perrin Vale", phone="555 0142")
    ilse.look("book-craft")
    ilse.send(page, "/craft", "Next", craft_name="Kittiwake")
    ilse.look("book-trouble")
    ilse.send(page, "/trouble", "Next", symptoms=["wiped"], own_words="It forgot all.")
    ilse.look("book-items")
    ilse.send(page, "/items", "Next", **{"items[battery]": "1", "battery_look": "sound"})
    ilse.look("book-condition")
    ilse.send(page, "/condition", "Next", condition=["nothing"])
    ilse.look("book-promise")
    ilse.send(page, "/promise", "Book", terms_agreed="yes")
    ilse.look("ticket")


def _map(kit: Glass) -> None:
    page = kit.get("/queue")
    kit.look("queue")
    kit.send(page, "/tickets/1/holder")
    kit.look("card-without-map")
    kit.get("/tickets/1/map")
    kit.look("map-start")
    sheet = json.loads(make.EXAMPLE.read_text())
    make.swapped(sheet)
    file = ("kittiwake.json", json.dumps(sheet).encode())
    page = kit.get("/tickets/1/map/sheet")
    kit.look("map-load")
    kit.load(page, "/tickets/1/map/sheet", "sheet", file)
    kit.get("/tickets/1/map")
    kit.look("map-swapped")
    kit.send(kit.page, "/tickets/1/map/revisions", "Save the moves")
    kit.get("/tickets/1/map")
    kit.look("map")


def _find_the_fault(kit: Glass) -> None:
    page = kit.get("/tickets/1/faults")
    kit.look("fault-asked")
    page = kit.send(page, "/tickets/1/faults", "Look for", symptoms=["one-motor"])
    kit.look("fault")
    page = kit.send(page, "/faults/answers", "Open")
    page.locator("summary", has_text="This was it").first.click()
    kit.look("fault-cause")
    kit.send(page, "/faults/causes", "Record")
    kit.look("fault-found")


def _prove(shop: Shop, kit: Glass) -> None:
    kit.get("/tickets/1/card")
    kit.look("card")
    kit.get("/tickets/1/power")
    kit.look("power")
    _find_the_fault(kit)
    bench = Looking(shop, kit, 1)
    bench.work(until="motors/spins")
    spins = bench.step("motors/spins")
    bench.power_for(spins)
    kit.get("/tickets/1/steps/motors/spins")
    kit.look("spin")
    kit.page.set_viewport_size({"width": 390, "height": 844})
    for output, tap in CROSSED:
        bench.record(spins, {"output": output, "tap": tap})
    assert "would flip" in kit.page.content()
    kit.look("spin-found")
    bench.work()
    assert make.head(shop, 1).state == "to-sign"
    kit.get("/tickets/1/card")
    kit.look("card-done")


def _sign(shop: Shop, kit: Glass) -> str:
    page = kit.get("/office/key")
    kit.look("key")
    kit.send(page, "/office/key", phrase=make.SIGNING, again=make.SIGNING)
    kit.get("/tickets/1/log-draft")
    kit.look("log-draft")
    page = kit.get("/tickets/1/signature")
    kit.look("sign")
    kit.send(page, "/signature", "Sign", phrase=make.SIGNING)
    with reading(shop.engine) as connection:
        return logs.of_ticket(connection, 1)[0].digest


def _hand_over(ilse: Glass, address: str) -> None:
    for paper in ("claim-slip", "bag-tag", "pickup", "port-map", "bench-card", "test-log"):
        answer = ilse.context.request.get(f"{address}/tickets/1/{paper}.pdf")
        assert (answer.status, answer.body()[:5]) == (200, b"%PDF-"), paper
        if PICTURES:
            Path(PICTURES, f"{paper}.pdf").write_bytes(answer.body())
    page = ilse.get("/tickets/1/collection")
    ilse.look("collection")
    ilse.send(page, "/collection", "Hand", shown="slip", on_paper="yes")
    code = re.search(r"/status/[\w-]+", ilse.get("/tickets/1").content())
    if code:
        ilse.get(code[0])
        ilse.look("status")


def _find(kit: Glass) -> None:
    kit.get("/archive?board=brindle")
    kit.look("archive")
    assert "Kittiwake" in kit.page.content()
    kit.page.get_by_role("link", name=re.compile("Brindle F7")).first.click()
    kit.page.wait_for_load_state("networkidle")
    kit.look("past-build")
    kit.get("/verify")
    kit.look("verify")
    missing = kit.page.goto(kit.address + "/tickets/999")
    assert missing is not None
    assert missing.status == 404
    kit.look("missing")

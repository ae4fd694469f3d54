"""Make the demo shop: every row of it comes from the acts that the pages call."""

import json
from dataclasses import replace
from datetime import datetime, timedelta

from sqlmodel import select

from server.demo.bench import work_through
from server.demo.boards import boards, parts
from server.demo.cast import CALLED_OFF, NOW, PAST, PHONES, Story
from server.demo.faults import look_for
from server.demo.sheets import sheet
from server.records import counter as kept
from server.records import tickets
from server.records.engine import reading, writing
from server.records.tables import CraftRecord, Customer, DeviceModel
from server.work.bench import signing
from server.work.booking import intake
from server.work.estimate import estimates
from server.work.handover import handover
from server.work.handover.handover import HandedTo
from server.work.office import settings, trust
from server.work.people import keys, staff
from server.work.people.staff import DEMO_PASSWORD
from server.work.port_map import revisions
from server.work.queue import queue
from server.work.shop import Person, Shop

TERMS = (
    "We set up and bench-test what you hand in. We do not fly it. You keep to the air rules of "
    "your country. Work beyond the estimate is asked for first."
)
WAVE = "40 150 80 60 110 150 150 70 180 140 230 90 280 140 340 80 420 130 540 100"
MINUTES_A_LOOK = 0.4  # how far the demo's clock goes on with each look at it
CROSSED = [
    {"output": n, "seen": "turned", "corner": corner, "turn": turn}
    for n, corner, turn in ((1, "FL", "cw"), (2, "RL", "ccw"), (3, "RR", "cw"), (4, "FR", "cw"))
]


class StoryClock:
    """The time of the demo's story: set to a day, and a little later at each look."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def __call__(self) -> datetime:
        self.at += timedelta(minutes=MINUTES_A_LOOK)
        return self.at


def fill(shop: Shop) -> None:
    """Fill an empty database with the demo shop's people, boards, past and present tickets."""
    today = shop.now().replace(hour=7, minute=0, second=0, microsecond=0)
    clock = StoryClock(today - timedelta(days=64))
    cast = _Cast(replace(shop, now=clock), clock, today)
    cast.open()
    for story in PAST:
        cast.play(story, began=today + timedelta(days=story.days - 3))
        if story in (PAST[len(PAST) // 2], PAST[-1]):
            trust.publish(cast.shop, cast.sunniva, phrase=DEMO_PASSWORD)
    for story in (*NOW, CALLED_OFF):
        cast.play(story, began=today - timedelta(days=max(1, 3 - story.days)))


class _Cast:
    """The people of the demo shop at work."""

    def __init__(self, shop: Shop, clock: StoryClock, today: datetime) -> None:
        self.shop, self.clock, self.today = shop, clock, today
        self.boards, self.taken = boards(), 0

    def open(self) -> None:
        """Staff, keys, terms, and a catalogue."""
        shop = self.shop
        self.sunniva = staff.set_up(
            shop,
            shop_name="Plover Street Multirotor Repair",
            name="Sunniva Oake",
            initials="SO",
            sign_in="sunniva",
            password=DEMO_PASSWORD,
            zone="Europe/Oslo",
            currency="EUR",
        )
        self.ilse = self._staff("Ilse Brand", "ilse", "counter")
        self.kit = replace(self._staff("Kit Thorne", "kit", "technician"), bench="Bench 2")
        self.bo = replace(self._staff("Bo Larch", "bo", "technician"), bench="Bench 1")
        for person in (self.kit, self.bo, self.sunniva):
            keys.make_key(shop, person, phrase=DEMO_PASSWORD)
        settings.change_shop(
            shop,
            self.sunniva,
            {
                "address": "4 Plover Street, Harbour End",
                "phone": "020 7946 0100",
                "terms": TERMS,
                "tax_bp": 2500,
            },
        )
        with reading(shop.engine) as connection:
            self.terms = kept.newest_terms(connection)
        with writing(shop.engine) as session:
            for board in self.boards:
                whole = sheet("Any", board, [], cells=4)
                revisions.board_row(session, shop, whole.board, listed=True)
            session.add_all(_device_model(shop, part) for part in parts().values())

    def _staff(self, name: str, sign_in: str, role: str) -> Person:
        initials = "".join(word[0] for word in name.split())
        added, code = staff.add_staff(
            self.shop, self.sunniva, name=name, initials=initials, sign_in=sign_in, role=role
        )
        staff.choose_password(self.shop, name=sign_in, code=code, password=DEMO_PASSWORD)
        return added

    def play(self, story: Story, *, began: datetime) -> None:
        """Book the craft in at `began`, and bring the ticket as far as its story goes."""
        self.clock.at = began + timedelta(minutes=25 * (self.taken % 9))
        self.taken += 1
        number = self._book(story)
        if story.end == "waiting":
            return
        if story.end == "cancelled":
            queue.cancel(self.shop, self.ilse, number, reason="Booked in twice.")
            return
        by = (self.kit, self.bo)[self.taken % 2]
        self.clock.at += timedelta(minutes=45)
        queue.take(self.shop, by, number)
        getattr(self, f"_{story.end.replace('-', '_')}")(story, by, number)

    def _book(self, story: Story) -> int:
        customer, craft = self._known(story)
        new = {"customer_name": story.customer, "phone": PHONES[story.customer]}
        told = intake.Intake(
            customer_id=customer,
            craft_id=craft,
            craft_name=story.craft,
            symptoms=[story.symptom],
            own_words=story.words,
            items={"craft": 1, "battery": 1, "radio": 1},
            battery_look="sound",
            condition=["Nothing to note"],
            terms_agreed=True,
            estimate_agreed=True,
            terms_id=self.terms.id if self.terms else None,
            promised_at=(self.today + timedelta(days=story.days)).replace(hour=16),
            lines=[
                estimates.EstimateItem(says="Set-up and bench test", quantity=1, unit_minor=4800)
            ],
            **({} if customer else new),
        )
        booking = intake.begin(self.shop, self.ilse)
        return intake.book(self.shop, self.ilse, booking.id, told).number

    def _known(self, story: Story) -> tuple[int | None, int | None]:
        with writing(self.shop.engine) as session:
            named = select(Customer.id).where(Customer.name == story.customer)
            customer = session.exec(named).first()
            owned = select(CraftRecord.id).where(
                CraftRecord.customer_id == customer, CraftRecord.name == story.craft
            )
            return customer, session.exec(owned).first()

    def _map(self, story: Story, by: Person, number: int, fault: str = "") -> None:
        with reading(self.shop.engine) as connection:
            head = tickets.head(connection, number)
        made = sheet(
            story.craft,
            self.boards[story.board],
            story.parts.split(),
            cells=story.cells,
            fault=fault,
        )
        revisions.draw_up(self.shop, by, number, sheet=made, version=0)
        revisions.save(
            self.shop, by, number, version=1, act_key=f"demo-map-{number}-{head and head.revision}"
        )

    def _bench(self, story: Story, by: Person, number: int) -> None:
        self._map(story, by, number)
        work_through(self.shop, by, number, until="keep/settings")

    def _stuck(self, story: Story, by: Person, number: int) -> None:
        self._map(story, by, number, "swapped")

    def _halfway(self, story: Story, by: Person, number: int) -> None:
        self._map(story, by, number)
        crossed = {"motors/spins": CROSSED}
        work_through(self.shop, by, number, until="motors/speeds", instead=crossed)

    def _caution(self, story: Story, by: Person, number: int) -> None:
        self._map(story, by, number, "no-telemetry")
        work_through(self.shop, by, number, until="motors/first-power")
        look_for(self.shop, by, number, story.fault)

    def _on_hold(self, story: Story, by: Person, number: int) -> None:
        self._bench(story, by, number)
        queue.hold(self.shop, by, number, reason="waiting for a receiver")

    def _to_sign(self, story: Story, by: Person, number: int) -> None:
        if "pipit" in story.parts and self.taken % 3 == 0:
            self._map(story, by, number, "swapped")
        self._map(story, by, number)
        look_for(self.shop, by, number, story.fault)
        work_through(self.shop, by, number)

    def _ready(self, story: Story, by: Person, number: int) -> None:
        self._to_sign(story, by, number)
        words = "Settings entered anew and read back after a restart. Every step of the card done."
        signing.sign(self.shop, by, number, phrase=DEMO_PASSWORD, words=words)

    def _collected(self, story: Story, by: Person, number: int) -> None:
        self._ready(story, by, number)
        self.clock.at += timedelta(hours=20)
        handover.collect(
            self.shop,
            self.ilse,
            number,
            act_key=f"demo-collect-{number}",
            to=HandedTo(story.customer, "slip", WAVE, paid_minor=6000),
        )

    def _returned(self, story: Story, by: Person, number: int) -> None:
        self._stuck(story, by, number)
        queue.put_back(self.shop, by, number)
        handover.return_as_is(
            self.shop,
            self.ilse,
            number,
            act_key=f"demo-return-{number}",
            reason="The customer wants it back before the camera is replaced.",
            to=HandedTo(story.customer, "slip", owed_note="Nothing was set up, nothing is asked."),
        )


def _device_model(shop: Shop, part: dict[str, object]) -> DeviceModel:
    kind, maker, model = str(part["kind"]), str(part["maker"]), str(part["model"])
    return DeviceModel(
        kind=kind,
        maker=maker,
        model=model,
        search_key=revisions.folded(kind, maker, model),
        document=json.dumps(part),
        created_at=shop.now(),
    )

"""A customer taken along and erased, on both databases: what goes is gone, what stays verifies."""

import io
import json
import zipfile
from pathlib import Path

import pytest
from PIL import Image
from sqlmodel import AutoString, select

from server.demo.bench import work_through
from server.ledger.checking.verify import verify_log
from server.records import customers, find, held, logs
from server.records.engine import is_sqlite, reading, writing
from server.records.tables import Customer, Erasure, metadata
from server.work.bench import signing
from server.work.bench.progress import work_of
from server.work.booking import intake
from server.work.customers import erasure as erasing
from server.work.customers import erasure_rules, privacy
from server.work.errors import Locked, Missing, NotAllowed, Unfit
from server.work.handover import handover
from server.work.people import keys
from server.work.shop import Shop
from server.work.ticket import files
from tests import make
from tests.ledger.rows import verify_chain

NAME, PHONE, MAIL = "Perrin Vale", "+44 20 7946 0911", "p.vale@mail.example"
SECRETS = (
    NAME,
    "Perrin",
    "7946 0911",
    "79460911",
    MAIL,
    "fell off the shed",
    "call Perrin",
    "Quill",
)
SIGNED = "40 150 180 40;230 90 540 100"
LINES = [intake.EstimateItem(says="Set-up for Perrin", quantity=1, unit_minor=4800)]


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


def photo(colour: str = "red") -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (60, 40), colour).save(made, "JPEG")
    return made.getvalue()


@pytest.fixture
def visit(shop: Shop, lead, kit) -> int:
    """A whole visit, with the customer's name in every place that takes free words."""
    number = make.on_the_bench(
        shop,
        kit,
        make.no_telemetry,
        customer_name=NAME,
        phone=PHONE,
        email=MAIL,
        craft_name="Perrin’s quad",
        mark="call Perrin",
        own_words="It fell off the shed.",
        condition_words="Scratch that Perrin knows of",
        lines=LINES,
    )
    make.kept_file(shop, kit, number, data=b"old settings of Perrin", name="perrin_vale.txt")
    files.keep_photo(shop, lead, number, data=photo(), name="Perrin.jpg")
    work_through(shop, kit, number)
    keys.make_key(shop, kit, phrase=make.SIGNING)
    with reading(shop.engine) as connection:
        work = work_of(connection, make.head(shop, number))
    assert work is not None
    finding = work.facts.cautions[0].key
    signing.accept(shop, lead, number, finding=finding, reason="Perrin wants it so", act_key="a")
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Done as Perrin Vale asked.")
    handover.collect(
        shop,
        lead,
        number,
        act_key="c",
        to=make.handed("Quill Marlow", signature=SIGNED, kept_back="A pack of Perrin’s"),
    )
    return number


@pytest.fixture
def brief(shop: Shop, lead) -> int:
    """A short visit: a photo, and back as it was."""
    number = make.ticket(shop, lead, customer_name=NAME, phone=PHONE, email=MAIL)
    files.keep_photo(shop, lead, number, data=photo(), name="Perrin.jpg")
    handover.return_as_is(shop, lead, number, to=make.handed(), reason="Not wanted", act_key="r")
    return number


def customer_of(shop, number):
    return make.head(shop, number).customer_id


def erase(shop, by, number, **other):
    given = {"named": NAME, "sure": True} | other
    return erasing.erase(shop, by, customer_of(shop, number), **given)


def everything(shop) -> str:
    """Every text in every table."""
    with reading(shop.engine) as connection:
        rows = [connection.execute(table.select()).all() for table in metadata.sorted_tables]
    return repr(rows)


def test_the_log_never_held_the_customer(shop, visit):
    with reading(shop.engine) as connection:
        (log,) = logs.of_ticket(connection, visit)
    for secret in SECRETS:
        assert secret not in log.document
    assert "Done as [customer] asked." in log.document
    assert "[customer] wants it so" in log.document
    assert verify_log(log.document.encode()).problems == ()


def test_what_is_personal_is_gone_from_every_table_and_file(shop, lead, visit):
    assert all(secret in everything(shop) for secret in (NAME, "79460911", MAIL, "Quill", "shed"))
    erase(shop, lead, visit)
    left = everything(shop)
    assert [secret for secret in SECRETS if secret in left] == []
    assert SIGNED not in left
    assert [path for path in shop.files.rglob("*") if path.is_file()] == []
    if is_sqlite(shop.engine):  # PostgreSQL clears its own pages, by vacuum
        raw = bytes_of(shop)
        assert b"Kit Thorne" in raw
        assert [secret for secret in SECRETS if secret.encode() in raw] == []


def bytes_of(shop) -> bytes:
    """All that SQLite keeps on the disk: its file, and its log where there is one."""
    file = Path(shop.engine.url.database)
    return b"".join(path.read_bytes() for path in file.parent.glob(file.name + "*"))


def test_build_log_and_money_stay_and_verify(shop, lead, visit):
    def kept():
        with reading(shop.engine) as connection:
            rows = held.rows_of(connection, customer_of(shop, visit))
            chain = logs.chain(connection)
        names = ("payment", "test_log", "component", "wire", "build_finding", "ticket_symptom")
        return {name: rows[name] for name in names}, chain

    before = kept()
    erase(shop, lead, visit)
    assert kept() == before
    assert before[0]["test_log"]
    assert verify_chain(before[1]).problems == ()
    head = make.head(shop, visit)
    assert (head.customer, head.craft) == (f"Customer {head.customer_id}", f"Craft {head.craft_id}")


def test_a_craft_that_names_nobody_keeps_its_name(shop, lead):
    number = make.ticket(shop, lead, phone=PHONE)
    handover.return_as_is(
        shop, lead, number, to=make.handed(), reason="Perrin changed his mind", act_key="r"
    )
    erase(shop, lead, number)
    assert make.head(shop, number).craft == "Kittiwake"
    assert "[erased] changed his mind" in everything(shop)


def test_the_customer_is_found_no_more(shop, lead, brief):
    code = make.head(shop, brief).status_code
    erase(shop, lead, brief)
    with reading(shop.engine) as connection:
        assert customers.search(connection, "Perrin") == []
        assert find.ticket_of_code(connection, code) is None
    with pytest.raises(Missing):
        make.ticket(shop, lead, customer_id=customer_of(shop, brief))


def test_it_is_recorded_who_erased_and_how_much(shop, lead, visit, clock):
    erase(shop, lead, visit)
    with reading(shop.engine) as connection:
        (row,) = connection.execute(metadata.tables["erasure"].select()).all()
    assert (row.by_id, row.at) == (lead.id, row.at)
    said = json.loads(row.said)
    assert said["held"] == {
        "tickets": 1,
        "crafts": 1,
        "photos": 1,
        "files": 1,
        "signatures": 1,
        "builds": 1,
        "logs": 1,
        "payments": 0,
    }
    assert len(said["digests"]) == 2


def photo_of(shop, erasure) -> str:
    return json.loads(erasure.said)["digests"][0]


def test_once_more_only_removes_what_was_left(shop, lead, brief):
    erasure = erase(shop, lead, brief)
    path = files.path_of(shop, photo_of(shop, erasure))
    path.write_bytes(b"came back with a copy of the folder")
    erase(shop, lead, brief, named="", sure=False)
    assert not path.exists()
    with writing(shop.engine) as session:
        assert len(session.exec(select(Erasure)).all()) == 1


def test_a_file_that_somebody_else_has_too_stays(shop, lead, kit, visit):
    other = make.ticket(shop, lead, customer_name="Ansel Roe", craft_name="Knot")
    kept = make.kept_file(shop, kit, other, data=b"old settings of Perrin", name="same.txt")
    erase(shop, lead, visit)
    assert files.path_of(shop, kept.digest).exists()


@pytest.mark.parametrize(
    ("wrong", "field"), [({"named": "Perrin"}, "named"), ({"sure": False}, "sure")]
)
def test_it_is_asked_twice(shop, lead, brief, wrong, field):
    before = everything(shop)
    with pytest.raises(Unfit) as no:
        erase(shop, lead, brief, **wrong)
    assert no.value.field == field
    assert everything(shop) == before


def test_an_open_ticket_is_in_the_way(shop, lead, brief):
    make.ticket(shop, lead, customer_id=customer_of(shop, brief), craft_name="Second")
    with pytest.raises(Locked, match="Ticket 0002 is still open"):
        erase(shop, lead, brief)


def test_only_the_lead_may(shop, kit, brief):
    with pytest.raises(NotAllowed):
        erase(shop, kit, brief)
    with pytest.raises(NotAllowed):
        privacy.export(shop, kit, customer_of(shop, brief))


def test_the_export_holds_every_row_and_file(shop, lead, visit):
    whole = zipfile.ZipFile(io.BytesIO(privacy.export(shop, lead, customer_of(shop, visit))))
    assert whole.testzip() is None
    told = json.loads(whole.read("held.json"))
    assert told["customer"][0]["email"] == MAIL
    assert told["ticket"][0]["own_words"] == "It fell off the shed."
    assert [row["says"] for row in told["ticket_event"]][-1].startswith("Handed over to Quill")
    with reading(shop.engine) as connection:
        rows = held.rows_of(connection, customer_of(shop, visit))
    assert {name: len(found) for name, found in rows.items() if found} == {
        name: len(found) for name, found in told.items()
    }
    names = whole.namelist()
    settings = next(n for n in names if n.endswith("perrin_vale.txt"))
    assert whole.read(settings) == b"old settings of Perrin"
    assert whole.read("signatures/0001.svg").startswith(b"<svg")
    assert verify_log(whole.read("logs/0001.qwlog")).problems == ()


def test_nothing_of_somebody_else_is_in_the_export(shop, lead, brief):
    make.ticket(shop, lead, customer_name="Ansel Roe", craft_name="Knot", own_words="mine alone")
    told = privacy.export(shop, lead, customer_of(shop, brief))
    held_ = zipfile.ZipFile(io.BytesIO(told)).read("held.json").decode()
    assert "Ansel" not in held_
    assert "mine alone" not in held_


def test_a_booking_that_was_left_half_way_goes_too(shop, lead, brief):
    booking = intake.begin(shop, lead)
    intake.tell(shop, lead, booking.id, {"customer_name": "perrin vale", "own_words": "secret"})
    intake.add_photo(shop, lead, booking.id, data=photo("blue"), name="quad.jpg")
    told = intake.add_photo(shop, lead, booking.id, data=photo("green"), name="wrong.jpg").answers
    intake.drop_photo(shop, lead, booking.id, json.loads(told)["photos"][1]["digest"])
    taken = privacy.export(shop, lead, customer_of(shop, brief))
    names = zipfile.ZipFile(io.BytesIO(taken)).namelist()
    assert len([name for name in names if name.endswith("quad.jpg")]) == 1
    erase(shop, lead, brief)
    assert "secret" not in everything(shop)
    assert [path for path in shop.files.rglob("*") if path.is_file()] == []


def test_every_text_column_has_its_fate():
    """A new column on a table that leads to a customer has to say what becomes of it."""
    tables = {"customer", *held.ups()}
    assert len(tables) > 20
    for name in tables:
        texts = {c.name for c in metadata.tables[name].columns if isinstance(c.type, AutoString)}
        goes, kept = set(erasure_rules.FATES.get(name, ())), set(erasure_rules.KEPT.get(name, ()))
        assert not goes & kept, name
        assert texts == goes | kept, name
    assert tables >= erasure_rules.FATES.keys() | erasure_rules.KEPT.keys()


def test_an_unknown_customer_is_missing(shop, lead):
    with pytest.raises(Missing):
        erasing.erase(shop, lead, 4711, named="x", sure=True)
    with writing(shop.engine) as session:
        assert session.exec(select(Customer)).all() == []

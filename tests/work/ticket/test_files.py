"""Files of evidence: whole, once, under their digest, and photos without what they carry."""

import hashlib

import pytest

from server.records import counter, evidence
from server.records.engine import reading
from server.work.errors import Locked, NotAllowed, Unfit
from server.work.handover import handover
from server.work.shop import Person, Shop
from server.work.ticket import files
from tests import make
from tests.uploads import photo

DATA = b"settings\r\n\x00\xff"


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


def kept_rows(shop: Shop, number: int):
    with reading(shop.engine) as connection:
        return evidence.attached(connection, make.head(shop, number).id)


def test_bytes_come_back_as_they_were(shop, lead):
    number = make.ticket(shop, lead)
    kept = make.kept_file(shop, lead, number, data=DATA, name="old.txt")
    assert kept.digest == hashlib.sha256(DATA).hexdigest()
    assert files.path_of(shop, kept.digest).read_bytes() == DATA
    assert [(r.name, r.size) for r in kept_rows(shop, number)] == [("old.txt", len(DATA))]


def test_the_same_bytes_twice_are_one_file(shop, lead):
    number = make.ticket(shop, lead)
    first = make.kept_file(shop, lead, number, data=DATA, name="old.txt")
    again = make.kept_file(shop, lead, number, data=DATA, name="copy.txt")
    assert first.id == again.id
    assert len(kept_rows(shop, number)) == 1
    assert len([p for p in shop.files.rglob("*") if p.is_file()]) == 1


def test_an_empty_and_a_large_file_are_refused(shop, lead):
    number = make.ticket(shop, lead)
    for data, says in ((b"", "empty"), (bytes(files.MOST_BYTES + 1), "under 5 MiB")):
        with pytest.raises(Unfit, match=says):
            make.kept_file(shop, lead, number, data=data, name="x")
    assert kept_rows(shop, number) == []


def test_the_counter_keeps_no_evidence(shop, lead):
    ilse = make.staff(shop, lead, "Ilse Brand", "counter")
    with pytest.raises(NotAllowed):
        make.kept_file(shop, ilse, make.ticket(shop, lead), data=DATA, name="x")


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("../../etc/passwd", "passwd"),
        ("C:\\old\\a.txt", "a.txt"),
        ("a\x00b\n.txt", "ab.txt"),
        ("", "file"),
        ("n" * 300 + ".txt", "n" * 116 + ".txt"),
    ],
)
def test_a_name_is_only_a_name(name, shown):
    assert files.plain_name(name) == shown


@pytest.fixture
def ilse(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Ilse Brand", "counter")


def photos_of(shop: Shop, number: int):
    with reading(shop.engine) as connection:
        return counter.kept(connection, make.head(shop, number).id, "photo")


def test_the_counter_keeps_photos_and_what_the_customer_brings(shop, lead, ilse):
    number = make.ticket(shop, lead)
    for _ in range(2):
        files.keep_photo(shop, ilse, number, data=photo(), name="top.jpg")
        files.keep_customers_file(shop, ilse, number, data=DATA, name="old dump.txt")
    (shot,) = photos_of(shop, number)
    assert (shot.name, shot.by_name) == ("top.jpg", "Ilse Brand")
    assert files.path_of(shop, shot.digest).stat().st_size == shot.size
    assert files.small_path_of(shop, shot.digest).is_file()
    assert [(r.name, r.size) for r in kept_rows(shop, number)] == [("old dump.txt", len(DATA))]
    assert files.path_of(shop, hashlib.sha256(DATA).hexdigest()).read_bytes() == DATA


def test_one_photo_too_many_is_refused(shop, lead, monkeypatch):
    monkeypatch.setattr(files, "MOST_PHOTOS", 2)
    number = make.ticket(shop, lead)
    for side in (100, 110):
        files.keep_photo(shop, lead, number, data=photo(size=(side, side)), name="a.jpg")
    with pytest.raises(Unfit, match="has 2 photos already"):
        files.keep_photo(shop, lead, number, data=photo(size=(120, 120)), name="a.jpg")
    assert len(photos_of(shop, number)) == 2


def test_a_closed_ticket_takes_no_photo(shop, lead):
    number = make.ticket(shop, lead)
    handover.return_as_is(shop, lead, number, to=make.handed(), reason="x", act_key=make.key())
    with pytest.raises(Locked):
        files.keep_photo(shop, lead, number, data=photo(), name="a.jpg")

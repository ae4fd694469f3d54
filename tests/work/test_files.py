"""Files of evidence: whole, once, under their digest, and photos without what they carry."""

import hashlib
from io import BytesIO

import pytest
from PIL import Image

from server.records import evidence
from server.records.engine import reading
from server.work import files
from server.work.errors import NotAllowed, Unfit
from server.work.shop import Person, Shop
from tests import make

DATA = b"settings\r\n\x00\xff"


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


def kept_rows(shop: Shop, number: int):
    with reading(shop.engine) as connection:
        return evidence.attached(connection, make.head(shop, number).id)


def photo(mode: str = "RGB", size: tuple[int, int] = (60, 20), **saved: object) -> bytes:
    made = BytesIO()
    Image.new(mode, size, "red").save(made, **{"format": "JPEG"} | saved)
    return made.getvalue()


def test_bytes_come_back_as_they_were(shop, lead):
    number = make.ticket(shop, lead)
    kept = files.keep_file(shop, lead, number, data=DATA, name="old.txt", media_type="text/plain")
    assert kept.digest == hashlib.sha256(DATA).hexdigest()
    assert files.path_of(shop, kept.digest).read_bytes() == DATA
    assert [(r.name, r.size) for r in kept_rows(shop, number)] == [("old.txt", len(DATA))]


def test_the_same_bytes_twice_are_one_file(shop, lead):
    number = make.ticket(shop, lead)
    first = files.keep_file(shop, lead, number, data=DATA, name="old.txt")
    again = files.keep_file(shop, lead, number, data=DATA, name="copy.txt")
    assert first.id == again.id
    assert len(kept_rows(shop, number)) == 1
    assert len([p for p in shop.files.rglob("*") if p.is_file()]) == 1


def test_an_empty_and_a_large_file_are_refused(shop, lead):
    number = make.ticket(shop, lead)
    for data, says in ((b"", "empty"), (bytes(files.MOST_BYTES + 1), "under 5 MiB")):
        with pytest.raises(Unfit, match=says):
            files.keep_file(shop, lead, number, data=data, name="x")
    assert kept_rows(shop, number) == []


def test_the_counter_keeps_no_evidence(shop, lead):
    ilse = make.staff(shop, lead, "Ilse Brand", "counter")
    with pytest.raises(NotAllowed):
        files.keep_file(shop, ilse, make.ticket(shop, lead), data=DATA, name="x")


@pytest.mark.parametrize(
    ("name", "shown"),
    [("../../etc/passwd", "passwd"), ("C:\\old\\a.txt", "a.txt"), ("a\x00b\n.txt", "ab.txt"),
     ("", "file"), ("n" * 300 + ".txt", "n" * 116 + ".txt")],
)  # fmt: skip
def test_a_name_is_only_a_name(name, shown):
    assert files.plain_name(name) == shown


def test_a_photo_stands_upright_without_its_metadata():
    exif = Image.Exif()
    exif[0x0112] = 6  # Orientation of the Exif standard: turn by a quarter to see it upright
    exif[0x010F] = "Maker of the camera"
    made = Image.open(BytesIO(files.photo_bytes(photo(exif=exif.tobytes()))))
    assert made.format == "JPEG"
    assert made.size == (20, 60)
    assert not made.getexif()


@pytest.mark.parametrize("data", [b"no picture", b"\xff\xd8\xff\xe0broken"])
def test_what_is_no_picture_is_refused(data):
    with pytest.raises(Unfit, match="no picture"):
        files.photo_bytes(data)


def test_a_photo_of_too_many_pixels_is_refused(monkeypatch):
    monkeypatch.setattr(files, "MOST_PIXELS", 100)
    with pytest.raises(Unfit, match="too large"):
        files.photo_bytes(photo())

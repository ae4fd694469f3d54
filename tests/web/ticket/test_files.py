"""Photos and the customer's files over the counter: kept, seen by staff alone, given back whole."""

from io import BytesIO

import pytest
from PIL import Image

from server.work.shop import Shop
from server.work.ticket import files
from tests import make
from tests.uploads import photo
from tests.web.client import Browser

OLD = b"# dump\r\nset \x00\xff = 1\n<script>alert(1)</script>"


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def ilse(shop: Shop, lead) -> Browser:
    make.staff(shop, lead, "Ilse Brandt", "counter")
    return Browser(shop).sign_in("Ilse Brandt")


def at_condition(ilse):
    """A booking at its fifth thought."""
    page = ilse.submit(ilse.get("/book-in").form("/book-in", "Next"), customer_name="Wren Ashdown")
    for told in (
        {"craft_name": "Curlew"},
        {"own_words": "x"},
        {"items[battery]": "0", "battery_look": "none"},
    ):
        page = ilse.submit(page.form("", "Next"), "Next", **told)
    return page


def test_photos_at_book_in_come_with_the_ticket(shop, ilse):
    page = at_condition(ilse)
    assert 'accept="image/*" capture="environment" multiple' in page.text
    shots = [("photos", (f"{n}.jpg", photo(size=(90 + n, 90)), "image/jpeg")) for n in (1, 2)]
    page = ilse.submit(page.form("/condition"), "Keep the photo", files=shots)
    assert page.status == 200
    here = "/book-in/1/photos/"
    seen = {part.split('"')[0] for part in page.text.split(f'href="{here}')[1:]}
    assert len(seen) == 2
    for digest in seen:
        assert ilse.get(here + digest).answer.headers["content-type"] == "image/jpeg"
    page = ilse.submit(page.form("/condition"), "Take out")
    page = ilse.submit(page.form("/condition"), "Next", condition=["nothing"])
    page = ilse.submit(page.form("/promise"), "Book")
    assert page.text.count('href="/tickets/1/photos/') == 1


def test_a_bad_photo_is_named_and_the_rest_is_kept(ilse):
    page = at_condition(ilse)
    sent = [
        ("photos", ("craft.jpg", photo(), "image/jpeg")),
        ("photos", ("evil.svg", b"<svg onload=alert(1)>", "image/svg+xml")),
    ]
    page = ilse.submit(page.form("/condition"), "Next", files=sent, condition=["wire-loose"])
    assert page.status == 422
    assert "“evil.svg” is an SVG drawing" in page.text
    assert page.text.count('href="/book-in/1/photos/') == 1
    assert ("condition", "wire-loose") in page.form("/condition").fields


def test_photos_are_added_later_and_seen_by_staff_alone(shop, lead, ilse):
    make.ticket(shop, lead)
    make.ticket(shop, lead, craft_name="Second")
    page = ilse.get("/tickets/1/files")
    exif = Image.Exif()
    exif[0x010F] = "Maker of the camera"
    shot = [("photos", ("top.jpg", photo(exif=exif.tobytes()), "image/jpeg"))]
    page = ilse.submit(page.form("/photos"), "Keep", files=shot)
    href = page.text.split('<a href="')[-1].split('"')[0]
    href = next(p.split('"')[0] for p in page.text.split('href="') if "/photos/" in p)
    whole, small = ilse.get(href).answer, ilse.get(f"{href}/small").answer
    assert Image.open(BytesIO(whole.content)).size == (120, 90)
    assert b"Maker" not in whole.content
    assert small.headers["cache-control"] == "private, no-store"
    assert "sandbox" in small.headers["content-security-policy"]
    stranger = Browser(shop).asking
    for address in (href, f"{href}/small", "/tickets/1/files"):
        assert stranger.get(address).headers["location"].startswith("/sign-in")
    assert ilse.get(href.replace("/tickets/1/", "/tickets/2/")).status == 404
    assert ilse.get("/tickets/1/photos/" + "0" * 64).status == 404


def test_a_customers_file_comes_back_byte_for_byte(shop, lead, ilse):
    make.ticket(shop, lead)
    sent = [("files", ("old settings é.txt", OLD, "text/html"))]
    page = ilse.submit(ilse.get("/tickets/1/files").form("/files"), "Keep", files=sent)
    href = next(p.split('"')[0] for p in page.text.split('href="') if "/tickets/1/files/" in p)
    answer = ilse.get(href).answer
    assert answer.content == OLD
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["content-disposition"] == (
        "attachment; filename*=UTF-8''old%20settings%20%C3%A9.txt"
    )
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert href in ilse.get("/tickets/1").text
    assert href in ilse.get("/tickets/1/collection").text


@pytest.mark.parametrize(
    ("name", "file", "says"),
    [
        ("photos", ("a.gif", photo("GIF")), "“a.gif” is a GIF"),
        ("files", ("a.txt", b""), "The file is empty"),
        ("files", ("a.txt", bytes(files.MOST_BYTES + 1)), "under 5 MiB"),
        ("files", ("../../a.txt", OLD), "is a path"),
    ],
)
def test_what_cannot_be_kept_is_said(shop, lead, ilse, name, file, says):
    make.ticket(shop, lead)
    form = ilse.get("/tickets/1/files").form(f"/{name}")
    page = ilse.submit(form, "Keep", files=[(name, file)])
    assert page.status == 422
    assert says in page.text
    assert ilse.submit(form, "Keep").status == 422

"""Key lists and heads on the lead's page and for everybody; on both databases."""

import io
import json
import zipfile

import pytest

from server.ledger.checking.bundle import check_bundle
from server.ledger.checking.sorting import Brought
from server.ledger.keylist import read_keys
from server.work.bench import signing
from server.work.people import keys
from server.work.shop import Person, Shop
from tests import make
from tests.web.client import Browser


@pytest.fixture
def lead(shop: Shop) -> Person:
    somebody = make.lead(shop)
    keys.make_key(shop, somebody, phrase=make.SIGNING)
    return somebody


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def log(shop, kit):
    return signed(shop, kit, "Kittiwake")


@pytest.fixture
def office(shop, log):
    return Browser(shop).sign_in("Sunniva Oake")


def signed(shop: Shop, by: Person, craft: str):
    number = make.to_sign(shop, by, craft_name=craft)
    return signing.sign(shop, by, number, phrase=make.SIGNING, words="Set up anew.")


def publish(browser: Browser, **typed):
    form = browser.get("/office/trust").form("/office/trust")
    return browser.submit(form, "Sign", **({"phrase": make.SIGNING} | typed))


def test_the_page_says_how_far_behind_the_list_is(shop, kit, office):
    page = office.get("/office/trust")
    assert "not signed yet" in page.text
    page = publish(office)
    assert "Key list and head over 1 logs are signed." in page.text
    assert "counts 1 of 1 logs" in page.text
    assert "signed the list of 2 keys and a head over 1 logs" in page.text
    signed(shop, kit, "Dunlin")  # and makes another key
    page = office.get("/office/trust")
    assert "counts 1 of 2 logs" in page.text
    assert "sign anew" in page.text


def test_a_wrong_phrase_is_told_beside_its_field(office):
    page = publish(office, phrase="a wrong phrase here")
    assert page.status == 403
    assert "does not open your key" in page.text.split('id="phrase-error"')[1].split("</p>")[0]


def test_the_archive_holds_what_checks_it(shop, office):
    publish(office)
    answer = office.get("/office/logs-1.zip").answer
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        files = [Brought(name, archive.read(name)) for name in archive.namelist()]
    assert [file.name for file in files] == ["0001.qwlog", "shop.qwkeys", "shop.qwhead"]
    bundle = check_bundle(files)
    assert (bundle.ok, bundle.row.size) == (True, 1)
    assert answer.content == office.get("/office/logs-1.zip").answer.content
    assert office.get("/office/logs-9.zip").status == 404


@pytest.mark.parametrize("address", ["/office/trust", "/office/logs-1.zip"])
def test_only_the_lead_gets_in(shop, kit, log, address):
    assert Browser(shop).sign_in("Kit Thorne").get(address).status == 403


def test_everybody_keeps_list_heads_and_the_proof_between_them(shop, kit, office):
    publish(office)
    signed(shop, kit, "Dunlin")
    publish(office)
    everybody = Browser(shop)
    page = everybody.get("/chain")
    assert page.answer.headers["x-robots-tag"] == "noindex, nofollow"
    names = sorted(set(_hrefs(page.text, "/chain/keys-") + _hrefs(page.text, "/chain/head-")))
    assert len(names) == 4
    files = [_kept(everybody, name) for name in names]
    form = page.form("/chain/growth")
    query = "&".join(f"{name}={value}" for name, value in form.fields)
    files.append(_kept(everybody, f"/chain/growth?{query}"))
    bundle = check_bundle(files)
    assert bundle.ok, bundle.first
    assert "The 2 logs of" in bundle.others[-1].says
    same = everybody.get("/chain/growth?older=2&younger=2")
    assert same.status == 422
    assert everybody.get("/chain/growth?older=1&younger=2").status == 404


def test_a_log_is_kept_with_its_proof_and_head(shop, log, office):
    everybody = Browser(shop)
    assert "No head counts this log yet." in everybody.get(f"/logs/{log.digest}").text
    assert everybody.get(f"/logs/{log.digest}.qwproof").status == 404
    publish(office)
    page = everybody.get(f"/logs/{log.digest}")
    wanted = [
        f"/logs/{log.digest}.qwlog",
        f"/logs/{log.digest}.qwproof",
        *_hrefs(page.text, "/chain/head-"),
        *_hrefs(everybody.get("/chain").text, "/chain/keys-"),
    ]
    files = [_kept(everybody, name) for name in wanted]
    bundle = check_bundle(files, lead=read_keys(files[-1].data).signed_by)
    assert (bundle.ok, bundle.row.notes) == (True, ())
    assert bundle.others[-1].says.startswith("Log 1 is among the 1")
    assert "the key list that Sunniva Oake signed" in page.text


def _hrefs(text: str, begins: str) -> list[str]:
    return [part.split('"')[0] for part in text.split('href="') if part.startswith(begins)]


def _kept(browser: Browser, address: str) -> Brought:
    answer = browser.get(address).answer
    assert answer.status_code == 200, address
    name = answer.headers["content-disposition"].split('filename="')[1].rstrip('"')
    assert json.loads(answer.content)
    return Brought(name, answer.content)

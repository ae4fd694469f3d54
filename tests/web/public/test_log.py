"""Signed logs for everybody: the page from the code on paper, and files that are brought."""

import io
import re
import zipfile
from threading import Semaphore

import pytest

from server.ledger.budget import Limits
from server.ledger.keylist import read_keys
from server.ledger.public import fingerprint as fingerprint_of
from server.records import logs, people
from server.records import trust as given_out
from server.records.engine import reading, writing
from server.records.tables import LogRecord as LogTable
from server.web.public import verify
from server.work.bench import signing
from server.work.office import settings, trust
from server.work.papers.setup import PaperDesk
from server.work.people import keys
from server.work.shop import Person, Shop
from tests import make
from tests.ledger.forgeries import FORGERIES, Genuine
from tests.ledger.samples import key, key_file, listed, row
from tests.web.bench.at_the_bench import said
from tests.web.client import Browser, Page


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def log(shop, kit):
    return sign(shop, kit, "Kittiwake")


def sign(shop: Shop, by: Person, craft: str):
    number = make.to_sign(shop, by, craft_name=craft)
    return signing.sign(shop, by, number, phrase=make.SIGNING, words="Set up anew.")


def fingerprint(shop: Shop) -> str:
    with reading(shop.engine) as connection:
        return logs.keys(connection)[0].fingerprint


def bring(shop: Shop, *files: tuple[str, bytes], field: str = "file", lead: str = "") -> Page:
    browser = Browser(shop)
    form = browser.get("/verify").form("/verify")
    return browser.submit(form, "Check", files=[(field, file) for file in files], lead=lead)


def test_anybody_reads_and_checks_a_log(shop, log):
    page = Browser(shop).get(f"/logs/{log.digest}")
    assert page.status == 200
    assert "The signature holds" in page.text
    assert "Kit Thorne" in page.text
    assert page.answer.headers["x-robots-tag"] == "noindex, nofollow"


def test_the_code_on_paper_leads_to_key_and_digest_side_by_side(shop, kit, log):
    with reading(shop.engine) as connection:
        profile, found = people.shop(connection), logs.by_digest(connection, log.digest)
    url = PaperDesk(profile, "http://shop.example", shop.now()).verify(found).url
    assert url == (
        f"http://shop.example/logs/{log.digest}?key={fingerprint(shop).replace(' ', '')}"
    )
    page = Browser(shop).get(url.removeprefix("http://shop.example"))
    grouped = " ".join(re.findall(".{8}", log.digest))
    assert said(page).count(grouped) == 2
    assert f"Key the same {fingerprint(shop)} {fingerprint(shop)}" in said(page)
    assert "Digest the same" in said(page)


def test_a_key_that_differs_from_the_paper_is_the_first_thing_said(shop, log):
    page = Browser(shop).get(f"/logs/{log.digest}?key=0000AAAA")
    assert "does not hold" in page.text
    assert "The key on the paper is not the key that signed this log." in page.text
    assert "Key differs 0000 AAAA" in said(page)


def test_another_log_under_the_same_address_is_seen(shop, kit, log):
    other = sign(shop, kit, "Dunlin")
    with writing(shop.engine) as session:
        session.get_one(LogTable, log.id).document = other.document
    page = Browser(shop).get(f"/logs/{log.digest}")
    assert "The digest on the paper is not that of this log." in page.text


def test_without_a_key_in_the_address_the_paper_is_to_be_read(shop, log):
    page = Browser(shop).get(f"/logs/{log.digest}")
    assert "not in the address: read it off the paper" in page.text
    assert "The signature holds" in page.text


def test_the_file_is_handed_out_byte_for_byte(shop, log):
    assert Browser(shop).get(f"/logs/{log.digest}.qwlog").answer.content == log.document.encode()


def test_an_unknown_digest_is_a_helpful_404(shop, log):
    page = Browser(shop).get(f"/logs/{'0' * 64}")
    assert page.status == 404
    assert "signed no log with that digest" in page.text


def test_a_brought_file_is_checked_and_read(shop, log):
    page = bring(shop, ("a.qwlog", log.document.encode()))
    assert "The signature holds" in page.text
    assert "What the log says" in page.text
    assert page.answer.headers["x-robots-tag"] == "noindex, nofollow"


def test_a_changed_byte_is_found_and_named(shop, log):
    changed = log.document.replace("Set up anew.", "Set up a-new.").encode()
    page = bring(shop, ("a.qwlog", changed))
    assert "This does not hold" in page.text
    assert "The first thing wrong is in a.qwlog, at work : It differs" in said(page)


@pytest.fixture
def chain(shop, lead, kit, log):
    """Three logs with the key list and the head that count them, by their files' names."""
    keys.make_key(shop, lead, phrase=make.SIGNING)
    for craft in ("Dunlin", "Knot"):
        sign(shop, kit, craft)
    trust.publish(shop, lead, phrase=make.SIGNING)
    with reading(shop.engine) as connection:
        found = logs.chain(connection)
        rows = given_out.published(connection)
        given = {r.kind: given_out.file_of(connection, r.kind, r.id) for r in rows}
    files = {f"{n:04}.qwlog": data for n, data in enumerate(found, 1)}
    return files | {"shop.qwkeys": given["keys"], "shop.qwhead": given["head"]}


def packed(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        for name, data in files.items():
            made.writestr(name, data)
    return out.getvalue()


@pytest.mark.parametrize("way", ["several", "folder", "zip"])
def test_a_whole_chain_is_checked_in_each_way(shop, chain, way):
    if way == "zip":
        page = bring(shop, ("all.zip", packed(chain | {"notes.txt": b"hello"})))
    else:
        files = [*chain.items(), ("notes.txt", b"hello")]
        page = bring(shop, *files, field="file" if way == "several" else "folder")
    assert "Everything holds" in page.text
    assert "logs, each unchanged since it was signed, and a whole row from log 1 on" in said(page)
    assert "Keys by the key list that Sunniva Oake signed on" in said(page)
    assert "other file was passed over" in said(page)


def test_a_log_taken_out_is_named_first(shop, chain):
    left = {name: data for name, data in chain.items() if name != "0002.qwlog"}
    page = bring(shop, *left.items())
    assert "The first thing wrong is at log 2 : Log 2 is missing before log 3." in said(page)


def test_the_last_log_taken_out_is_seen_by_the_head(shop, chain):
    left = {name: data for name, data in chain.items() if name != "0003.qwlog"}
    assert "The head counts 3 logs; whole here are 2." in said(bring(shop, *left.items()))


def test_a_foreign_shops_files_take_their_leads_thumbprint(shop, chain):
    theirs = [("1.qwlog", row(1)[0].data), ("x.qwkeys", key_file(listed("Ines Prado")))]
    page = bring(shop, *theirs, lead=key("Omar Haddad").kid)
    assert "By the key list that the supervisor you named signed the key is Ines Prado ’s" in said(
        page
    )
    page = bring(shop, *theirs)
    assert "in x.qwkeys, at signed_by : It is by another root key" in said(page)
    page = bring(shop, theirs[0])
    assert "is not on the key list of Plover Street" in said(page)


def test_a_thumbprint_that_cannot_be_used_is_told_beside_its_field(shop, chain):
    theirs = [("1.qwlog", row(1)[0].data), ("x.qwkeys", key_file(listed("Ines Prado")))]
    whole = key("Omar Haddad").kid
    for lead, files, says in (
        (fingerprint_of(whole), theirs, "Give the whole thumbprint, 43 characters."),
        ("abc", theirs, "A thumbprint has 43 characters"),
        (whole, theirs[:1], "Bring the key list too"),
    ):
        page = bring(shop, *files, lead=lead)
        assert page.status == 422
        assert says in page.text.split('id="lead-error"')[1].split("</p>")[0]
        assert f'value="{lead}"' in page.text


def test_the_shops_own_lead_asks_for_no_other_list(shop, chain):
    with reading(shop.engine) as connection:
        own = trust.newest_list(connection).signed_by
    page = bring(shop, ("1.qwlog", chain["0001.qwlog"]), lead=own)
    assert "By the key list that Sunniva Oake signed on" in said(page)


def test_a_shop_without_keys_says_that_nobody_vouched(shop, lead):
    theirs = [("1.qwlog", row(1)[0].data), ("x.qwkeys", key_file(listed("Ines Prado")))]
    page = bring(shop, *theirs)
    assert page.status == 200
    assert "by a key list that came with the files, which nobody vouched for" in said(page)
    assert key("Omar Haddad").kid in page.text
    assert "holds" not in page.text.split("<h1>")[1].split("</h1>")[0]
    page = bring(shop, theirs[0])
    assert "Whose keys these are is not known, as there is no key list." in said(page)


@pytest.fixture
def given(shop, lead, kit, chain) -> Genuine:
    """What the shop gave out, with the key of somebody who left and had it stolen."""
    tess = make.staff(shop, lead, "Tess Bench")
    keys.make_key(shop, tess, phrase=make.SIGNING)
    trust.publish(shop, lead, phrase=make.SIGNING)
    with reading(shop.engine) as connection:
        sealed = keys.sealed_of(connection, tess)
    stolen = keys.opened(sealed, make.SIGNING)
    shop.now.pass_minutes(5)
    settings.leave(shop, lead, tess.id)
    trust.publish(shop, lead, phrase=make.SIGNING)
    with reading(shop.engine) as connection:
        rows = given_out.published(connection)
        new, older, *_ = (
            given_out.file_of(connection, r.kind, r.id) for r in rows if r.kind == "keys"
        )
        head = next(given_out.file_of(connection, r.kind, r.id) for r in rows if r.kind == "head")
        found = tuple(logs.chain(connection))
    return Genuine(found, read_keys(new), new, head, older, stolen)


@pytest.mark.parametrize("way", ["files", "zip"])
def test_each_forged_bundle_is_found_by_the_shops_own_keys(shop, given, way):
    causes, said_first = {}, {}
    for kind, forgery in FORGERIES.items():
        files = forgery.make(given)
        page = bring(shop, *(files.items() if way == "files" else [("all.zip", packed(files))]))
        name = next(name for name in files if name.endswith(forgery.file))
        where = name if way == "files" else f"all.zip/{name}"
        causes[kind] = f"in {where}, at {forgery.at} : {forgery.says}"
        first = said(page).partition("The first thing wrong is ")[2].partition("What else")[0]
        at, _, says = first.partition(" : ")
        said_first[kind] = f"{at} : {forgery.says if forgery.says in says else says}"
    assert said_first == causes


def test_what_the_shop_gave_out_holds(shop, given):
    page = bring(shop, *given.files.items(), ("older.qwkeys", given.older_list))
    assert "Everything holds" in page.text


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "does not hold"),
        (b"no log at all", "does not hold"),
        (b"{}", "does not hold"),
        (b"[" * 900_000, "nested deeper"),
    ],
    ids=["empty", "words", "object", "deep"],
)
def test_what_is_no_log_is_refused_in_words(shop, log, data, says):
    page = bring(shop, ("a.qwlog", data))
    assert page.status == 200
    assert says in page.text


def test_nothing_chosen_is_told_beside_the_field(shop, log):
    page = bring(shop, ("", b""))
    assert page.status == 422
    assert "Choose a log’s file first." in page.text.split('id="file-error"')[1]


def test_more_than_is_checked_at_once_is_refused(shop, log, monkeypatch):
    monkeypatch.setattr(verify, "LIMITS", Limits(files=2, bytes=4000, one=3000))
    many = [(f"{n}.qwlog", b"{}") for n in range(3)]
    for page, says in (
        (bring(shop, *many), "more than 2 files"),
        (bring(shop, ("a.zip", packed(dict(many)))), "holds 3 files; at most 2"),
        (bring(shop, ("a.qwlog", b"0" * 3001)), "a.qwlog has over 3000 bytes"),
        (bring(shop, *((f"{n}.qwlog", b"0" * 2001) for n in range(2))), "over 4000 bytes together"),
        (bring(shop, ("a.zip", packed({"a.qwlog": b"0" * 4001}))), "more than 0 MiB"),
    ):
        assert page.status == 422
        assert says in said(page)
        assert "Bring fewer, or use quadwright verify." in said(page)
    monkeypatch.setattr(verify, "MOST", 500)
    page = bring(shop, ("a.qwlog", b"0" * 501))
    assert page.status == 422
    assert "are checked at once" in page.text


def test_a_check_that_takes_too_long_is_ended(shop, log, monkeypatch):
    monkeypatch.setattr(verify, "SECONDS", -1.0)
    page = bring(shop, ("a.qwlog", log.document.encode()))
    assert page.status == 422
    assert "Checking these files takes longer than" in said(page)


def test_who_comes_while_others_are_checked_is_told_and_holds_no_thread(shop, log, monkeypatch):
    monkeypatch.setattr(verify, "WAIT_S", 0.01)
    file = ("a.qwlog", log.document.encode())
    with verify._turn():
        page = bring(shop, file)
        assert page.status == 409
        assert "Other files are being checked just now." in page.text
    monkeypatch.setattr(verify, "_waiting", Semaphore(0))
    assert bring(shop, file).status == 409
    monkeypatch.undo()
    assert "The signature holds" in bring(shop, file).text

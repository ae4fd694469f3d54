"""Odd input at every route: refused in plain words, never a fault of ours.

Routes are those that the app has, so that a new one is tried without being listed here.
"""

import re
from urllib.parse import quote

import pytest

from server.records.engine import reading
from server.work.shop import Shop
from tests import databases, make
from tests.architecture.test_routes import HERE, filled
from tests.web.client import Browser

NUMBERS = [str(2**31), str(2**63), "9" * 30, "9" * 5000]
HALF = ["http://[", "http://[::1", "http://shop:port", "//[half"]
WITH_NUMBER = sorted({(m, p) for m, p in HERE if ":int}" in p})
WITH_WORD = sorted({(m, p) for m, p in HERE if re.search(r"\{\w+(:path)?\}", p)})
EVERY = sorted(HERE)
ACTS = sorted(path for method, path in HERE if method == "POST")
STAYING = [path for path in ACTS if path != "/sign-out"]  # else the rest is tried by nobody
FILES = {"Content-Type": "multipart/form-data; boundary=cut"}
FORM = {"Content-Type": "application/x-www-form-urlencoded"}


@pytest.fixture(scope="module")
def found(tmp_path_factory) -> Shop:
    folder = tmp_path_factory.mktemp("odd")
    (folder / "files").mkdir()
    shop = Shop(
        databases.fresh_sqlite(folder), folder / "files", now=make.Clock(), quick_phrases=True
    )
    lead = make.lead(shop)
    make.ticket(shop, lead)
    make.staff(shop, lead, "Kit Thorne")
    yield shop
    shop.engine.dispose()


@pytest.fixture(scope="module")
def lead(found) -> Browser:
    return Browser(found).sign_in("Sunniva Oake")


@pytest.fixture(scope="module")
def token(lead) -> str:
    return lead.get("/office/key").form("/sign-out").value("csrf")


def ask(lead, method, url, token="", **given):
    """One request by the signed-in lead, as it is answered."""
    headers = {"cookie": "; ".join(f"{k}={v}" for k, v in lead.cookies.items())}
    headers |= {"X-Csrf": token} | given.pop("headers", {})
    return lead.asking.send(method, url, headers=headers, **given)


def refused(answer, *statuses):
    """It is a page of ours that says what is wrong."""
    assert answer.status_code in statuses, (answer.status_code, answer.text[:200])
    assert "<h1" in answer.text
    assert "Traceback" not in answer.text


def test_the_routes_are_found():
    assert len(EVERY) > 120
    assert len(WITH_NUMBER) > 60
    assert len(WITH_WORD) > 15
    assert len(ACTS) > 50


@pytest.mark.parametrize(("method", "path"), WITH_NUMBER)
def test_a_number_beyond_the_database_is_no_address(lead, token, method, path):
    for number in NUMBERS:
        url = filled(re.sub(r"\{\w+:int\}", number, path))
        refused(ask(lead, method, url, token), 404)


@pytest.mark.parametrize(("method", "path"), WITH_WORD)
def test_a_nul_in_a_path_is_refused(lead, token, method, path):
    url = filled(re.sub(r"\{(\w+)(:path)?\}", "a%00b", path, count=1))
    refused(ask(lead, method, url, token), 400)


@pytest.mark.parametrize(("method", "path"), EVERY)
def test_a_nul_in_a_query_a_header_or_a_cookie_is_refused(lead, token, method, path):
    url = filled(path)
    for query in ("x=%00", "%00=x", "seen=a%00"):
        refused(ask(lead, method, f"{url}?{query}", token), 400)
    for header in ("X-Csrf", "HX-Current-URL", "Referer", "Accept", "X-Kept"):
        refused(ask(lead, method, url, token, headers={header: "a\0b"}), 400)
    for cookie in ("said=a%00b", "quadwright=a\0b", "theme=%00"):
        refused(ask(lead, method, url, token, headers={"cookie": cookie}), 400)


@pytest.mark.parametrize(("method", "path"), EVERY)
def test_half_an_address_in_a_header_is_refused(lead, token, method, path):
    for header in ("Origin", "HX-Current-URL", "Referer"):
        for half in HALF:
            refused(ask(lead, method, filled(path), token, headers={header: half}), 400)
    refused(ask(lead, method, filled(path), token, headers={"Host": "[::1"}), 400)


@pytest.mark.parametrize(("method", "path"), EVERY)
def test_a_stranger_with_half_an_address_is_refused(found, method, path):
    answer = Browser(found).asking.send(
        method, filled(path), headers={"HX-Current-URL": "http://[", "HX-Request": "true"}
    )
    refused(answer, 400)


@pytest.mark.parametrize("path", ACTS)
def test_a_nul_in_a_form_is_refused(lead, token, path):
    url = filled(path)
    for body in (b"words=a%00b", b"words=a\0b", b"wo%00rds=ab"):
        refused(ask(lead, "POST", url, token, content=body, headers=FORM), 400)
    for part in (b'words"\r\n\r\na\0b', b'file"; filename="a\0b.txt"\r\n\r\nx'):
        body = b'--cut\r\nContent-Disposition: form-data; name="' + part + b"\r\n--cut--\r\n"
        refused(ask(lead, "POST", url, token, content=body, headers=FILES), 400)


@pytest.mark.parametrize("path", STAYING)
def test_numbers_beyond_the_database_in_a_form_break_nothing(lead, token, path):
    fields = dict.fromkeys(NAMES, NUMBERS[1])
    fields |= {"act_key": make.key()}
    answer = ask(lead, "POST", filled(path), token, data=fields)
    assert answer.status_code < 500, answer.text[:300]
    for name in NAMES:
        answer = ask(lead, "POST", filled(path), token, data={name: NUMBERS[0]})
        assert answer.status_code < 500, (name, answer.text[:300])


@pytest.mark.parametrize("path", sorted({p for m, p in HERE if m == "GET"}))
def test_numbers_beyond_the_database_in_a_query_break_nothing(lead, path):
    for number in NUMBERS[:3]:
        query = "&".join(f"{name}={number}" for name in NAMES)
        answer = ask(lead, "GET", f"{filled(path)}?{query}")
        assert answer.status_code < 500, answer.text[:300]


def test_what_is_odd_and_readable_still_comes_in(found):
    # Signed in anew: among the acts above are some that end the lead's own sign-in.
    kit = Browser(found).sign_in("Kit Thorne")
    for query in ("find=%2500", "find=" + quote("Ærø 🛠"), "find=[::1"):
        assert ask(kit, "GET", f"/queue?{query}").status_code == 200


def test_nothing_was_kept_of_it(found):
    with reading(found.engine) as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM ticket").scalar() == 1


NAMES = (
    "before",
    "for",
    "page",
    "seen",
    "step",
    "craft_id",
    "customer_id",
    "customer",
    "staff",
    "to",
    "radios",
    "batteries",
    "quantity",
    "propellers",
    "amount",
    "deposit",
    "position",
    "number",
    "build",
    "revision",
    "minutes",
    "held_days",
    "ready_days",
    "props_minutes",
    "power_minutes",
    "tax",
    "key",
    "version",
    "kind",
)

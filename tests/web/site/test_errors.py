"""Refusals that no act makes."""

from collections.abc import AsyncIterator

import pytest

from server.web.site.errors import MOST_MIB
from tests import make
from tests.web.client import Browser

MIB = 1024 * 1024
FORM = {"Content-Type": "application/x-www-form-urlencoded"}
FILES = {"Content-Type": "multipart/form-data; boundary=cut"}
HEAD = b'--cut\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n'


async def endless() -> AsyncIterator[bytes]:
    yield HEAD
    for _ in range(MOST_MIB + 1):
        yield bytes(MIB)


@pytest.mark.parametrize(
    ("content", "headers"),
    [
        (b"phrase=x", FORM | {"Content-Length": str((MOST_MIB + 1) * MIB)}),
        (endless, FILES),
    ],
    ids=["as told", "as it comes"],
)
def test_a_request_over_the_limit_is_refused_with_the_limit_named(shop, content, headers):
    content = content if isinstance(content, bytes) else content()
    answer = Browser(shop).asking.post("/sign-in", content=content, headers=headers)
    assert answer.status_code == 413
    assert f"over {MOST_MIB} MiB" in answer.text


def test_a_text_without_end_is_refused_with_its_limit_named(shop):
    content = b"phrase=" + b"x" * 2 * MIB
    answer = Browser(shop).asking.post("/sign-in", content=content, headers=FORM)
    assert answer.status_code == 400
    assert "a text in it is over 1 MiB" in answer.text


def test_an_address_that_is_none_bears_the_shop_s_name_from_the_first_request_on(shop):
    make.lead(shop)
    for address in ("/no-such-page", "/tickets/none"):
        page = Browser(shop).asking.get(address)
        assert page.status_code == 404
        assert "Plover Street Multirotor Repair" in page.text

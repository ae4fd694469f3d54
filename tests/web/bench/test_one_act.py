"""A tick reads once and writes once, and a photo and the result that names it are one act."""

import pytest
from sqlalchemy import event

from server.records import evidence
from server.records.engine import reading
from server.trade.power import Act
from server.work.bench import power, recording
from server.work.errors import Locked
from server.work.shop import Person, Shop
from server.work.ticket.files import Upload
from tests import make
from tests.web.bench.at_the_bench import ready
from tests.web.client import Browser

SETTINGS = "keep/settings"
UPLOAD = Upload(b"port 1 20 115200", "old.txt", "text/plain")


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


def kept(shop, number):
    with reading(shop.engine) as connection:
        return evidence.attached(connection, make.head(shop, number).id)


def test_a_tick_with_its_answer_opens_three_transactions(shop, kit):
    number = ready(shop, kit, "level/flat", Act.PLUG_USB)
    browser = Browser(shop).sign_in("Kit Thorne")
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    opened = []

    def began(connection):
        opened.append(connection)

    event.listen(shop.engine, "begin", began)
    page = browser.post(form.action, browser.filled(form), **{"HX-Request": "true"})
    event.remove(shop.engine, "begin", began)
    assert page.status == 200
    assert len(opened) == 3  # who is here, the step to read the answer by, the act


def test_a_file_is_kept_with_the_result_that_names_it(shop, kit):
    number = ready(shop, kit, SETTINGS, Act.PLUG_USB)
    done = recording.recorded(
        shop, kit, number, SETTINGS, answer={}, act_key=make.key(), upload=UPLOAD
    )
    assert [row.digest for row in kept(shop, number)] == [UPLOAD.digest]
    assert UPLOAD.digest in done.entry.answer
    assert next(s for s in done.seen.work.steps if s.step.key == SETTINGS).done


def test_no_file_is_kept_of_a_result_that_is_refused(shop, kit):
    number = ready(shop, kit, SETTINGS, Act.PLUG_USB)
    power.change(shop, kit, number, act=Act.UNPLUG)
    with pytest.raises(Locked, match="not done on cold"):
        recording.recorded(
            shop, kit, number, SETTINGS, answer={}, act_key=make.key(), upload=UPLOAD
        )
    assert kept(shop, number) == []
    assert not [path for path in shop.files.rglob("*") if path.is_file()]


def test_the_same_file_sent_twice_is_one_entry(shop, kit):
    number = ready(shop, kit, SETTINGS, Act.PLUG_USB)
    first, again = (
        recording.recorded(shop, kit, number, SETTINGS, answer={}, act_key="once", upload=UPLOAD)
        for _ in range(2)
    )
    assert first.entry.id == again.entry.id
    assert len(kept(shop, number)) == 1


def test_what_an_act_draws_from_is_what_a_look_finds(shop, kit):
    number = ready(shop, kit, SETTINGS, Act.PLUG_USB)
    done = recording.recorded(shop, kit, number, SETTINGS, answer={}, act_key="once", upload=UPLOAD)
    again = recording.recorded(
        shop, kit, number, SETTINGS, answer={}, act_key="once", upload=UPLOAD
    )
    assert done.seen == again.seen

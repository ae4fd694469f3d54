"""Signing keys: made once, given another phrase, closed; on both databases."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from server.ledger.checking.verify import verify_log
from server.records import logs
from server.records.engine import reading
from server.records.tables import ShopEvent
from server.work.bench import signing
from server.work.errors import Missing, NotAllowed, Stale, Unfit
from server.work.office import settings
from server.work.people import keys
from server.work.shop import Person, Shop
from tests import make

OTHER = "another phrase entirely"


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


def known(shop: Shop) -> list[logs.KeyRow]:
    with reading(shop.engine) as connection:
        return logs.keys(connection)


def said(shop: Shop) -> list[str]:
    with reading(shop.engine) as connection:
        return list(connection.execute(ShopEvent.__table__.select()).mappings())


def opens(shop: Shop, by: Person, phrase: str) -> bool:
    with reading(shop.engine) as connection:
        sealed = keys.sealed_of(connection, by)
    try:
        return bool(keys.opened(sealed, phrase))
    except NotAllowed:
        return False


def test_a_form_sent_twice_makes_one_key(shop, kit):
    first = keys.make_key(shop, kit, phrase=make.SIGNING, act_key="one")
    again = keys.make_key(shop, kit, phrase=make.SIGNING, act_key="one")
    assert first.fingerprint == again.fingerprint
    assert [row.closed_at for row in known(shop)] == [None]


def test_forms_sent_at_once_make_one_key(shop, kit):
    def send(_: int) -> str:
        return keys.make_key(shop, kit, phrase=make.SIGNING, act_key="one").kid

    with ThreadPoolExecutor(4) as pool:
        kids = set(pool.map(send, range(4)))
    assert len(kids) == len(known(shop)) == 1


def test_two_forms_at_once_leave_one_key_open(shop, kit):
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda _: keys.make_key(shop, kit, phrase=make.SIGNING), range(4)))
    assert len(known(shop)) == 4
    assert sum(row.closed_at is None for row in known(shop)) == 1


def test_another_phrase_opens_the_same_key(shop, kit):
    made = keys.make_key(shop, kit, phrase=make.SIGNING)
    keys.change_phrase(shop, kit, phrase=make.SIGNING, new_phrase=OTHER)
    assert (opens(shop, kit, make.SIGNING), opens(shop, kit, OTHER)) == (False, True)
    assert [(row.kid, row.closed_at) for row in known(shop)] == [(made.kid, None)]


def test_a_phrase_form_sent_twice_changes_it_once(shop, kit):
    keys.make_key(shop, kit, phrase=make.SIGNING)
    for _ in range(2):
        keys.change_phrase(shop, kit, phrase=make.SIGNING, new_phrase=OTHER, act_key="one")
    assert opens(shop, kit, OTHER)
    assert [row["kind"] for row in said(shop)][-2:] == ["key made", "phrase changed"]
    assert [row["kind"] for row in said(shop)].count("phrase changed") == 1


@pytest.mark.parametrize(
    ("phrase", "new", "refusal"),
    [("a wrong phrase", OTHER, NotAllowed), (make.SIGNING, "too short", Unfit)],
)
def test_a_phrase_that_does_not_do_changes_nothing(shop, kit, phrase, new, refusal):
    keys.make_key(shop, kit, phrase=make.SIGNING)
    with pytest.raises(refusal):
        keys.change_phrase(shop, kit, phrase=phrase, new_phrase=new)
    assert opens(shop, kit, make.SIGNING)


def test_without_a_key_there_is_no_phrase_to_change(shop, kit):
    with pytest.raises(Missing, match="has no signing key"):
        keys.change_phrase(shop, kit, phrase=make.SIGNING, new_phrase=OTHER)


def test_two_changes_at_once_do_not_overwrite_each_other(shop, kit, monkeypatch):
    keys.make_key(shop, kit, phrase=make.SIGNING)
    reseal = keys.ledger.reseal

    def slowly(*given):
        monkeypatch.setattr(keys.ledger, "reseal", reseal)
        keys.change_phrase(shop, kit, phrase=make.SIGNING, new_phrase=OTHER)
        return reseal(*given)

    monkeypatch.setattr(keys.ledger, "reseal", slowly)
    with pytest.raises(Stale, match="changed since then"):
        keys.change_phrase(shop, kit, phrase=make.SIGNING, new_phrase="a third phrase here")
    assert opens(shop, kit, OTHER)


def test_a_leaver_makes_no_key_and_old_logs_still_verify(shop, lead, kit):
    number = make.to_sign(shop, kit)
    log = signing.sign(shop, kit, number, phrase=make.SIGNING, words="Set up anew.")
    settings.leave(shop, lead, kit.id)
    with pytest.raises(NotAllowed, match="has left"):
        keys.make_key(shop, kit, phrase=OTHER)
    assert [row.closed_at is not None for row in known(shop)] == [True]
    assert verify_log(log.document.encode()).problems == ()
    assert "left; their key is closed" in said(shop)[-1]["says"]


def test_a_key_closed_while_it_is_opened_signs_nothing(shop, lead, kit, monkeypatch):
    number = make.to_sign(shop, kit)
    with reading(shop.engine) as connection:
        document = signing.record_of(connection, number)
    assert document.head.state == "to-sign"

    def opened(*given):
        private = keys.opened(*given)
        keys.make_key(shop, kit, phrase=OTHER)
        return private

    monkeypatch.setattr(signing, "opened", opened)
    with pytest.raises(Stale, match="closed meanwhile"):
        signing.sign(shop, kit, number, phrase=make.SIGNING, words="Set up anew.")
    assert make.head(shop, number).state == "to-sign"


def test_no_connection_is_held_while_a_phrase_is_tried(shop, kit, monkeypatch):
    number, held = make.to_sign(shop, kit), []

    def opened(*given):
        held.append(shop.engine.pool.checkedout())
        return keys.opened(*given)

    monkeypatch.setattr(signing, "opened", opened)
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Set up anew.")
    assert held == [0]


def test_a_step_opened_while_the_phrase_is_tried_is_in_the_way(shop, kit, monkeypatch):
    number = make.to_sign(shop, kit)

    def opened(*given):
        make.mapped(shop, kit, number, make.receiver_moved)
        return keys.opened(*given)

    monkeypatch.setattr(signing, "opened", opened)
    with pytest.raises(signing.Locked, match="in the way of signing"):
        signing.sign(shop, kit, number, phrase=make.SIGNING, words="Set up anew.")
    with reading(shop.engine) as connection:
        assert logs.chain(connection) == []

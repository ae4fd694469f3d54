"""Key lists and heads that a lead signs, and what they are worth; on both databases."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlmodel import select

from server.ledger.checking.bundle import check_bundle
from server.ledger.checking.sorting import Brought
from server.ledger.head import growth
from server.ledger.headfile import read_head
from server.ledger.keylist import read_keys
from server.ledger.proofs import proof_file
from server.records import logs, trust
from server.records.engine import reading, writing
from server.records.tables import Published
from server.work.bench import signing
from server.work.errors import Missing, NotAllowed, Spent
from server.work.office import settings
from server.work.office import trust as acts
from server.work.people import keys
from server.work.shop import Person, Shop
from tests import make

WORDS = "Settings entered anew and read back."


@pytest.fixture
def lead(shop: Shop) -> Person:
    somebody = make.lead(shop)
    keys.make_key(shop, somebody, phrase=make.SIGNING)
    return somebody


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


def signed(shop: Shop, by: Person, craft: str) -> None:
    number = make.to_sign(shop, by, craft_name=craft)
    signing.sign(shop, by, number, phrase=make.SIGNING, words=WORDS)


def publish(shop: Shop, by: Person, **other):
    return acts.publish(shop, by, **({"phrase": make.SIGNING} | other))


def files(shop: Shop) -> list[Brought]:
    """All that the shop ever gave out."""
    with reading(shop.engine) as connection:
        rows = reversed(trust.published(connection))
        given = [
            Brought(f"{r.id}.qw{r.kind}", trust.file_of(connection, r.kind, r.id)) for r in rows
        ]
        found = [Brought(f"{n}.qwlog", data) for n, data in enumerate(logs.chain(connection), 1)]
    return [*given, *found]


def test_list_and_head_check_the_whole_chain(shop, lead, kit):
    for craft in ("Kittiwake", "Dunlin"):
        signed(shop, kit, craft)
    head = publish(shop, lead)
    bundle = check_bundle(files(shop), lead=read_keys(new_list(shop)).signed_by)
    assert (head.size, bundle.ok, bundle.row.size, bundle.row.notes) == (2, True, 2, ())
    assert bundle.row.root == head.root
    assert {log.signer for log in bundle.row.logs} == {"Kit Thorne"}


def test_the_files_stay_as_they_were_signed_and_join(shop, lead, kit):
    signed(shop, kit, "Kittiwake")
    old = publish(shop, lead)
    signed(shop, kit, "Dunlin")
    new = publish(shop, lead)
    with reading(shop.engine) as connection:
        proof = growth(trust.digests(connection, 2), old.size)
    known = read_keys(new_list(shop))
    assert proof.holds(
        read_head(old.document.encode(), known), read_head(new.document.encode(), known)
    )
    bundle = check_bundle([*files(shop), Brought("a.qwproof", proof_file(proof))])
    assert bundle.ok
    assert any("youngest was used" in note for note in bundle.row.notes)


def new_list(shop: Shop) -> bytes:
    return next(f.data for f in reversed(files(shop)) if f.name.endswith("keys"))


def test_a_leavers_key_is_closed_on_the_next_list_and_their_logs_hold(shop, lead, kit):
    signed(shop, kit, "Kittiwake")
    publish(shop, lead)
    with reading(shop.engine) as connection:
        signed_list = acts.newest_list(connection)
    settings.leave(shop, lead, kit.id)
    with reading(shop.engine) as connection:
        now = acts.key_list(connection, "2030-03-05T00:00:00Z", signed_list.signed_by)
    assert acts.behind(signed_list, now) == 1
    publish(shop, lead)
    with reading(shop.engine) as connection:
        listed = {key.owner: key.until for key in acts.newest_list(connection).keys}
    assert listed["Sunniva Oake"] is None
    assert listed["Kit Thorne"] is not None
    assert check_bundle(files(shop)).ok


def test_a_lost_phrase_leaves_the_old_key_with_its_dates(shop, lead, kit):
    signed(shop, kit, "Kittiwake")
    keys.make_key(shop, kit, phrase="another phrase entirely")
    publish(shop, lead)
    with reading(shop.engine) as connection:
        mine = [key for key in acts.newest_list(connection).keys if key.owner == "Kit Thorne"]
    assert [key.until is None for key in mine] == [False, True]
    assert check_bundle(files(shop)).ok


def test_only_the_lead_signs_and_only_with_their_phrase(shop, lead, kit):
    keys.make_key(shop, kit, phrase=make.SIGNING)
    with pytest.raises(NotAllowed, match="cannot run the office"):
        publish(shop, kit)
    with pytest.raises(NotAllowed, match="does not open your key"):
        publish(shop, lead, phrase="a wrong phrase here")
    assert files(shop) == []


def test_a_lead_without_a_key_is_told_to_make_one(shop):
    with pytest.raises(Missing, match="has no signing key"):
        publish(shop, make.lead(shop))


def test_a_form_sent_twice_or_at_once_signs_once(shop, lead):
    with ThreadPoolExecutor(3) as pool:
        roots = set(pool.map(lambda _: publish(shop, lead, act_key="one").id, range(3)))
    assert len(roots) == 1
    assert len(files(shop)) == 2


def test_another_leads_form_key_is_not_taken_for_a_repeat(shop, lead):
    other = make.staff(shop, lead, "Bo Larch", "supervisor")
    keys.make_key(shop, other, phrase=make.SIGNING)
    publish(shop, lead, act_key="one")
    with pytest.raises(Spent):
        publish(shop, other, act_key="one")


def test_an_empty_chain_has_a_head_of_nothing(shop, lead):
    head = publish(shop, lead)
    # RFC 6962 §2.1: the hash of an empty list is the hash of an empty string.
    assert (head.size, head.root) == (
        0,
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    )


def test_a_list_that_was_changed_in_the_database_counts_for_nothing(shop, lead, kit):
    signed(shop, kit, "Kittiwake")
    publish(shop, lead)
    with writing(shop.engine) as session:
        row = session.exec(select(Published).where(Published.kind == "keys")).one()
        row.document = row.document.replace("Kit Thorne", "Bo Larch")
    with reading(shop.engine) as connection:
        assert acts.newest_list(connection) is None
        assert acts.behind(None, acts.key_list(connection, "2030-03-05T00:00:00Z", "0" * 43)) == 2

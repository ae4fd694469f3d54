"""What stands in the way of a signature, and what a signed log is worth; on both databases."""

import pytest

from server.ledger.checking.verify import verify_log
from server.records import logs
from server.records.engine import reading
from server.trade.power import Act
from server.work.bench import power, signing
from server.work.errors import Locked, Missing, NotAllowed, Spent, Stale, Unfit
from server.work.handover import handover
from server.work.people import keys
from server.work.port_map.facts import facts_of
from server.work.queue import queue
from server.work.shop import Person, Shop
from tests import make
from tests.ledger.rows import verify_chain

WORDS = "Settings entered anew and read back."


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


def sign(shop, by, number, **other):
    return signing.sign(shop, by, number, **({"phrase": make.SIGNING, "words": WORDS} | other))


def test_a_signed_log_verifies_by_itself(shop, kit):
    log = sign(shop, kit, make.to_sign(shop, kit))
    report = verify_log(log.document.encode())
    assert report.problems == ()
    assert (report.number, report.digest) == (1, log.digest)


def test_signing_makes_the_ticket_ready(shop, kit):
    number = make.to_sign(shop, kit)
    sign(shop, kit, number)
    assert (make.head(shop, number).state, make.head(shop, number).holder) == ("ready", None)


def test_signing_twice_gives_the_same_log(shop, kit):
    number = make.to_sign(shop, kit)
    assert sign(shop, kit, number).digest == sign(shop, kit, number).digest


def test_the_chain_of_three_logs_is_whole(shop, kit):
    for name in ("Kittiwake", "Dunlin", "Knot"):
        sign(shop, kit, make.to_sign(shop, kit, craft_name=name))
    with reading(shop.engine) as connection:
        report = verify_chain(logs.chain(connection))
    assert report.problems == ()
    assert report.size == 3


def test_an_open_step_is_in_the_way(shop, kit):
    number = make.on_the_bench(shop, kit)
    keys.make_key(shop, kit, phrase=make.SIGNING)
    steps = make.head(shop, number).steps_total
    with pytest.raises(Locked, match=f"{steps} in the way of signing: 1.1 "):
        sign(shop, kit, number)


def test_a_caution_waits_for_the_lead(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    with pytest.raises(Locked, match="1 in the way"):
        sign(shop, kit, number)
    finding = key_of(shop, number)
    with pytest.raises(NotAllowed):
        accept(shop, kit, number, finding)
    accept(shop, lead, number, finding)
    log = sign(shop, kit, number)
    assert "flies without telemetry by choice" in log.document


def test_a_caution_is_accepted_with_a_reason_only(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    with pytest.raises(Unfit, match="Say why"):
        signing.accept(
            shop, lead, number, finding=key_of(shop, number), reason=" ", act_key=make.key()
        )


def test_a_stop_cannot_be_accepted(shop, lead, kit):
    number = make.on_the_bench(shop, kit, make.swapped)
    with pytest.raises(Locked, match="stop cannot be accepted"):
        accept(shop, lead, number, key_of(shop, number))


def test_what_lies_in_the_queue_is_not_signed(shop, kit):
    number = make.to_sign(shop, kit)
    queue.put_back(shop, kit, number)
    with pytest.raises(Locked, match="not on a bench"):
        sign(shop, kit, number)
    queue.take(shop, kit, number)
    assert sign(shop, kit, number).number == 1


def test_an_old_power_state_does_not_bar_the_signature(shop, kit, clock):
    number = make.to_sign(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    with pytest.raises(Locked, match="on usb"):
        sign(shop, kit, number)
    clock.pass_minutes(61)
    assert sign(shop, kit, number).number == 1


def test_the_second_who_accepts_is_shown_the_first_reason(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    given = {"finding": key_of(shop, number), "reason": "Flown so by choice."}
    first = signing.accept(shop, lead, number, act_key="once", **given)
    assert signing.accept(shop, lead, number, act_key="once", **given).id == first.id
    with pytest.raises(Stale, match="already: Flown so by choice"):
        signing.accept(shop, lead, number, act_key="another", **given | {"reason": "Mine."})
    with pytest.raises(Spent, match="Flown so by choice"):
        signing.accept(shop, lead, number, act_key="once", **given | {"reason": "Mine."})


def test_a_closed_ticket_takes_no_more_acceptances(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    finding = key_of(shop, number)
    handover.return_as_is(
        shop, lead, number, to=make.handed(), reason="Not wanted.", act_key=make.key()
    )
    with pytest.raises(Locked, match="closed"):
        accept(shop, lead, number, finding)


def test_a_wrong_phrase_signs_nothing(shop, kit):
    number = make.to_sign(shop, kit)
    with pytest.raises(NotAllowed, match="does not open your key"):
        sign(shop, kit, number, phrase="another phrase entirely")
    assert make.head(shop, number).state == "to-sign"


def test_without_a_key_the_way_out_is_named(shop, lead, kit):
    number = make.to_sign(shop, kit)
    with pytest.raises(Missing, match="has no signing key"):
        sign(shop, lead, number)


def test_words_that_a_log_does_not_hold_are_refused(shop, kit):
    number = make.to_sign(shop, kit)
    with pytest.raises(Unfit) as refused:
        sign(shop, kit, number, words="Certified ready to fly.")
    assert refused.value.field == "words"


def test_a_new_key_closes_the_old(shop, kit):
    number = make.to_sign(shop, kit)
    first = sign(shop, kit, number)
    keys.make_key(shop, kit, phrase="another phrase entirely")
    with reading(shop.engine) as connection:
        known = logs.keys(connection)
    assert [row.closed_at is None for row in known] == [False, True]
    assert verify_log(first.document.encode()).problems == ()


def test_no_owner_is_named_in_the_log(shop, kit):
    log = sign(shop, kit, make.to_sign(shop, kit, customer_name="Odile Marsh", phone="555 0187"))
    assert "Odile" not in log.document
    assert "0187" not in log.document


def accept(shop, by, number, finding):
    return signing.accept(
        shop,
        by,
        number,
        finding=finding,
        reason="The customer flies without telemetry by choice.",
        act_key=make.key(),
    )


def key_of(shop, number) -> str:
    """The key of the gravest finding of the ticket's map."""
    return facts_of(make.head(shop, number).sheet).findings[0].key


def mark_of(shop, number) -> str:
    with reading(shop.engine) as connection:
        return signing.record_of(connection, number).mark


def test_what_was_not_read_is_not_signed(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    read = mark_of(shop, number)
    accept(shop, lead, number, key_of(shop, number))
    with pytest.raises(Stale, match="changed since you read it"):
        sign(shop, kit, number, seen=read)
    assert make.head(shop, number).state == "to-sign"
    assert sign(shop, kit, number, seen=mark_of(shop, number)).number == 1


def test_what_comes_in_while_the_phrase_is_tried_is_not_signed(shop, kit, monkeypatch):
    number = make.to_sign(shop, kit)
    read = mark_of(shop, number)

    def opened(*given):
        power.change(shop, kit, number, act=Act.PLUG_USB)
        power.change(shop, kit, number, act=Act.UNPLUG)
        return keys.opened(*given)

    monkeypatch.setattr(signing, "opened", opened)
    with pytest.raises(Stale, match="changed since you read it"):
        sign(shop, kit, number, seen=read)


def test_a_state_that_ages_out_is_no_change_of_what_was_read(shop, kit, clock):
    number = make.to_sign(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    read = mark_of(shop, number)
    clock.pass_minutes(61)
    assert sign(shop, kit, number, seen=read).number == 1


def test_nothing_is_accepted_on_a_signed_log(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    accept(shop, lead, number, key_of(shop, number))
    sign(shop, kit, number)
    with pytest.raises(Locked, match="The log is signed"):
        accept(shop, lead, number, key_of(shop, number))

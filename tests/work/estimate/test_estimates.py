"""An estimate is agreed to as it stands, lapses with its lines, and keeps the rate of its day."""

import json

import pytest
from sqlmodel import select

from server.records.counter import newest_terms
from server.records.engine import reading, writing
from server.records.people import shop as profile_of
from server.records.tables import Agreement
from server.work.errors import Locked, Missing, NotAllowed, Stale, Unfit
from server.work.estimate import estimates
from server.work.estimate.estimates import EstimateItem
from server.work.handover import handover
from server.work.office import settings
from server.work.shop import Shop
from server.work.ticket import status_page
from server.work.ticket.account import account_of
from tests import make

SET_UP = EstimateItem(says="Set-up", quantity=1, unit_minor=4800)
RECEIVER = EstimateItem(says="Receiver", quantity=1, unit_minor=1900, kind="parts")


@pytest.fixture
def lead(shop: Shop):
    found = make.lead(shop)
    settings.change_shop(shop, found, {"tax_bp": 2500})
    return found


@pytest.fixture
def ilse(shop: Shop, lead):
    return make.staff(shop, lead, "Ilse Brandt", "counter")


@pytest.fixture
def number(shop, ilse):
    """A ticket with one line, not agreed to: 48.00 and a quarter of tax, 60.00."""
    return make.ticket(shop, ilse, lines=[SET_UP])


def account(shop, number):
    with reading(shop.engine) as connection:
        return account_of(connection, number, profile_of(connection))


def agree(shop, by, number, **told):
    said = {
        "basis": account(shop, number).standing.basis,
        "how": "telephone",
        "who": "Perrin Vale",
        "up_to_minor": 6000,
        "act_key": make.key(),
    } | told
    return estimates.agree(shop, by, number, **said)


def write(shop, by, number, *lines):
    basis = account(shop, number).standing.basis
    return estimates.write_lines(shop, by, number, lines=lines, basis=basis)


def test_a_yes_is_written_down_with_who_when_how_and_up_to_what(shop, ilse, number):
    assert account(shop, number).standing.agreed is None
    agree(shop, ilse, number, up_to_minor=7000)
    said = account(shop, number).standing.agreed
    assert (said.who, said.how, said.up_to_minor, said.currency, said.by_name) == (
        "Perrin Vale",
        "telephone",
        7000,
        "EUR",
        "Ilse Brandt",
    )
    assert said.at > make.START
    with writing(shop.engine) as session:
        kept = session.exec(select(Agreement)).one()
    assert json.loads(kept.lines) == [
        {"kind": "labour", "says": "Set-up", "quantity": 1, "unit_minor": 4800, "tax_bp": 2500}
    ]


@pytest.mark.parametrize(
    "changed",
    [
        [SET_UP, RECEIVER],
        [],
        [SET_UP.model_copy(update={"says": "Set-up and test"})],
        [SET_UP.model_copy(update={"unit_minor": 4799})],
        [SET_UP.model_copy(update={"kind": "parts"})],
        [SET_UP.model_copy(update={"quantity": 2, "unit_minor": 2400})],
    ],
)
def test_changed_lines_are_to_be_agreed_to_again(shop, ilse, number, changed):
    agree(shop, ilse, number, up_to_minor=50_000)
    write(shop, ilse, number, *changed)
    standing = account(shop, number).standing
    assert standing.agreed is None
    assert standing.lapsed.up_to_minor == 50_000


def test_the_same_lines_again_stay_agreed_to(shop, ilse, number):
    agree(shop, ilse, number)
    write(shop, ilse, number, SET_UP)
    assert account(shop, number).standing.agreed is not None
    assert [e.kind for e in account(shop, number).events] == ["booked in", "agreed"]


def test_another_rate_is_felt_only_by_lines_written_after(shop, lead, ilse, number):
    agree(shop, ilse, number)
    settings.change_shop(shop, lead, {"tax_bp": 1000, "rounding": "half-even", "currency": "JPY"})
    now = account(shop, number)
    assert (now.bill.total_minor, now.bill.currency) == (6000, "EUR")
    assert now.standing.agreed is not None
    write(shop, ilse, number, SET_UP)
    now = account(shop, number)
    assert (now.bill.total_minor, now.bill.currency) == (5280, "EUR")
    assert now.standing.agreed is None


def test_a_yes_to_lines_that_changed_meanwhile_is_refused(shop, ilse, number):
    basis = account(shop, number).standing.basis
    write(shop, ilse, number, SET_UP, RECEIVER)
    with pytest.raises(Stale, match="changed meanwhile"):
        agree(shop, ilse, number, basis=basis, up_to_minor=99_999)
    with pytest.raises(Stale, match="changed meanwhile"):
        estimates.write_lines(shop, ilse, number, lines=[], basis=basis)


@pytest.mark.parametrize(
    ("told", "field"),
    [
        ({"up_to_minor": 5999}, "up_to"),
        ({"who": " "}, "who"),
        ({"how": "status page"}, "how"),
        ({"how": "winked"}, "how"),
    ],
)
def test_half_a_yes_is_none(shop, ilse, number, told, field):
    with pytest.raises(Unfit) as refused:
        agree(shop, ilse, number, **told)
    assert refused.value.field == field
    assert account(shop, number).agreements == ()


def test_the_same_yes_twice_is_one(shop, ilse, number):
    for _ in range(2):
        agree(shop, ilse, number)
    assert len(account(shop, number).agreements) == 1


def test_the_customer_agrees_by_the_code_of_their_slip(shop, number):
    code, basis = make.head(shop, number).status_code, account(shop, number).standing.basis
    for _ in range(2):
        estimates.agree_on_their_page(shop, code, basis=basis, act_key=make.key())
    (said,) = account(shop, number).agreements
    assert (said.how, said.who, said.by_name, said.up_to_minor) == (
        "status page",
        "the customer",
        None,
        6000,
    )
    with pytest.raises(Stale):
        estimates.agree_on_their_page(shop, code, basis="another", act_key=make.key())


def test_a_withdrawn_page_takes_no_yes(shop, ilse, number):
    code, basis = make.head(shop, number).status_code, account(shop, number).standing.basis
    status_page.withdraw(shop, ilse, number)
    with pytest.raises(Missing):
        estimates.agree_on_their_page(shop, code, basis=basis, act_key=make.key())
    status_page.give_anew(shop, ilse, number)
    with pytest.raises(Missing):
        estimates.agree_on_their_page(shop, code, basis=basis, act_key=make.key())
    fresh = make.head(shop, number).status_code
    assert fresh != code
    estimates.agree_on_their_page(shop, fresh, basis=basis, act_key=make.key())
    assert account(shop, number).standing.agreed is not None


def test_a_technician_does_not_withdraw_a_page(shop, lead, number):
    kit = make.staff(shop, lead, "Kit Thorne")
    for act in (status_page.withdraw, status_page.give_anew):
        with pytest.raises(NotAllowed):
            act(shop, kit, number)


def test_a_closed_ticket_is_not_changed(shop, ilse, number):
    basis = account(shop, number).standing.basis
    said = {"to": make.handed(), "reason": "x", "act_key": make.key()}
    handover.return_as_is(shop, ilse, number, **said)
    code = make.head(shop, number).status_code
    for act in (
        lambda: agree(shop, ilse, number),
        lambda: write(shop, ilse, number),
        lambda: estimates.agree_on_their_page(shop, code, basis=basis, act_key=make.key()),
    ):
        with pytest.raises(Locked):
            act()


def test_agreed_at_book_in_is_agreed(shop, ilse):
    number = make.ticket(shop, ilse, lines=[SET_UP], estimate_agreed=True)
    said = account(shop, number).standing.agreed
    assert (said.how, said.who, said.up_to_minor) == ("counter", "Perrin Vale", 6000)
    nothing = make.ticket(shop, ilse, craft_name="Second", estimate_agreed=True)
    assert account(shop, nothing).agreements == ()


def test_a_ticket_keeps_the_terms_that_were_agreed_to(shop, lead, ilse):
    settings.change_shop(shop, lead, {"terms": "We test."})
    page_terms = terms(shop)
    settings.change_shop(shop, lead, {"terms": "We test. We do not fly."})
    old = make.ticket(shop, ilse, terms_agreed=True, terms_id=page_terms.id)
    new = make.ticket(shop, ilse, craft_name="2", terms_agreed=True, terms_id=terms(shop).id)
    none = make.ticket(shop, ilse, craft_name="3")
    settings.change_shop(shop, lead, {"terms": "Other words."})
    assert account(shop, old).terms == "We test."
    assert account(shop, new).terms == "We test. We do not fly."
    assert account(shop, none).terms == "Other words."
    assert account(shop, none).terms_agreed_at is None


def terms(shop):
    with reading(shop.engine) as connection:
        return newest_terms(connection)

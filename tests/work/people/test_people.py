"""Who works here, how they sign in, and what stays written of it; on both databases."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from server.records import people as rows
from server.records import trust
from server.records.engine import reading
from server.work.errors import Later, Locked, NotAllowed, Refused, Unfit
from server.work.office import settings
from server.work.people import passwords, staff
from server.work.shop import Person, Shop
from tests import make

NEW = "plover over grey water"


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def bo(shop: Shop, lead: Person) -> tuple[Person, str]:
    """Somebody added a moment ago, and their code."""
    return staff.add_staff(
        shop, lead, name="Bo Larch", initials="BL", sign_in="bo", role="technician"
    )


def begin(shop, code, **other):
    given = {"name": "bo", "code": code, "password": NEW} | other
    return staff.choose_password(shop, **given)


def signed_in(shop, token):
    with reading(shop.engine) as connection:
        return rows.signed_in(connection, staff.digest(token), shop.now())


def written(shop):
    """What the shop's history says, oldest first."""
    with reading(shop.engine) as connection:
        return [event.says for event in trust.events(connection, 50)][::-1]


def test_nobody_signs_in_before_they_set_a_password(shop, bo):
    for guess in ("", bo[1], NEW):
        with pytest.raises(NotAllowed, match="name or the password is wrong"):
            staff.sign_in(shop, name="bo", password=guess)


def test_a_code_sets_a_password_once_and_signs_in(shop, bo):
    token, by = begin(shop, bo[1])
    assert (by, signed_in(shop, token).name) == (bo[0], "Bo Larch")
    with pytest.raises(NotAllowed, match="code has expired"):
        begin(shop, bo[1])
    staff.sign_in(shop, name="Bo", password=NEW)


def test_of_two_who_use_one_code_at_once_one_gets_in(shop, bo):
    def use(nth):
        try:
            return begin(shop, bo[1], password=f"{NEW} {nth}")
        except NotAllowed:
            return None

    with ThreadPoolExecutor(4) as pool:
        got = [answer for answer in pool.map(use, range(4)) if answer]
    assert len(got) == 1


@pytest.mark.parametrize("hours", [71, 73])
def test_a_code_ends_after_three_days(shop, bo, clock, hours):
    clock.pass_minutes(60 * hours)
    if hours < 72:
        begin(shop, bo[1])
    else:
        with pytest.raises(NotAllowed, match="code has expired"):
            begin(shop, bo[1])


@pytest.mark.parametrize(
    "wrong",
    [{"name": "sunniva oake"}, {"code": "K7QM-4XPD-9RTW"}, {"code": ""}, {"name": "b\u0000o"}],
)
def test_a_wrong_code_or_name_is_told_alike(shop, bo, wrong):
    with pytest.raises(NotAllowed, match="name or the one-time code is wrong"):
        begin(shop, **{"code": bo[1]} | wrong)


def test_a_code_outlives_a_password_that_will_not_do(shop, bo):
    for weak in ("short", "basketball", "Bo Larch 77"):
        with pytest.raises(Unfit):
            begin(shop, bo[1], password=weak)
    begin(shop, bo[1])


def test_guessing_codes_is_slowed_and_a_new_code_is_no_way_around(shop, lead, bo):
    for _ in range(5):
        with pytest.raises(NotAllowed):
            begin(shop, "K7QM-4XPD-9RTW")
    with pytest.raises(Later, match="Too many wrong tries"):
        begin(shop, bo[1])


def test_a_slowed_sign_in_says_the_same_of_known_and_unknown_names(shop, bo, lead):
    for name in ("sunniva oake", "nobody at all"):
        for _ in range(5):
            with pytest.raises(NotAllowed):
                staff.sign_in(shop, name=name, password="wrong", address="192.0.2.1")
        with pytest.raises(Later, match="Too many wrong tries"):
            staff.sign_in(shop, name=name, password=make.PASSWORD, address="192.0.2.1")
    # Elsewhere the right one still opens.
    staff.sign_in(shop, name="sunniva oake", password=make.PASSWORD, address="192.0.2.2")


def test_known_and_unknown_names_cost_one_hash_alike(shop, lead, bo, monkeypatch):
    gone = make.staff(shop, lead, "Kit Thorne")
    settings.leave(shop, lead, gone.id)
    costs: list[int] = []
    apart = passwords.apart
    monkeypatch.setattr(passwords, "apart", lambda *a, **k: (costs.append(1), apart(*a, **k))[1])
    passwords._nobodys(quick=True)
    for name in ("sunniva oake", "bo", "kit thorne", "nobody", "no\u0000body"):
        costs.clear()
        with pytest.raises(NotAllowed, match="name or the password is wrong"):
            staff.sign_in(shop, name=name, password="wrong")
        assert len(costs) == 1, name


def test_ones_own_password_is_changed_and_other_devices_end(shop, lead):
    here, _ = staff.sign_in(shop, name="sunniva oake", password=make.PASSWORD)
    there, _ = staff.sign_in(shop, name="sunniva oake", password=make.PASSWORD)
    staff.change_password(shop, lead, password=make.PASSWORD, new_password=NEW, token=here)
    assert signed_in(shop, here)
    assert signed_in(shop, there) is None
    with pytest.raises(NotAllowed):
        staff.sign_in(shop, name="sunniva oake", password=make.PASSWORD)
    staff.sign_in(shop, name="sunniva oake", password=NEW)


@pytest.mark.parametrize(
    ("old", "new", "field", "says"),
    [
        ("not this one", NEW, "password", "not your password"),
        (make.PASSWORD, make.PASSWORD + " ", "new_password", "the password you have"),
        (make.PASSWORD, "short", "new_password", "10 characters"),
        (make.PASSWORD, "Sunniva Oake 1", "new_password", "guessed first"),
    ],
)
def test_a_change_that_will_not_do_changes_nothing(shop, lead, old, new, field, says):
    token, _ = staff.sign_in(shop, name="sunniva oake", password=make.PASSWORD)
    with pytest.raises(Unfit, match=says) as refused:
        staff.change_password(shop, lead, password=old, new_password=new, token=token)
    assert refused.value.field == field
    staff.sign_in(shop, name="sunniva oake", password=make.PASSWORD)


def test_a_reset_ends_password_and_sign_ins_and_an_older_code(shop, lead, bo):
    token, _ = begin(shop, bo[1])
    _, first = settings.reset_password(shop, lead, bo[0].id)
    assert signed_in(shop, token) is None
    with pytest.raises(NotAllowed):
        staff.sign_in(shop, name="bo", password=NEW)
    _, second = settings.reset_password(shop, lead, bo[0].id)
    with pytest.raises(NotAllowed):
        begin(shop, first)
    begin(shop, second)


def test_who_left_gets_no_code_and_their_last_one_is_gone(shop, lead, bo):
    settings.leave(shop, lead, bo[0].id)
    with pytest.raises(Locked, match="cannot sign in"):
        settings.reset_password(shop, lead, bo[0].id)
    with pytest.raises(NotAllowed):
        begin(shop, bo[1])
    settings.come_back(shop, lead, bo[0].id)
    with pytest.raises(NotAllowed):
        begin(shop, bo[1])


def test_a_password_reset_while_it_is_tried_lets_nobody_in(shop, lead, bo, monkeypatch):
    begin(shop, bo[1])
    holds = passwords.holds

    def slowly(*given, **more):
        monkeypatch.setattr(passwords, "holds", holds)
        settings.reset_password(shop, lead, bo[0].id)
        return holds(*given, **more)

    monkeypatch.setattr(passwords, "holds", slowly)
    with pytest.raises(NotAllowed):
        staff.sign_in(shop, name="bo", password=NEW)


def test_a_name_that_looks_like_anothers_is_refused(shop, lead, bo):
    more = {"initials": "XX", "role": "counter"}
    with pytest.raises(Unfit, match="looks like bo"):
        staff.add_staff(shop, lead, name="Somebody Else", sign_in="b0", **more)
    with pytest.raises(Unfit, match="looks like Bo Larch"):
        staff.add_staff(shop, lead, name="B\u043e L\u0430rch", sign_in="else", **more)


def test_every_change_of_staff_is_written_down(shop, lead, bo):
    begin(shop, bo[1])
    token, _ = staff.sign_in(shop, name="bo", password=NEW)
    staff.change_password(shop, bo[0], password=NEW, new_password=NEW + " again", token=token)
    _, code = settings.reset_password(shop, lead, bo[0].id)
    for _ in range(2):  # the second time nothing changes, and nothing is written
        settings.leave(shop, lead, bo[0].id)
    for _ in range(2):
        settings.come_back(shop, lead, bo[0].id)
    lines = written(shop)
    assert lines == [
        "Sunniva Oake set up the shop.",
        "Bo Larch added as technician, signs in as bo. By Sunniva Oake.",
        "Bo Larch set a password by a one-time code.",
        "Bo Larch changed their password.",
        "Bo Larch got a one-time code to set a password by. From Sunniva Oake.",
        "Bo Larch left; their key is closed. By Sunniva Oake.",
        "Bo Larch can sign in again. By Sunniva Oake.",
    ]
    assert not [line for line in lines for secret in (bo[1], code, NEW) if secret in line]


def test_a_shop_is_set_up_once_and_hashes_nothing_the_second_time(shop, lead, monkeypatch):
    monkeypatch.setattr(passwords, "hashed", lambda *_, **__: pytest.fail("hashed"))
    with pytest.raises(Refused, match="set up already"):
        make.lead(shop, "Somebody Else")

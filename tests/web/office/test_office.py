"""The lead's desk keeps staff and settings; a technician makes their own key."""

import pytest

from server.records import logs, people
from server.records.engine import reading
from tests import make
from tests.journey import code_on
from tests.web.client import Browser

PHRASE = "curlews over grey water"


@pytest.fixture
def lead(shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


def keys(shop):
    with reading(shop.engine) as connection:
        return logs.keys(connection)


def staff(shop):
    with reading(shop.engine) as connection:
        return {row.name: row for row in people.staff(connection)}


def test_technician_makes_a_key_for_themselves(shop, kit):
    browser = Browser(shop).sign_in("Kit Thorne")
    form = browser.get("/office/key").form("/office/key")
    page = browser.submit(form, phrase=PHRASE, again=PHRASE)
    (key,) = keys(shop)
    assert (key.owner, page.status) == ("Kit Thorne", 200)
    assert key.fingerprint in page.text


def test_another_key_closes_the_first(shop, kit):
    browser = Browser(shop).sign_in("Kit Thorne")
    for phrase in (PHRASE, PHRASE + " again"):
        form = browser.get("/office/key").form("/office/key")
        browser.submit(form, phrase=phrase, again=phrase)
    first, second = keys(shop)
    assert first.closed_at is not None
    assert second.closed_at is None
    assert "Closed keys" in browser.get("/office/key").text


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"phrase": "too short", "again": "too short"}, "phrase", "12 characters or more"),
        ({"phrase": PHRASE, "again": PHRASE + "s"}, "again", "The two passphrases differ"),
        ({"phrase": PHRASE}, "again", "Say the signing passphrase once more"),
    ],
)
def test_wrong_phrase_is_told_beside_its_field(shop, kit, typed, field, says):
    browser = Browser(shop).sign_in("Kit Thorne")
    page = browser.submit(browser.get("/office/key").form("/office/key"), **typed)
    assert page.status == 422
    assert says in page.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    assert PHRASE not in page.text
    assert keys(shop) == []


def test_counter_has_no_key_to_make(shop, lead):
    make.staff(shop, lead, "Ilse Dahl", "counter")
    browser = Browser(shop).sign_in("Ilse Dahl")
    page = browser.get("/office/key")
    assert "needs no key" in page.text
    csrf = page.form("/sign-out").value("csrf")
    refused = browser.post("/office/key", {"csrf": csrf, "phrase": PHRASE, "again": PHRASE})
    assert refused.status == 403
    assert keys(shop) == []


def test_technician_is_led_to_their_own_key(shop, kit):
    page = Browser(shop).sign_in("Kit Thorne").get("/office")
    assert "Your signing key" in page.text
    assert "/office/staff" not in page.text


@pytest.mark.parametrize(
    "address",
    [
        "/office/staff",
        "/office/shop",
        "/office/staff/1/end",
        "/office/staff/1/return",
        "/office/staff/1/code",
    ],
)
def test_technician_cannot_run_the_office(shop, kit, address):
    browser = Browser(shop).sign_in("Kit Thorne")
    csrf = browser.get("/office/key").form("/office/key").value("csrf")
    assert browser.post(address, {"csrf": csrf, "phrase": PHRASE}).status == 403


def test_somebody_new_sets_their_password_by_the_code(shop, lead):
    browser = Browser(shop).sign_in("Sunniva Oake")
    form = browser.get("/office").form("/office/staff")
    page = browser.submit(form, name="Bo Larch", initials="bl", sign_in="Bo", role="technician")
    code = code_on(page.text)
    assert "sign in as <b>bo</b>" in page.text
    assert code not in browser.get("/office").text
    theirs = Browser(shop)
    typed = {
        "name": "BO",
        "one_time_code": code.lower().replace("-", " "),
        "password": make.PASSWORD,
        "again": make.PASSWORD,
    }
    page = theirs.submit(theirs.get("/first-password").form("/first-password"), **typed)
    assert "Your password is set." in page.text
    Browser(shop).sign_in("bo")
    again = Browser(shop)
    page = again.submit(again.get("/first-password").form("/first-password"), **typed)
    assert page.status == 422
    assert "the code has expired" in page.text
    assert make.PASSWORD not in page.text


@pytest.mark.parametrize(
    ("wrong", "field", "says"),
    [
        ({"sign_in": "sunniva  OAKE"}, "sign_in", "Somebody here has that name already"),
        ({"sign_in": "b\u200bo"}, "sign_in", "a character in it that does not show"),
        ({"sign_in": "b\u043e"}, "sign_in", "mixes letters of two alphabets"),
        ({"name": "Sunniva 0ake"}, "name", "It looks like Sunniva Oake"),
        ({"name": ""}, "name", "Say their name."),
        ({"role": "pilot"}, "role", "Pick one of the answers shown."),
    ],
)
def test_bad_staff_form_keeps_what_was_typed(shop, lead, wrong, field, says):
    browser = Browser(shop).sign_in("Sunniva Oake")
    typed = {"name": "Bo Larch", "initials": "BL", "sign_in": "bo", "role": "technician"} | wrong
    page = browser.submit(browser.get("/office").form("/office/staff"), **typed)
    assert page.status == 422
    assert says in page.text.split(f'id="staff-{field}-error"')[1].split("</p>")[0]
    assert page.form("/office/staff").value("initials") == "BL"
    assert "Bo Larch" not in staff(shop)


def test_settings_are_kept_and_shown_again(shop, lead):
    browser = Browser(shop).sign_in("Sunniva Oake")
    form = browser.get("/office").form("/office/shop")
    browser.submit(
        form,
        name="Grey Water Repair",
        tax="8,25",
        zone="Europe/Madrid",
        country="ES",
        open_days=["6", "2"],
        closes_at="18:30",
        label="57x32mm",
    )
    shown = browser.get("/office").form("/office/shop")
    assert (shown.value("tax"), shown.value("zone")) == ("8.25", "Europe/Madrid")
    assert [day for name, day in shown.fields if name == "open_days"] == ["2", "6"]
    with reading(shop.engine) as connection:
        profile = people.shop(connection)
    assert (profile.name, profile.tax_bp, profile.props_minutes) == ("Grey Water Repair", 825, 30)
    assert (profile.open_days, profile.closes_at, profile.label) == ("26", "18:30", "57x32mm")


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"zone": "Mars/Olympus"}, "There is no such time zone."),
        ({"tax": "101"}, "Write 100 or less."),
        ({"tax": "1.234"}, "Write at most 2 places after the point."),
        ({"currency": "euro"}, "Write three capital letters"),
        ({"props_minutes": "0"}, "Write 1 or more."),
        ({"paper": "a3"}, "Pick one of the answers shown."),
        ({"open_days": []}, "Say the opening days."),
        ({"opens_at": "9"}, "Write a time, such as 09:00."),
        ({"closes_at": "08:00"}, "The shop closes before it opens."),
    ],
)
def test_impossible_settings_are_refused(shop, lead, wrong, says):
    browser = Browser(shop).sign_in("Sunniva Oake")
    page = browser.submit(browser.get("/office").form("/office/shop"), **wrong)
    assert page.status == 422
    assert says in page.text


def test_leaver_is_signed_out_and_their_key_closed(shop, lead, kit):
    theirs = Browser(shop).sign_in("Kit Thorne")
    theirs.submit(theirs.get("/office/key").form("/office/key"), phrase=PHRASE, again=PHRASE)
    browser = Browser(shop).sign_in("Sunniva Oake")
    address = f"/office/staff/{kit.id}"
    browser.submit(browser.get(address).form("/end"))
    assert "Sign in" in theirs.get("/office/key").text
    assert keys(shop)[0].closed_at is not None
    assert not staff(shop)["Kit Thorne"].active
    browser.submit(browser.get(address).form("/return"))
    Browser(shop).sign_in("Kit Thorne")
    assert keys(shop)[0].closed_at is not None


def test_last_lead_cannot_leave(shop, lead):
    browser = Browser(shop).sign_in("Sunniva Oake")
    page = browser.submit(browser.get(f"/office/staff/{lead.id}").form("/end"))
    assert page.status == 409
    assert "is the only supervisor" in page.text
    assert staff(shop)["Sunniva Oake"].active


def test_nobody_leaves_with_a_ticket_on_their_bench(shop, lead, kit):
    number = make.on_the_bench(shop, kit)
    browser = Browser(shop).sign_in("Sunniva Oake")
    page = browser.submit(browser.get(f"/office/staff/{kit.id}").form("/end"))
    assert f"Ticket {number:04d} is on Kit Thorne’s bench." in page.text
    assert staff(shop)["Kit Thorne"].active


def test_a_reset_password_ends_at_once_and_a_code_sets_another(shop, lead, kit):
    theirs = Browser(shop).sign_in("Kit Thorne")
    browser = Browser(shop).sign_in("Sunniva Oake")
    page = browser.submit(browser.get(f"/office/staff/{kit.id}").form("/code"))
    assert "Sign in" in theirs.get("/queue").text
    refused = theirs.post("/sign-in", {"name": "Kit Thorne", "password": make.PASSWORD})
    assert refused.status == 422
    typed = {
        "name": "Kit Thorne",
        "one_time_code": code_on(page.text),
        "password": PHRASE,
        "again": PHRASE,
    }
    theirs.submit(theirs.get("/first-password").form("/first-password"), **typed)
    assert theirs.get("/queue").form("/sign-out")


def test_unknown_staff_number_is_not_found(shop, lead):
    assert Browser(shop).sign_in("Sunniva Oake").get("/office/staff/99").status == 404


def test_a_key_form_sent_twice_makes_one_key(shop, kit):
    browser = Browser(shop).sign_in("Kit Thorne")
    form = browser.get("/office/key").form("/office/key")
    for _ in range(2):
        assert browser.submit(form, phrase=PHRASE, again=PHRASE).status == 200
    assert len(keys(shop)) == 1


def test_a_phrase_is_changed_and_the_key_stays(shop, kit):
    browser = Browser(shop).sign_in("Kit Thorne")
    browser.submit(browser.get("/office/key").form("/office/key"), phrase=PHRASE, again=PHRASE)
    (before,) = keys(shop)
    typed = {"phrase": PHRASE, "new_phrase": PHRASE + " too", "again": PHRASE + " too"}
    page = browser.submit(browser.get("/office/key").form("/office/key/phrase"), **typed)
    assert "Your key has a new passphrase." in page.text
    assert keys(shop) == [before]
    page = browser.submit(browser.get("/office/key").form("/office/key/phrase"), **typed)
    assert page.status == 403
    assert "does not open your key" in page.text.split('id="phrase-error"')[1].split("</p>")[0]


@pytest.mark.parametrize(
    ("wrong", "field", "says"),
    [
        ({"again": "not the same phrase"}, "again", "The two passphrases differ"),
        ({"new_phrase": "too short", "again": "too short"}, "new_phrase", "12 characters or more"),
        ({"phrase": ""}, "phrase", "Say the passphrase as it is now"),
    ],
)
def test_a_wrong_new_phrase_is_told_beside_its_field(shop, kit, wrong, field, says):
    browser = Browser(shop).sign_in("Kit Thorne")
    browser.submit(browser.get("/office/key").form("/office/key"), phrase=PHRASE, again=PHRASE)
    typed = {"phrase": PHRASE, "new_phrase": PHRASE + "s", "again": PHRASE + "s"} | wrong
    page = browser.submit(browser.get("/office/key").form("/office/key/phrase"), **typed)
    assert page.status == 422
    assert says in page.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    assert PHRASE not in page.text


def test_the_second_pair_of_eyes_is_set_in_the_office(shop, lead, kit):
    browser = Browser(shop).sign_in("Sunniva Oake")
    browser.submit(browser.get("/office").form("/office/shop"), second_eyes="motors")
    assert browser.get("/office").form("/office/shop").value("second_eyes") == "motors"
    number = make.to_sign(shop, kit)
    page = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/signature")
    assert "You did the motors, so somebody else signs" in page.text
    assert 'aria-disabled="true"' in page.text
    assert f'href="/tickets/{number}/moves"' in page.text
    card = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/card")
    assert "You did the motors, so somebody else signs" in card.text
    theirs = Browser(shop).sign_in("Sunniva Oake").get(f"/tickets/{number}/signature")
    assert "Nothing is in the way" in theirs.text
    assert "Sunniva Oake, for the motors" in theirs.text

"""Which passwords will do, and what is kept of one. No hash is asked whether it is right but
Argon2's own text (RFC 9106) and the library that wrote it."""

import threading

import pytest
from argon2 import PasswordHasher, extract_parameters
from argon2.profiles import RFC_9106_LOW_MEMORY

from server.records.engine import reading, writing
from server.work.errors import Busy, Unfit
from server.work.people import hashing, passwords
from server.work.people.hashing import Room, apart
from server.work.shop import Shop


@pytest.mark.parametrize(
    "password",
    # Of the published lists of most used passwords, and what people make of one word.
    [
        "1234567890",
        "qwertyuiop",
        "password123",
        "Password2026!",
        "basketball",
        "iloveyou123",
        "aaaaaaaaaaaa",
        "abcdefghij",
        "0987654321",
        "!!!football99!!!",
        "monkeymonkey",
        "11111222222",
        "Quadwright1",
        "Kit Thorne 7",
        "kitthorne!",
    ],
)
def test_what_is_guessed_first_is_refused(shop, password):
    with pytest.raises(Unfit, match="guessed first"):
        passwords.hashed(shop, password, own=("Kit Thorne", "kit"))


@pytest.mark.parametrize(
    "password",
    [
        "correct horse battery",
        "k7#Qm2!xP9",
        "plover over grey water",
        "наш мастер паяет",
        "x" * 40 + "yzwvu",
    ],
)
def test_what_nobody_guesses_soon_will_do(shop, password):
    kept = passwords.hashed(shop, password, own=("Kit Thorne", "kit"))
    assert PasswordHasher().verify(kept, password)


def test_nine_characters_are_too_few_and_a_page_is_too_many(shop):
    with pytest.raises(Unfit, match="10 characters or more"):
        passwords.hashed(shop, "k7#Qm2!xP")
    # NIST SP 800-63B, 3.1.1.2: at least 64 are to be allowed; here no limit under 128.
    long = "k7#Qm2!xP9 " * 23
    assert passwords.holds(shop, passwords.hashed(shop, long), long)
    with pytest.raises(Unfit, match="more than 256"):
        passwords.hashed(shop, long + "12345678")


def test_one_password_from_two_keyboards_is_one(shop):
    # Unicode TR 15: full-width letters and a combining ring are the same in form KC.
    kept = passwords.hashed(shop, "Ångström werft")
    assert passwords.holds(shop, kept, "A\u030angstro\u0308m \uff57\uff45\uff52\uff46\uff54 ")
    assert not passwords.holds(shop, kept, "Angstrom werft")


def test_a_password_costs_what_the_rfc_recommends(tmp_path):
    shop = Shop(None, tmp_path)  # type: ignore[arg-type]  # nothing is read
    cost = extract_parameters(passwords.hashed(shop, "correct horse battery"))
    # RFC 9106, 4: the second recommended option is 64 MiB, 3 passes, 4 lanes.
    assert (cost.memory_cost, cost.time_cost, cost.parallelism) == (65536, 3, 4)
    assert cost == RFC_9106_LOW_MEMORY


def test_nobodys_password_is_as_costly_as_anybodys(shop):
    kept = extract_parameters(passwords.hashed(shop, "correct horse battery"))
    nobody = passwords._nobodys(quick=shop.quick_phrases)
    assert extract_parameters(nobody) == kept


def test_no_password_holds_where_none_is_set(shop, monkeypatch):
    monkeypatch.setattr(passwords, "_nobodys", lambda **_: passwords.hashed(shop, "any old thing"))
    assert not passwords.holds(shop, "", "any old thing")


def test_codes_differ_and_are_read_however_they_are_typed():
    codes = {passwords.new_code() for _ in range(200)}
    assert len(codes) == 200
    assert {len(code) for code in codes} == {14}
    told = passwords.code_digest("K01M-4XPD-9RTW")
    assert told == passwords.code_digest(" kolm4xpd 9rtw")
    assert told != passwords.code_digest("K01M-4XPD-9RTV")


@pytest.mark.parametrize("door", [reading, writing])
def test_nothing_is_hashed_inside_a_transaction(shop, door):
    with door(shop.engine), pytest.raises(RuntimeError, match="never inside one"):
        passwords.hashed(shop, "correct horse battery")
    assert passwords.hashed(shop, "correct horse battery")


def test_who_finds_no_room_is_told_and_others_have_theirs():
    crowded, entered, go = Room(), threading.Barrier(2), threading.Event()

    def slow() -> None:
        entered.wait(10)
        go.wait(10)

    many = [threading.Thread(target=apart, args=(slow,), kwargs={"room": crowded})]
    many += [
        threading.Thread(target=apart, args=(go.wait, 10), kwargs={"room": crowded})
        for _ in range(hashing.ROOM - 1)
    ]
    for thread in many:
        thread.start()
    entered.wait(10)
    while crowded.places._value:  # type: ignore[attr-defined]  # until all have come in
        threading.Event().wait(0.01)
    with pytest.raises(Busy, match="Wait 5 seconds"):
        apart(int, room=crowded)
    go.set()
    for thread in many:
        thread.join(10)
    assert apart(int, "412", room=crowded) == 412

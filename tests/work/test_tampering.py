"""Logs as the shop itself signs them, changed afterwards: every change is found, and named.

tests/ledger does the same to small logs made by hand; these are whole, signed through the acts.
"""

import json
import random
from pathlib import Path

import jcs
import pytest
from jwcrypto import jwk, jws

from server.ledger.checking.verify import verify_log
from server.ledger.keylist import KeyList
from server.ledger.keys import SealCost, new_key, open_key
from server.ledger.signing import sign as sign_document
from server.records import logs
from server.records.engine import reading
from server.work.bench import signing
from server.work.shop import Shop
from tests import databases, make
from tests.ledger.rows import verify_chain
from tests.work.shop_model import key_list

PLACES = 250
CHEAP = SealCost(memory_kib=8, passes=1, lanes=1)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[bytes], KeyList]:
    """Four logs of two technicians, and the shop's keys."""
    folder: Path = tmp_path_factory.mktemp("logs")
    shop = Shop(databases.fresh_sqlite(folder), folder, now=make.Clock(), quick_phrases=True)
    lead = make.lead(shop)
    people = [make.staff(shop, lead, name) for name in ("Kit Thorne", "Bo Larch")]
    for by in (*people, *people):
        number = make.to_sign(shop, by)
        signing.sign(shop, by, number, phrase=make.SIGNING, words="Settings entered anew.")
    with reading(shop.engine) as connection:
        found = logs.chain(connection), key_list(logs.keys(connection))
    shop.engine.dispose()
    return found


@pytest.fixture
def files(kept: tuple[list[bytes], KeyList]) -> list[bytes]:
    return kept[0]


@pytest.fixture
def keys(kept: tuple[list[bytes], KeyList]) -> KeyList:
    return kept[1]


def problems(report) -> list[str]:
    return [f"{p.at}: {p.says}" for p in report.problems]


def test_the_row_as_it_is_is_whole(files, keys):
    report = verify_chain(files, keys)
    assert report.ok
    assert [log.signer for log in report.logs] == ["Kit Thorne", "Bo Larch"] * 2


def test_a_changed_byte_anywhere_in_a_log_is_found(files, keys):
    data, chance = files[1], random.Random(7515)
    ends = (*range(8), *range(len(data) - 8, len(data)))
    for at in (*ends, *chance.sample(range(len(data)), PLACES)):
        changed = bytearray(data)
        changed[at] ^= chance.randrange(1, 256)
        report = verify_log(bytes(changed), keys=keys)
        assert not report.ok, f"byte {at} of {len(data)}"
        assert report.problems[0].at
        assert report.problems[0].says


@pytest.mark.parametrize("first", range(3))
def test_a_swapped_pair_is_named(files, keys, first):
    swapped = [*files]
    swapped[first], swapped[first + 1] = swapped[first + 1], swapped[first]
    report = verify_chain(swapped, keys)
    assert problems(report) == [f"log {first + 1}: It stands after log {first + 2}."]


@pytest.mark.parametrize("gone", range(3))
def test_a_removed_log_is_named(files, keys, gone):
    report = verify_chain([*files[:gone], *files[gone + 1 :]], keys)
    n = gone + 1
    assert problems(report) == [f"log {n}: Log {n} is missing before log {n + 1}."]


def test_a_log_signed_anew_with_a_foreign_key_is_named(files, keys):
    # The same log to the letter, by somebody who is not of the shop and says that it is theirs.
    stranger = open_key(new_key("a phrase of a stranger", CHEAP), "a phrase of a stranger")
    document = json.loads(files[-1])["log"]
    document["signed_by"]["key"] = stranger.kid
    forged = sign_document(document, stranger).data
    assert verify_log(forged).ok  # by itself it is a sound log
    report = verify_chain([*files[:-1], forged], keys)
    assert not report.ok
    assert problems(report.logs[-1]) == [
        f"key: The key {stranger.public.fingerprint} is not on the key list of {keys.shop}."
    ]


def test_a_log_of_one_signed_with_the_others_key_is_named(files, keys):
    kit, bo = json.loads(files[0]), json.loads(files[1])
    mixed = jcs.canonicalize(kit | {"key": bo["key"]}) + b"\n"
    report = verify_log(mixed, keys=keys)
    assert not report.ok
    assert report.problems[0].at in ("jws", "key")


@pytest.mark.parametrize("nth", range(4))
def test_another_jose_and_another_canonicaliser_agree(files, nth):
    # jwcrypto and jcs: neither is what signs here (joserfc and rfc8785 are).
    file = json.loads(files[nth])
    token = jws.JWS()
    token.deserialize(file["jws"], jwk.JWK(**file["key"]), alg="EdDSA")
    assert token.payload == jcs.canonicalize(file["log"])
    assert files[nth] == jcs.canonicalize(file) + b"\n"

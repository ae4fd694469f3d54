"""Which key list counts: never one that a stranger brought beside the one that was named."""

import pytest

from server.ledger.checking.bundle import Bundle, check_bundle
from server.ledger.checking.sorting import Brought
from server.ledger.key_choice import Voucher
from server.ledger.keylist import KeyList, sign_keys
from server.ledger.public import BadKey, PublicKey, fingerprint, thumbprint
from tests.ledger.forgeries import (
    FORGERIES,
    GENUINE,
    KEYS,
    LATE,
    OLD,
    Files,
    forged_list,
    made,
    own_list,
)
from tests.ledger.samples import key, listed, row

LEAD = key("Omar Haddad")
HEIR = key("Bea Ortiz")
ROW = row(3)


def brought(files: Files) -> list[Brought]:
    return [Brought(name, data) for name, data in files.items()]


@pytest.mark.parametrize("kind", FORGERIES)
def test_a_forged_bundle_is_found_with_its_cause(kind: str) -> None:
    forgery = FORGERIES[kind]
    files = brought(forgery.make(GENUINE))
    for bundle in (
        check_bundle(files, keys=KEYS),
        check_bundle([*files, Brought("real.qwkeys", GENUINE.list_file)], lead=LEAD.kid),
    ):
        assert not bundle.ok
        assert bundle.keys == KEYS
        assert bundle.first is not None
        name, problem = bundle.first
        assert (name.split("/")[-1], problem.at) == (forgery.file, forgery.at)
        assert forgery.says in problem.says


def test_what_is_genuine_passes_beside_the_named_list() -> None:
    bundle = check_bundle(brought(GENUINE.files), keys=KEYS)
    assert (bundle.first, bundle.vouched, bundle.row.notes) == (None, True, ())
    assert bundle.by == "by the key list that was named"


@pytest.mark.parametrize("kind", FORGERIES)
def test_no_forged_bundle_is_vouched_for_by_itself(kind: str) -> None:
    bundle = check_bundle(brought(FORGERIES[kind].make(GENUINE)))
    assert not bundle.vouched


def test_a_list_among_the_files_speaks_only_for_itself() -> None:
    bundle = check_bundle(brought(own_list(GENUINE)))
    assert bundle.ok
    assert bundle.voucher is Voucher.NOBODY
    words = "by a key list that came with the files, which nobody vouched for"
    assert bundle.by == words
    assert all(words in log.notes[-1] for log in bundle.row.logs)
    assert "nobody vouched" in bundle.others[0].says
    assert key("A stranger who leads").kid in bundle.row.notes[0]


def test_lists_by_different_root_keys_are_named_and_none_is_used() -> None:
    both = {"shop.qwkeys": GENUINE.list_file, "forged.qwkeys": forged_list(GENUINE)}
    for order in (both, dict(reversed(both.items()))):
        bundle = check_bundle([*brought(order), Brought("1.qwlog", ROW[0].data)])
        assert bundle.keys is None
        assert bundle.first is not None
        assert bundle.first[0] == "the key lists"
        assert "different root keys" in bundle.first[1].says
        assert bundle.row.logs[0].signer is None


def test_a_strangers_list_that_holds_the_shops_lead_is_another_root() -> None:
    lines = (listed("Omar Haddad", lead=True), listed("Zed", lead=True))
    forged = KEYS.model_copy(
        update={"keys": lines, "signed_by": key("Zed").kid, "made_at": "2030-01-02T00:00:00Z"}
    )
    for at in ("2030-01-02T00:00:00Z", LATE):
        data = sign_keys(forged.model_copy(update={"made_at": at}), key("Zed"))
        bundle = check_bundle([Brought("a.qwkeys", data), Brought("b.qwkeys", GENUINE.list_file)])
        assert bundle.first is not None
        assert "different root keys" in bundle.first[1].says


def handed_over(*, known_before: bool) -> tuple[KeyList, bytes, bytes]:
    """The shop's new lead's list, with that of the lead before."""
    heir = (listed("Bea Ortiz", lead=True),) if known_before else ()
    old = made("2030-02-01T00:00:00Z", listed("Ines Prado"), *heir)
    new = made("2030-06-01T00:00:00Z", listed("Ines Prado"), listed("Bea Ortiz", lead=True))
    former = new.keys[0].model_copy(update={"lead": False, "until": "2030-05-01T00:00:00Z"})
    new = new.model_copy(update={"keys": (former, *new.keys[1:]), "signed_by": HEIR.kid})
    return new, sign_keys(old, LEAD), sign_keys(new, HEIR)


def test_two_leads_who_know_of_each_other_are_one_root() -> None:
    new, old_file, new_file = handed_over(known_before=True)
    bundle = check_bundle([Brought("old.qwkeys", old_file), Brought("new.qwkeys", new_file)])
    assert (bundle.ok, bundle.keys, bundle.voucher) == (True, new, Voucher.NOBODY)


def test_a_new_lead_whom_the_old_list_does_not_know_has_to_be_named() -> None:
    new, old_file, new_file = handed_over(known_before=False)
    files = [Brought("old.qwkeys", old_file), Brought("new.qwkeys", new_file)]
    assert not check_bundle(files).ok
    assert check_bundle(files, lead=HEIR.kid).ok
    assert check_bundle(files, keys=new).ok


def test_a_younger_list_by_the_same_root_is_told_and_not_used() -> None:
    bundle = check_bundle([Brought("new.qwkeys", GENUINE.list_file)], keys=OLD)
    assert (bundle.ok, bundle.keys) == (True, OLD)
    assert "A younger key list, new.qwkeys" in bundle.row.notes[0]


def test_a_log_signed_since_the_list_was_made_says_what_it_does_not_show() -> None:
    bundle = check_bundle([Brought("3.qwlog", ROW[2].data)], keys=OLD)
    assert bundle.ok
    assert "Signed after the key list was made, 2030-03-01T10:00:00Z: log 3." in bundle.row.notes[0]
    assert check_bundle([Brought("3.qwlog", ROW[2].data)], keys=OLD, current=True).row.notes == ()


def first_says(bundle: Bundle) -> str:
    assert bundle.first is not None
    return bundle.first[1].says


def test_a_leads_thumbprint_picks_their_list_among_others() -> None:
    files = [*brought(GENUINE.files), Brought("forged.qwkeys", forged_list(GENUINE, at=LATE))]
    bundle = check_bundle(files, lead=LEAD.kid)
    assert (bundle.keys, bundle.voucher) == (KEYS, Voucher.LEAD)
    assert "It is by another root key" in first_says(bundle)


# RFC 8037 appendix A.3: the thumbprint of the key in its appendix A.2.
RFC_KID = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"
RFC_KEY = PublicKey("11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo")


def test_a_whole_thumbprint_is_taken_with_spaces_as_it_was_read_out() -> None:
    assert RFC_KEY.kid == RFC_KID
    assert thumbprint(f" {RFC_KID[:20]} {RFC_KID[20:]}\n") == RFC_KID


@pytest.mark.parametrize("between", ["", " ", "-"])
def test_the_short_form_is_refused_saying_that_the_whole_is_wanted(between: str) -> None:
    short = fingerprint(RFC_KID).replace(" ", between)
    for typed in (short, short.lower()):
        with pytest.raises(BadKey, match=r"short form.*the whole thumbprint, 43 characters"):
            thumbprint(typed)


@pytest.mark.parametrize("typed", ["", "abc", RFC_KID[:-1], RFC_KID + "A", RFC_KID[:-1] + "!"])
def test_what_is_no_thumbprint_is_refused(typed: str) -> None:
    with pytest.raises(BadKey, match="A thumbprint has 43 characters"):
        thumbprint(typed)

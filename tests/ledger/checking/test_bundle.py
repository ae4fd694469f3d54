"""What somebody brought, checked together: rows, lists, heads and proofs, in any mixture."""

import io
import zipfile

import pytest

from server.ledger.budget import Limits, TooMuch
from server.ledger.checking.bundle import Bundle, check_bundle
from server.ledger.checking.sorting import Brought, Kind, kind_of, ours
from server.ledger.checking.unpacking import unpacked
from server.ledger.head import growth, head, membership
from server.ledger.headfile import sign_head
from server.ledger.proofs import BadProof, proof_file, read_proof
from tests.ledger.samples import key, key_file, listed, row, signed

ROW = row(6)
DIGESTS = [made.digest for made in ROW]
LOGS = [Brought(f"{made.number:04}.qwlog", made.data) for made in ROW]
LIST = Brought("shop.qwkeys", key_file(listed("Ines Prado")))
LEAD = key("Omar Haddad")
OLD = head(DIGESTS[:4], "Harbour Bench", "2030-03-02T00:00:00Z")
NEW = head(DIGESTS, "Harbour Bench", "2030-04-02T00:00:00Z")
OLD_FILE = Brought("old.qwhead", sign_head(OLD, LEAD))
NEW_FILE = Brought("new.qwhead", sign_head(NEW, LEAD))
GROWN = Brought("grown.qwproof", proof_file(growth(DIGESTS, 4)))
THIRD = Brought("third.qwproof", proof_file(membership(DIGESTS, 3)))


def says(bundle: Bundle) -> dict[str, str]:
    return {each.name: each.says for each in bundle.others}


def test_a_whole_row_with_list_head_and_proof_has_nothing_left_open() -> None:
    bundle = check_bundle([*reversed(LOGS), LIST, OLD_FILE, NEW_FILE, GROWN], lead=LEAD.kid)
    assert bundle.ok
    assert bundle.row.notes == ()
    assert bundle.row.size == 6
    assert bundle.names == tuple(log.name for log in LOGS)
    assert "begin with all 4" in says(bundle)["grown.qwproof"]
    assert says(bundle)["shop.qwkeys"].startswith("2 keys of Harbour Bench")


def test_one_log_is_proven_by_its_path_to_a_head() -> None:
    bundle = check_bundle([LOGS[2], LIST, NEW_FILE, THIRD], lead=LEAD.kid)
    assert bundle.ok
    assert bundle.vouched
    assert bundle.row.notes == ()
    assert says(bundle)["third.qwproof"].startswith("Log 3 is among the 6")
    assert bundle.only is not None
    assert bundle.only.log is not None


def test_one_log_beside_a_head_says_what_is_not_shown() -> None:
    bundle = check_bundle([LOGS[2], LIST, NEW_FILE])
    assert bundle.ok
    assert "Not shown: whether log 3" in bundle.row.notes[-1]


def test_a_proof_without_its_head_says_so() -> None:
    assert "no head here has that root" in says(check_bundle([LOGS[2], THIRD]))["third.qwproof"]


def test_two_heads_are_joined_without_a_single_log() -> None:
    bundle = check_bundle([LIST, OLD_FILE, NEW_FILE, GROWN])
    assert bundle.ok
    assert "none was taken out" in says(bundle)["grown.qwproof"]
    assert "takes a proof of growth" in check_bundle([LIST, OLD_FILE, NEW_FILE]).row.notes[-1]


OTHER = [f"{n:064x}" for n in range(6)]
WRONG = [
    (
        "proof of another log",
        [
            LOGS[1],
            LIST,
            NEW_FILE,
            Brought("a.qwproof", proof_file(membership([*DIGESTS[:1], OTHER[1], *DIGESTS[2:]], 2))),
        ],
        "a.qwproof",
        "digest",
    ),
    (
        "growth to another root",
        [
            LIST,
            OLD_FILE,
            NEW_FILE,
            Brought("a.qwproof", proof_file(growth([*DIGESTS[:4], *OTHER[:2]], 4))),
        ],
        "a.qwproof",
        "root",
    ),
    (
        "growth from another past",
        [
            LIST,
            OLD_FILE,
            NEW_FILE,
            Brought("a.qwproof", proof_file(growth([*OTHER[:4], *DIGESTS[4:]], 4))),
        ],
        "a.qwproof",
        "root",
    ),
    (
        "a bent path",
        [
            Brought("a.qwproof", GROWN.data.replace(b'"old_size":4', b'"old_size":3')),
        ],
        "a.qwproof",
        "path",
    ),
    ("a head that counts more than is here", [*LOGS[:4], LIST, NEW_FILE], "", "head"),
    (
        "two histories",
        [
            LIST,
            NEW_FILE,
            Brought(
                "b.qwhead", sign_head(head([*OTHER], "Harbour Bench", "2030-04-02T00:00:00Z"), LEAD)
            ),
        ],
        "heads of 6 logs",
        "root",
    ),
    ("a missing log", [*LOGS[:2], *LOGS[3:], LIST], "", "log 3"),
    (
        "a swapped pair",
        [
            LOGS[0],
            Brought(LOGS[1].name, LOGS[2].data),
            Brought(LOGS[2].name, signed(2, DIGESTS[0], ticket="9").data),
        ],
        "",
        "log 3",
    ),
    (
        "a head by one who does not lead",
        [LIST, Brought("a.qwhead", sign_head(NEW, key("Bo")))],
        "a.qwhead",
        "key",
    ),
    ("a foreign key", [Brought("a.qwlog", signed(1, owner="Bo").data), LIST], "a.qwlog", "key"),
    ("no file of ours", [Brought("a.txt", b"nothing of the kind")], "a.txt", "byte 0"),
    ("a part beside a head", [*LOGS[2:5], LIST, NEW_FILE], "", "head"),
]


@pytest.mark.parametrize(("files", "name", "at"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG])
def test_what_is_wrong_is_named_first(files: list[Brought], name: str, at: str) -> None:
    bundle = check_bundle(files)
    assert not bundle.ok
    assert bundle.first is not None
    assert (bundle.first[0], bundle.first[1].at) == (name, at)


def test_the_key_list_is_the_first_thing_that_is_wrong() -> None:
    bad = Brought("shop.qwkeys", LIST.data.replace(b"Harbour", b"Harbour ", 1))
    bundle = check_bundle([Brought("a.qwlog", LOGS[0].data + b" "), bad])
    assert next(name for name, _ in bundle.wrong()) == "shop.qwkeys"


def test_a_list_under_another_lead_is_refused() -> None:
    bundle = check_bundle([LIST], lead=key("Ines Prado").kid)
    assert bundle.first is not None
    assert "another key than the one expected" in bundle.first[1].says
    assert check_bundle([LIST], lead=LEAD.kid).ok


def test_of_two_lists_the_younger_is_used() -> None:
    from server.ledger.keylist import sign_keys
    from tests.ledger.samples import key_list

    younger = key_list(listed("Bo")).model_copy(update={"made_at": "2030-06-01T00:00:00Z"})
    bundle = check_bundle([LIST, Brought("b.qwkeys", sign_keys(younger, LEAD)), LOGS[0]])
    assert bundle.keys == younger
    assert any("youngest was used, made 2030-06-01" in note for note in bundle.row.notes)
    assert not bundle.ok


def test_a_file_is_known_by_its_members_where_its_name_says_nothing() -> None:
    files = {LIST: Kind.KEYS, NEW_FILE: Kind.HEAD, LOGS[0]: Kind.LOG, GROWN: Kind.PROOF}
    assert {kind_of("x.json", file.data) for file in files} == set(files.values())
    assert all(kind_of("x.json", file.data) == kind for file, kind in files.items())
    assert ours("a/0001.QWLOG")
    assert not ours("__MACOSX/._0001.qwlog")


def test_a_proof_goes_through_its_file() -> None:
    assert read_proof(THIRD.data) == membership(DIGESTS, 3)
    for data in (b"", b"{}", b"[]", THIRD.data.replace(b'"number":3', b'"number":"3"')):
        with pytest.raises(BadProof):
            read_proof(data)


@pytest.mark.parametrize("at", range(0, len(THIRD.data), 7))
def test_a_changed_proof_never_shows_more(at: int) -> None:
    bent = THIRD.data[:at] + bytes([THIRD.data[at] ^ 1]) + THIRD.data[at + 1 :]
    bundle = check_bundle([LOGS[2], LIST, NEW_FILE, Brought("a.qwproof", bent)])
    assert (
        not bundle.ok
        or says(bundle)["a.qwproof"]
        == says(check_bundle([LOGS[2], LIST, NEW_FILE, Brought("a.qwproof", THIRD.data)]))[
            "a.qwproof"
        ]
    )


def archive(files: list[Brought], compression: int = zipfile.ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", compression) as made:
        for file in files:
            made.writestr(file.name, file.data)
    return out.getvalue()


LIMITS = Limits(files=8, bytes=1024 * 1024)


def test_an_archive_gives_its_files_and_counts_the_others() -> None:
    data = archive([*LOGS, LIST, Brought("read me.txt", b"hello")])
    files, others = unpacked(data, LIMITS)
    assert (list(files), others) == ([*LOGS, LIST], 1)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (archive([Brought(f"{n}.qwlog", b"") for n in range(9)]), "holds 9 files; at most 8"),
        (archive([Brought(f"{n}.txt", b"") for n in range(40)]), "more files than are looked at"),
        (archive([Brought("a.qwlog", b"0" * 1024 * 1025)]), "more than 1 MiB"),
        (
            archive([Brought("a.qwlog", b"0" * 600_000), Brought("b.qwlog", b"0" * 600_000)]),
            "more than 1 MiB",
        ),
        (b"PK\x03\x04 and nothing else", "damaged or locked"),
        (archive(LOGS)[:-30], "damaged or locked"),
        (b"", "damaged or locked"),
    ],
    ids=["files", "list", "bomb", "sum", "stub", "cut", "empty"],
)
def test_an_archive_over_the_limits_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(TooMuch, match=says):
        unpacked(data, LIMITS)


def test_every_changed_byte_of_an_archive_is_refused_or_read() -> None:
    data, refused = archive([LOGS[0]]), 0
    for at in range(0, len(data), 97):
        bent = data[:at] + bytes([data[at] ^ 255]) + data[at + 1 :]
        try:
            files, _ = unpacked(bent, LIMITS)
        except TooMuch:
            refused += 1
        else:
            assert {file.data for file in files} <= {LOGS[0].data}
    assert refused > 10

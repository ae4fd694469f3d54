"""Bundles of files that a stranger made up to pass for a shop's, each with its cause.

A stranger has what everybody has: the shop's logs, key lists and heads, and keys of their own. One
kind takes a key that was stolen before it was closed.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from server.ledger.canonical import canonical, digest
from server.ledger.envelope import pack
from server.ledger.head import head, membership
from server.ledger.headfile import sign_head
from server.ledger.keylist import KeyList, ListedKey, sign_keys
from server.ledger.keys import SigningKey
from server.ledger.parts import Jwk, plain
from server.ledger.proofs import proof_file
from server.ledger.signing import SignedLog, sign
from tests.ledger.samples import key, key_list, listed, row

Files = dict[str, bytes]
LATE = "2031-01-01T00:00:00Z"
STRANGER = key("A stranger who leads")


@dataclass(frozen=True)
class Genuine:
    """What a shop gave out, and a key of it that was stolen and closed since."""

    logs: tuple[bytes, ...]
    keys: KeyList
    list_file: bytes
    head_file: bytes
    older_list: bytes
    """Where the stolen key is open still."""
    stolen: SigningKey

    @property
    def files(self) -> Files:
        """All of it by the files' names, the older list left out."""
        logs = {f"{number:04}.qwlog": data for number, data in enumerate(self.logs, 1)}
        return logs | {"shop.qwkeys": self.list_file, "shop.qwhead": self.head_file}


@dataclass(frozen=True)
class Forgery:
    """A way to forge, and the first thing that a check names: file, place and words."""

    make: Callable[[Genuine], Files]
    file: str
    at: str
    says: str


def resigned(data: bytes, by: SigningKey, **other: Any) -> SignedLog:
    """A log's document signed by another key, under the name that it gives."""
    document = json.loads(data)["log"] | other
    document["signed_by"] = document["signed_by"] | {"key": by.kid}
    return sign(document, by)


def resigned_row(genuine: Genuine) -> list[SignedLog]:
    """The whole row as a stranger would have signed it."""
    row: list[SignedLog] = []
    for data in genuine.logs:
        other = {"previous": row[-1].digest} if row else {}
        row.append(resigned(data, key("Stranger"), work="Nothing was done.", **other))
    return row


def forged_list(genuine: Genuine, *more: ListedKey, at: str | None = None) -> bytes:
    """A list under the shop's and its people's names with a stranger's keys beside them."""
    lead, worker = _lines(genuine)
    keys = (_with(lead, STRANGER), _with(worker, key("Stranger")), *more)
    return sign_keys(_list(genuine, keys, at), STRANGER)


def _lines(genuine: Genuine) -> tuple[ListedKey, ListedKey]:
    """The lead's line and that of who signed the first log."""
    first = genuine.keys.find(json.loads(genuine.logs[0])["log"]["signed_by"]["key"])
    lead = next(line for line in genuine.keys.keys if line.lead)
    assert first
    return lead, first


def _with(line: ListedKey, by: SigningKey) -> ListedKey:
    jwk = Jwk(crv="Ed25519", kty="OKP", x=by.public.x)
    return ListedKey.model_validate(plain(line) | {"key": plain(jwk)})


def _list(genuine: Genuine, keys: tuple[ListedKey, ...], at: str | None) -> KeyList:
    change = {"keys": keys, "signed_by": STRANGER.kid, "made_at": at or genuine.keys.made_at}
    return genuine.keys.model_copy(update=change)


def _named(row: list[SignedLog]) -> Files:
    return {f"{made.number:04}.qwlog": made.data for made in row}


def own_list(genuine: Genuine) -> Files:
    """Every log and the key list by a stranger's keys."""
    return _named(resigned_row(genuine)) | {"forged.qwkeys": forged_list(genuine)}


def younger_list(genuine: Genuine) -> Files:
    """The same beside the shop's list, and younger than it."""
    forged = forged_list(genuine, at=LATE)
    return _named(resigned_row(genuine)) | {
        "shop.qwkeys": genuine.list_file,
        "forged.qwkeys": forged,
    }


def two_roots(genuine: Genuine) -> Files:
    """All that is genuine, and a stranger's list that knows the shop's keys too."""
    known = (*genuine.keys.keys, _with(_lines(genuine)[0], STRANGER))
    forged = sign_keys(_list(genuine, known, LATE), STRANGER)
    return genuine.files | {"forged.qwkeys": forged}


def replayed_list(genuine: Genuine) -> Files:
    """A log by a stolen key, signed since it was closed, with the list from before."""
    last, number = genuine.logs[-1], len(genuine.logs) + 1
    owner = genuine.keys.find(genuine.stolen.kid)
    assert owner
    signed_by = json.loads(last)["log"]["signed_by"] | {"name": owner.owner}
    before = json.loads(last)["log"]
    made = resigned(
        last,
        genuine.stolen,
        number=number,
        previous=_digest(before),
        signed_by=signed_by,
        signed_at=LATE,
    )
    logs = {name: data for name, data in genuine.files.items() if name.endswith("log")}
    return logs | {f"{number:04}.qwlog": made.data, "old.qwkeys": genuine.older_list}


def _digest(document: dict[str, Any]) -> str:
    return digest(canonical(document))


def one_of_many(genuine: Genuine) -> Files:
    """One log by a stranger's key in the middle of the shop's own."""
    return genuine.files | {"0002.qwlog": resigned(genuine.logs[1], key("Stranger")).data}


def nested_list(genuine: Genuine) -> Files:
    """The stranger's list two folders further down."""
    return _named(resigned_row(genuine)) | {"more/keys/forged.qwkeys": forged_list(genuine)}


def renamed_list(genuine: Genuine) -> Files:
    """The stranger's list under a log's name."""
    return _named(resigned_row(genuine)) | {"0000.qwlog": forged_list(genuine)}


def other_keys(genuine: Genuine) -> Files:
    """The shop's own logs, and a list that has other keys beside its people's names."""
    logs = {name: data for name, data in genuine.files.items() if name.endswith("log")}
    return logs | {"forged.qwkeys": forged_list(genuine)}


def extra_key(genuine: Genuine) -> Files:
    """All of the shop's keys and one more for one of its people; a log is signed with that."""
    lead, worker = _lines(genuine)
    known = (*genuine.keys.keys, _with(lead, STRANGER), _with(worker, key("Stranger")))
    forged = sign_keys(_list(genuine, known, None), STRANGER)
    first = resigned(genuine.logs[0], key("Stranger"))
    return {"0001.qwlog": first.data, "forged.qwkeys": forged}


def borrowed_signer(genuine: Genuine) -> Files:
    """A list that says it is signed by the shop's lead, and is not."""
    lead, worker = _lines(genuine)
    forged = _list(genuine, (lead, _with(worker, key("Stranger"))), None)
    document = plain(forged) | {"signed_by": lead.kid}
    files = _named(resigned_row(genuine))
    return files | {"forged.qwkeys": pack("keys", document, STRANGER)}


def head_by_another(genuine: Genuine) -> Files:
    """The shop's logs but the last, and a head over the rest that a stranger signed."""
    digests = [_digest(json.loads(data)["log"]) for data in genuine.logs[:-1]]
    top = head(digests, genuine.keys.shop, genuine.keys.made_at)
    files = genuine.files
    del files[f"{len(genuine.logs):04}.qwlog"], files["shop.qwhead"]
    return files | {"forged.qwhead": sign_head(top, STRANGER)}


def proof_of_another(genuine: Genuine) -> Files:
    """A log with a proof that leads to the root of the stranger's own row."""
    proof = membership([made.digest for made in resigned_row(genuine)], 2)
    keep = ("0001.qwlog", "shop.qwkeys", "shop.qwhead")
    files = {name: genuine.files[name] for name in keep}
    return files | {"forged.qwproof": proof_file(proof)}


def no_list(genuine: Genuine) -> Files:
    """The stranger's row, its list left out."""
    return _named(resigned_row(genuine))


ROOT = "It is by another root key"
FORGERIES = {
    "own list": Forgery(own_list, "forged.qwkeys", "signed_by", ROOT),
    "younger list": Forgery(younger_list, "forged.qwkeys", "signed_by", ROOT),
    "two roots": Forgery(two_roots, "forged.qwkeys", "signed_by", ROOT),
    "replayed old list": Forgery(replayed_list, "0004.qwlog", "signed_at", "the key was open from"),
    "one log of many": Forgery(one_of_many, "0002.qwlog", "key", "is not on the key list of"),
    "list in a nested folder": Forgery(nested_list, "forged.qwkeys", "signed_by", ROOT),
    "renamed list": Forgery(renamed_list, "0000.qwlog", "file", "by what it holds a key list"),
    "names with other keys": Forgery(other_keys, "forged.qwkeys", "signed_by", ROOT),
    "extra key for a person": Forgery(extra_key, "forged.qwkeys", "signed_by", ROOT),
    "borrowed signer": Forgery(
        borrowed_signer, "forged.qwkeys", "signed_by", "not the key that signed the list"
    ),
    "head by another root": Forgery(head_by_another, "forged.qwhead", "key", "no supervisor's key"),
    "proof of another row": Forgery(
        proof_of_another, "forged.qwproof", "root", "not the root of the head"
    ),
    "no list": Forgery(no_list, "0001.qwlog", "key", "is not on the key list of"),
}


LEAD = key("Omar Haddad")
ROW = row(3)
CLOSED = "2030-03-01T10:30:00Z"


def made(at: str, *others: ListedKey) -> KeyList:
    """The samples' list of another moment."""
    return key_list(*others).model_copy(update={"made_at": at})


OLD = made("2030-03-01T10:00:00Z", listed("Ines Prado"), listed("Bo"))
KEYS = key_list(listed("Ines Prado"), listed("Bo", until=CLOSED))
GENUINE = Genuine(
    logs=tuple(log.data for log in ROW),
    keys=KEYS,
    list_file=sign_keys(KEYS, LEAD),
    head_file=sign_head(
        head([log.digest for log in ROW], "Harbour Bench", "2030-03-02T00:00:00Z"), LEAD
    ),
    older_list=sign_keys(OLD, LEAD),
    stolen=key("Bo"),
)

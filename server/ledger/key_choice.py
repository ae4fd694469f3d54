"""Which key list the logs are checked with, and who vouches for it.

A key list speaks for itself only. The one that the checker has goes first and alone. Of those that
came with the files, one counts that is signed by the lead whose thumbprint the checker gave; else
one that nobody vouched for, and none where they are by different root keys.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from server.ledger.checking.report import Checked
from server.ledger.checking.sorting import Brought, Kind
from server.ledger.envelope import Problem
from server.ledger.keylist import BadKeyList, KeyList, read_keys
from server.ledger.public import fingerprint

SEVERAL_LISTS = "Several key lists were given; the youngest was used, made {}."
ROOTS = (
    "They are by different root keys, so none was used: {}. Give the thumbprint of the supervisor "
    "whose list counts."
)
YOUNGER_LIST = (
    "A younger key list, {}, made {}, came with the files and was not used. Keys may have been "
    "closed since the one that was used, made {}."
)


class Voucher(StrEnum):
    """Who says that the key list is the shop's."""

    CHECKER = "checker"
    LEAD = "lead"
    NOBODY = "nobody"
    NO_LIST = "no list"


BY = {
    Voucher.CHECKER: "by the key list that was named",
    Voucher.LEAD: "by a key list that came with the files, signed by the supervisor who was named",
    Voucher.NOBODY: "by a key list that came with the files, which nobody vouched for",
    Voucher.NO_LIST: "without a key list",
}


@dataclass(frozen=True, slots=True)
class KeyChoice:
    """The list that is used, who vouches for it, and every list that came with the files."""

    keys: KeyList | None
    voucher: Voucher
    lists: tuple[Checked, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Found:
    name: str
    keys: KeyList


def choose(files: Iterable[Brought], *, keys: KeyList | None, lead: str | None) -> KeyChoice:
    """`keys` is the checker's own list; `lead` the thumbprint of the lead whose list counts."""
    bad, good = [], []
    for file in files:
        try:
            good.append(_Found(file.name, read_keys(file.data)))
        except BadKeyList as wrong:
            bad.append(Checked(file.name, Kind.KEYS, (Problem(wrong.at, wrong.says),)))
    if keys is not None:
        return _beside(keys, Voucher.CHECKER, good, bad)
    if lead is not None:
        return _by_lead(lead, good, bad)
    return _unvouched(good, bad)


def _by_lead(lead: str, good: Sequence[_Found], bad: Sequence[Checked]) -> KeyChoice:
    theirs = [each.keys for each in good if each.keys.signed_by == lead]
    if theirs:
        return _beside(max(theirs, key=_age), Voucher.LEAD, good, bad)
    wrong = Problem("signed_by", "The list is signed by another key than the one expected.")
    others = [Checked(each.name, Kind.KEYS, (wrong,)) for each in good]
    return KeyChoice(None, Voucher.NO_LIST, (*bad, *others))


def _unvouched(good: Sequence[_Found], bad: Sequence[Checked]) -> KeyChoice:
    by_age = sorted(good, key=lambda each: _age(each.keys))
    if not by_age:
        return KeyChoice(None, Voucher.NO_LIST, tuple(bad))
    if all(_succeeds(old.keys, new.keys) for old, new in pairwise(by_age)):
        return _beside(by_age[-1].keys, Voucher.NOBODY, good, bad)
    listed = [Checked(each.name, Kind.KEYS, says=_says(each.keys)) for each in good]
    each_by = ", ".join(f"{e.name} by {fingerprint(e.keys.signed_by)}" for e in by_age)
    roots = Checked("the key lists", Kind.KEYS, (Problem("signed_by", ROOTS.format(each_by)),))
    return KeyChoice(None, Voucher.NO_LIST, (roots, *bad, *listed))


def _succeeds(old: KeyList, new: KeyList) -> bool:
    """Whether both lists are by one lead, or by two who each know of the other.

    A stranger's list can hold the shop's lead; the shop's list does not hold the stranger.
    """
    if old.signed_by == new.signed_by:
        return True
    heir = old.find(new.signed_by)
    return heir is not None and heir.lead and heir.open_at(new.made_at) and _knows(new, old)


def _knows(used: KeyList, other: KeyList) -> bool:
    """Whether who signed the other list is on the one that is used, and might sign then.

    They need not lead any more: a list says who leads now, not who led when.
    """
    signer = used.find(other.signed_by)
    return signer is not None and signer.open_at(other.made_at)


def _beside(
    used: KeyList, voucher: Voucher, good: Sequence[_Found], bad: Sequence[Checked]
) -> KeyChoice:
    lists = tuple(_held_against(used, voucher, each) for each in good)
    return KeyChoice(used, voucher, (*bad, *lists), tuple(_notes(used, voucher, good)))


def _held_against(used: KeyList, voucher: Voucher, other: _Found) -> Checked:
    keys, says = other.keys, _says(other.keys)
    if keys == used:
        alone = " It came with the files, and nobody vouched for it."
        return Checked(other.name, Kind.KEYS, says=says + alone * (voucher is Voucher.NOBODY))
    if _knows(used, keys):
        return Checked(other.name, Kind.KEYS, says=f"{says} It was not used.")
    wrong = (
        f"It is by another root key, {fingerprint(keys.signed_by)}, than the key list that counts "
        f"here ({_root(used)}). It was not used: it speaks only for itself."
    )
    return Checked(other.name, Kind.KEYS, (Problem("signed_by", wrong),))


def _root(used: KeyList) -> str:
    signer = used.find(used.signed_by)
    return signer.key.public().fingerprint if signer else f"of {used.shop}"


def _notes(used: KeyList, voucher: Voucher, good: Sequence[_Found]) -> Iterator[str]:
    known = [each for each in good if _knows(used, each.keys)]
    for each in known:
        if _age(each.keys) > _age(used):
            yield YOUNGER_LIST.format(each.name, each.keys.made_at, used.made_at)
    if voucher is not Voucher.CHECKER and len({_age(each.keys) for each in known}) > 1:
        yield SEVERAL_LISTS.format(used.made_at)


def _age(keys: KeyList) -> tuple[str, int, int]:
    """Younger is larger: of two lists of one second, that with more keys, or with more closed."""
    return keys.made_at, len(keys.keys), sum(key.until is not None for key in keys.keys)


def _says(keys: KeyList) -> str:
    signer = keys.find(keys.signed_by)
    by = f"{signer.owner}, thumbprint {keys.signed_by}" if signer else ""
    count = f"{len(keys.keys)} key" + ("" if len(keys.keys) == 1 else "s")
    return f"{count} of {keys.shop}, made {keys.made_at}, signed by {by}."

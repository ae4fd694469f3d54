"""Everything that somebody brought, checked together: logs, key list, heads and proofs.

The one check behind the command line and the public page. It needs the files and nothing else.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from server.ledger.checking import bundle_proofs
from server.ledger.checking.report import ChainReport, Checked, Report
from server.ledger.checking.sorting import Brought, Kind, kind_of
from server.ledger.checking.verify import row_report, verify_log
from server.ledger.envelope import Problem
from server.ledger.head import Growth, Head, Membership
from server.ledger.headfile import BadHead, read_head
from server.ledger.keylist import BadKeyList, KeyList, read_keys
from server.ledger.proofs import BadProof, read_proof

SEVERAL_LISTS = "Several key lists were given; the youngest was used, made {}."


@dataclass(frozen=True, slots=True)
class Bundle:
    """What was brought and what it is worth. `names` are the logs' in the order of `row.logs`."""

    others: tuple[Checked, ...]
    names: tuple[str, ...]
    row: ChainReport
    keys: KeyList | None
    own_list: bool
    """Whether the key list was among the files; else it is the one that the checker had."""
    only: Report | None
    """The one log with what it says, where there is one and no more."""

    @property
    def ok(self) -> bool:
        """Whether nothing is wrong anywhere."""
        return self.row.ok and not any(each.problems for each in self.others)

    @property
    def first(self) -> tuple[str, Problem] | None:
        """The first thing wrong, and the file: key list and heads, logs in their row, the row."""
        return next(self.wrong(), None)

    def wrong(self) -> Iterator[tuple[str, Problem]]:
        """All that is wrong, the first thing first."""
        before = [each for each in self.others if each.kind in (Kind.KEYS, Kind.HEAD)]
        proofs = [each for each in self.others if each.kind is Kind.PROOF]
        yield from ((each.name, problem) for each in before for problem in each.problems)
        for name, report in zip(self.names, self.row.logs, strict=True):
            yield from ((name, problem) for problem in report.problems)
        yield from (("", problem) for problem in self.row.problems)
        yield from ((each.name, problem) for each in proofs for problem in each.problems)


def check_bundle(
    files: Iterable[Brought],
    *,
    keys: KeyList | None = None,
    lead: str | None = None,
    head: Head | None = None,
) -> Bundle:
    """Check all of `files` together; no bytes make it raise.

    `keys` is used where no key list is among them. `lead` is the thumbprint of the key that a list
    among them must be signed with. With `head` the logs have to be a whole row that it counts.
    """
    by_kind: dict[Kind, list[Brought]] = {kind: [] for kind in Kind}
    for file in files:
        by_kind[kind_of(file.name, file.data)].append(file)
    lists, used, notes = _lists(by_kind[Kind.KEYS], lead)
    known = used or keys
    tops, heads = _heads(by_kind[Kind.HEAD], known)
    names, reports = _in_order(by_kind[Kind.LOG], known)
    proofs, shown = _proofs(by_kind[Kind.PROOF])
    judged = bundle_proofs.judged(shown, reports, heads)
    row = _row(reports, known, heads, judged.proven, head)
    # A whole row shows by itself how one head grew out of another.
    unjoined = () if row.root and len(reports) > 1 else judged.notes
    noted = (*notes, *unjoined, *row.notes)
    return Bundle(
        others=(*lists, *tops, *bundle_proofs.clashes(heads), *_said(proofs, judged.said)),
        names=names,
        row=replace(row, logs=tuple(replace(r, log=None) for r in row.logs), notes=noted),
        keys=known,
        own_list=used is not None,
        only=reports[0] if len(reports) == 1 else None,
    )


def _lists(
    files: Sequence[Brought], lead: str | None
) -> tuple[tuple[Checked, ...], KeyList | None, tuple[str, ...]]:
    checked, good = [], []
    for file in files:
        try:
            keys = read_keys(file.data, lead=lead)
        except BadKeyList as bad:
            checked.append(Checked(file.name, Kind.KEYS, (Problem(bad.at, bad.says),)))
            continue
        good.append(keys)
        checked.append(Checked(file.name, Kind.KEYS, says=_list_says(keys)))
    used = max(good, key=_age, default=None)
    notes = (SEVERAL_LISTS.format(used.made_at),) if used and len(good) > 1 else ()
    return tuple(checked), used, notes


def _age(keys: KeyList) -> tuple[str, int, int]:
    """Younger is larger: of two lists of one second, that with more keys, or with more closed."""
    return keys.made_at, len(keys.keys), sum(key.until is not None for key in keys.keys)


def _list_says(keys: KeyList) -> str:
    signer = keys.find(keys.signed_by)
    by = f"{signer.owner}, key {signer.key.public().fingerprint}" if signer else ""
    count = f"{len(keys.keys)} key" + ("" if len(keys.keys) == 1 else "s")
    return f"{count} of {keys.shop}, made {keys.made_at}, signed by {by}."


def _heads(
    files: Sequence[Brought], keys: KeyList | None
) -> tuple[tuple[Checked, ...], tuple[Head, ...]]:
    checked, good = [], []
    for file in files:
        try:
            head = read_head(file.data, keys)
        except BadHead as bad:
            checked.append(Checked(file.name, Kind.HEAD, (Problem(bad.at, bad.says),)))
            continue
        good.append(head)
        who = "" if keys else "; whose signature it is, is not known without a key list"
        says = f"{head.size} logs of {head.shop}, as they stood at {head.at}{who}."
        checked.append(Checked(file.name, Kind.HEAD, says=says))
    return tuple(checked), tuple(good)


def _in_order(
    files: Sequence[Brought], keys: KeyList | None
) -> tuple[tuple[str, ...], tuple[Report, ...]]:
    """The logs in the order of their numbers, where they did not come in it."""
    one = len(files) == 1
    # A row can be long: what a log says is kept only where there is one, what links it always.
    found = [(f.name, _slim(verify_log(f.data, keys=keys), one)) for f in files]
    numbers = [report.number or 0 for _, report in found]
    if any(after < before for before, after in pairwise(numbers)):
        found.sort(key=lambda pair: pair[1].number or 0)
    return tuple(name for name, _ in found), tuple(report for _, report in found)


def _slim(report: Report, whole: bool) -> Report:
    return report if whole else replace(report, log=None)


def _proofs(
    files: Sequence[Brought],
) -> tuple[tuple[Checked, ...], dict[str, Membership | Growth]]:
    checked, good = [], {}
    for file in files:
        try:
            good[file.name] = read_proof(file.data)
            checked.append(Checked(file.name, Kind.PROOF))
        except BadProof as bad:
            checked.append(Checked(file.name, Kind.PROOF, (Problem(bad.at, bad.says),)))
    return tuple(checked), good


def _said(
    proofs: tuple[Checked, ...], said: dict[str, tuple[tuple[Problem, ...], str]]
) -> Iterator[Checked]:
    for each in proofs:
        problems, says = said.get(each.name, (each.problems, each.says))
        yield replace(each, problems=problems, says=says)


def _row(
    reports: Sequence[Report],
    keys: KeyList | None,
    heads: Sequence[Head],
    proven: frozenset[str],
    head: Head | None,
) -> ChainReport:
    """How the logs hang together. A head that only lies beside them counts from log 1 on."""
    if head is not None:
        return row_report(reports, keys, heads=(head,))
    begins = min((r.number for r in reports if r.number), default=0)
    alone = all(r.digest in proven for r in reports) or len(reports) < 2
    used = heads if begins == 1 and len(reports) > 1 else ()
    row = row_report(reports, keys, heads=used, part=True)
    if not heads or used or not reports:
        return row
    if alone:
        missing = [r for r in reports if r.digest not in proven]
        notes = tuple(bundle_proofs.NOT_SHOWN.format(r.number) for r in missing if r.number)
        return replace(row, notes=(*row.notes, *notes))
    says = "A head counts from log 1 on; give the whole row, or each log's proof of membership."
    return replace(row, problems=(*row.problems, Problem("head", says)))

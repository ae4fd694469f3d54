"""Everything that somebody brought, checked together: logs, key list, heads and proofs.

The one check behind the command line and the public page. It needs the files and nothing else.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from server.ledger.budget import Budget
from server.ledger.checking import bundle_proofs
from server.ledger.checking.report import ChainReport, Checked, Report
from server.ledger.checking.sorting import Brought, Kind, by_members, kind_of
from server.ledger.checking.verify import row_report, verify_log
from server.ledger.envelope import Problem
from server.ledger.head import Growth, Head, Membership
from server.ledger.headfile import BadHead, read_head
from server.ledger.key_choice import BY, KeyChoice, Voucher, choose
from server.ledger.keylist import KeyList
from server.ledger.proofs import BadProof, read_proof

UNVOUCHED = (
    "Nobody vouched for the key list of {}: it came with the files, and anybody can write one with "
    "any name in it. Ask the shop for its supervisor's thumbprint; the one on this list is {}."
)
SIGNED_SINCE = (
    "Signed after the key list was made, {}: {}. Whether a key was closed between, only a younger "
    "list shows."
)


@dataclass(frozen=True, slots=True)
class Bundle:
    """What was brought and what it is worth. `names` are the logs' in the order of `row.logs`."""

    others: tuple[Checked, ...]
    names: tuple[str, ...]
    row: ChainReport
    keys: KeyList | None
    voucher: Voucher
    """Who says that this key list is the shop's."""
    only: Report | None
    """The one log with what it says, where there is one and no more."""

    @property
    def ok(self) -> bool:
        """Whether nothing is wrong anywhere."""
        return self.row.ok and not any(each.problems for each in self.others)

    @property
    def vouched(self) -> bool:
        """Whether somebody says whose the keys are, other than who brought the files."""
        return self.voucher in (Voucher.CHECKER, Voucher.LEAD)

    @property
    def by(self) -> str:
        """What the logs were checked by, in words."""
        return BY[self.voucher]

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
    current: bool = False,
    budget: Budget | None = None,
) -> Bundle:
    """Check all of `files` together. Only `budget` makes it raise (TooMuch), and no bytes.

    `keys` goes before every key list among them; `current` says that no key was closed since it was
    made. `lead` is the whole thumbprint of the key that a list among them must be signed with.
    With `head` the logs have to be a whole row that it counts.
    """
    kinds = _sorted(files, budget)
    choice = choose(_paced(kinds[Kind.KEYS], budget), keys=keys, lead=lead)
    tops, heads = _heads(_paced(kinds[Kind.HEAD], budget), choice.keys)
    one = len(kinds[Kind.LOG]) == 1
    names, reports = _in_order(_paced(kinds[Kind.LOG], budget), choice, one)
    proofs, shown = _proofs(_paced(kinds[Kind.PROOF], budget))
    judged = bundle_proofs.judged(shown, reports, heads)
    row = _row(reports, choice.keys, heads, judged.proven, head)
    # A whole row shows by itself how one head grew out of another.
    unjoined = () if row.root and len(reports) > 1 else judged.notes
    since = () if current else _since(reports, choice.keys)
    noted = (*_unvouched(choice), *choice.notes, *since, *unjoined, *row.notes)
    return Bundle(
        others=(*choice.lists, *tops, *bundle_proofs.clashes(heads), *_said(proofs, judged.said)),
        names=names,
        row=replace(row, logs=tuple(replace(r, log=None) for r in row.logs), notes=noted),
        keys=choice.keys,
        voucher=choice.voucher,
        only=reports[0] if one else None,
    )


def has_list(files: Iterable[Brought]) -> bool:
    """Whether a key list is among the files."""
    return any(kind_of(file.name, file.data) is Kind.KEYS for file in files)


def _sorted(files: Iterable[Brought], budget: Budget | None) -> dict[Kind, list[Brought]]:
    brought = list(files)
    if budget:
        budget.limits.hold(brought)
    by_kind: dict[Kind, list[Brought]] = {kind: [] for kind in Kind}
    for file in _paced(brought, budget):
        by_kind[kind_of(file.name, file.data)].append(file)
    return by_kind


def _paced(files: Sequence[Brought], budget: Budget | None) -> Iterable[Brought]:
    return budget.paced(files) if budget else files


def _unvouched(choice: KeyChoice) -> tuple[str, ...]:
    if choice.voucher is not Voucher.NOBODY or choice.keys is None:
        return ()
    return (UNVOUCHED.format(choice.keys.shop, choice.keys.signed_by),)


def _since(reports: Sequence[Report], keys: KeyList | None) -> tuple[str, ...]:
    if keys is None:
        return ()
    late = [r.number for r in reports if r.number and r.signed_at and r.signed_at > keys.made_at]
    if not late:
        return ()
    logs = f"log {late[0]}" if len(late) == 1 else f"{len(late)} logs"
    return (SIGNED_SINCE.format(keys.made_at, logs),)


def _heads(
    files: Iterable[Brought], keys: KeyList | None
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
    files: Iterable[Brought], choice: KeyChoice, one: bool
) -> tuple[tuple[str, ...], tuple[Report, ...]]:
    """The logs in the order of their numbers, where they did not come in it."""
    # A row can be long: what a log says is kept only where there is one, what links it always.
    found = [(f.name, _slim(_report(f, choice), one)) for f in files]
    numbers = [report.number or 0 for _, report in found]
    if any(after < before for before, after in pairwise(numbers)):
        found.sort(key=lambda pair: pair[1].number or 0)
    return tuple(name for name, _ in found), tuple(report for _, report in found)


def _report(file: Brought, choice: KeyChoice) -> Report:
    report = verify_log(file.data, keys=choice.keys)
    if choice.voucher is Voucher.NOBODY:
        report = replace(report, notes=(*report.notes, f"Checked {BY[Voucher.NOBODY]}."))
    if report.problems and report.problems[0].at == "file":
        other = by_members(file.data)
        if other not in (None, Kind.LOG):
            wrong = Problem("file", f"By its name it is a log, by what it holds a {other}.")
            return replace(report, problems=(wrong,))
    return report


def _slim(report: Report, whole: bool) -> Report:
    return report if whole else replace(report, log=None)


def _proofs(
    files: Iterable[Brought],
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

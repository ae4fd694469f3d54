"""Proofs held against the logs and heads that lie beside them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from server.ledger.checking.report import Checked, Report
from server.ledger.checking.sorting import Kind
from server.ledger.envelope import Problem
from server.ledger.head import Growth, Head, Membership

NOT_SHOWN = (
    "Not shown: whether log {} is among those that the head counts. That takes its proof of "
    "membership, or the whole row."
)
Said = tuple[tuple[Problem, ...], str]


@dataclass(frozen=True, slots=True)
class Judged:
    """What each proof shows by its file's name, digests that are proven, and what is missing."""

    said: dict[str, Said]
    proven: frozenset[str]
    notes: tuple[str, ...]


def judged(
    proofs: Mapping[str, Membership | Growth], logs: Sequence[Report], heads: Sequence[Head]
) -> Judged:
    """Every proof against what it speaks of."""
    said: dict[str, Said] = {}
    proven: set[str] = set()
    for name, proof in proofs.items():
        if isinstance(proof, Growth):
            said[name] = _growth(proof, heads)
            continue
        said[name] = _membership(proof, logs, heads)
        if not said[name][0] and _head_of(proof.size, proof.root, heads):
            proven.add(proof.digest)
    return Judged(said, frozenset(proven), tuple(_unjoined(proofs, heads)))


def clashes(heads: Sequence[Head]) -> Iterator[Checked]:
    """Two heads that count as many logs of one shop and differ: two histories were given out."""
    roots: dict[tuple[str, int], str] = {}
    for head in heads:
        if roots.setdefault((head.shop, head.size), head.root) != head.root:
            says = f"Two heads of {head.shop} count {head.size} logs and have different roots."
            yield Checked(f"heads of {head.size} logs", Kind.HEAD, (Problem("root", says),))


def _membership(proof: Membership, logs: Sequence[Report], heads: Sequence[Head]) -> Said:
    if not proof.holds():
        return (Problem("path", "It does not lead from the log to the root."),), ""
    here = [log for log in logs if log.digest == proof.digest]
    if not here and any(log.number == proof.number for log in logs):
        return (Problem("digest", f"It is the proof of another log {proof.number}."),), ""
    if here and here[0].number != proof.number:
        says = f"The log with this digest is number {here[0].number}, not {proof.number}."
        return (Problem("number", says),), ""
    head = _head_of(proof.size, proof.root, heads)
    if head is None:
        return _without_head(proof.size, proof.root, heads)
    log = f"Log {proof.number}" if here else f"A log {proof.number} that is not here"
    return (), f"{log} is among the {head.size} that the head of {head.at} counts."


def _growth(proof: Growth, heads: Sequence[Head]) -> Said:
    if not proof.holds():
        return (Problem("path", "It does not lead from the older root to the younger."),), ""
    old, new = (
        _head_of(size, root, heads)
        for size, root in ((proof.old_size, proof.old_root), (proof.size, proof.root))
    )
    if old is None:
        return _without_head(proof.old_size, proof.old_root, heads)
    if new is None:
        return _without_head(proof.size, proof.root, heads)
    says = f"The {new.size} logs of {new.at} begin with all {old.size} of {old.at}"
    return (), f"{says}: none was taken out or exchanged."


def _without_head(size: int, root: str, heads: Sequence[Head]) -> Said:
    if any(head.size == size and head.root != root for head in heads):
        return (Problem("root", f"It is not the root of the head that counts {size} logs."),), ""
    return (), f"It leads to a root over {size} logs; no head here has that root."


def _head_of(size: int, root: str, heads: Sequence[Head]) -> Head | None:
    return next((head for head in heads if (head.size, head.root) == (size, root)), None)


def _unjoined(proofs: Mapping[str, Membership | Growth], heads: Sequence[Head]) -> Iterator[str]:
    joined = any(isinstance(proof, Growth) for proof in proofs.values())
    if len({head.size for head in heads}) > 1 and not joined:
        yield (
            "Whether the younger head begins with the older takes a proof of growth, or the row."
        )

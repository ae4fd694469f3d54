"""Which part of the picture a finding belongs to, so that its mark stands there.

A finding names one subject (a device, pad, port or rail); its code says what is wrong with it. The
two together lead to wires, loose leads, or the subject itself; what fits nowhere goes to the board.
"""

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence

from server.drawing.port_diagram.model import DrawnLead, DrawnPart, Model, Run
from server.trade.finding import Finding

Key = tuple[str, ...]
BOARD: Key = ("board",)
ESC: Key = ("esc",)

ON_DEVICE = {"protocol-unspoken", "protocol-unset", "receiver-missing", "receiver-doubled"}
ON_ESC = {"motor-link-unspoken", "feedback-unspoken", "motor-link-too-slow", "motor-link-tight"}
ON_ESC |= {"motor-link-unset", "esc-short-of-current", "esc-near-limit"}
ON_OUTPUT = {"output-missing", "output-doubled", "pad-unknown", "pad-wrong-signal"}
LOOSE = {"link-incomplete": "signal", "supply-missing": "power", "ground-missing": "ground"}
ON_SUPPLY = {"supply-too-high", "supply-too-low"}
ON_PAD = {"timer-clash", "rail-overloaded", "rail-near-limit"}

CHANNELS = ("1", "2", "3", "4")

Wired = tuple[DrawnLead, Run]


class Places:
    """Finding numbers (1-based) by the key of what they are drawn on."""

    def __init__(self, model: Model, findings: Sequence[Finding]) -> None:
        self._by_key: dict[Key, list[int]] = defaultdict(list)
        finder = Finder(model)
        for i, finding in enumerate(findings, 1):
            for key in dict.fromkeys(finder.keys(finding)):
                self._by_key[key].append(i)

    def at(self, *key: str) -> tuple[int, ...]:
        """Numbers of the findings on one element, lowest first. No name is the ESC's."""
        if len(key) > 1 and not key[1]:
            key = ESC if key[0] == "device" else ("output", key[2])
        return tuple(self._by_key.get(key, ()))

    def pads(self) -> frozenset[str]:
        """Names of the pads that carry a mark."""
        return frozenset(key[1] for key in self._by_key if key[0] == "pad")

    def on_run(self, run: Run) -> tuple[int, ...]:
        """Numbers on one wire."""
        return self.at("wire", run.device, run.lead, run.pad)


class Finder:
    """Looks a finding's subject up in a model."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.parts = {part.name: part for part in model.parts}
        self.wired: list[Wired] = [
            (lead, run) for part in model.parts for lead in part.leads for run in lead.runs
        ]

    def keys(self, finding: Finding) -> list[Key]:
        """Where the finding is drawn; never empty."""
        if finding.code in ON_ESC:
            return [ESC]
        return self._by_code(finding) or self._by_subject(finding.subject) or [BOARD]

    def _by_code(self, finding: Finding) -> list[Key]:
        code, subject = finding.code, finding.subject
        if code in LOOSE:
            return self._loose(LOOSE[code], finding)
        if code in ON_SUPPLY:
            part = self.parts.get(subject)
            leads = part.leads if part else ()
            return [("lead", subject, lead.name) for lead in leads if lead.shape == "power"]
        if code in ON_PAD:
            return self._pads(subject)
        if code in ON_DEVICE or code.startswith("pack-"):
            return []
        # A pad at fault for an ESC channel and one at fault for a lead are two findings.
        channel = "ESC channel" in finding.says or code not in TESTS
        outputs = self._outputs(subject) if code in ON_OUTPUT and channel else []
        return outputs or self._wires(code, subject)

    def _pads(self, subject: str) -> list[Key]:
        if subject in self.model.pads:
            return [("pad", subject)]
        rails = [pad.pad for pad in self.model.board.pads if pad.rail == subject]
        return [("pad", name) for name in rails[:1]]

    def _loose(self, kind: str, finding: Finding) -> list[Key]:
        part = self._part_of(finding.subject)
        leads: Iterable[DrawnLead] = part.leads if part else ()
        loose = [lead for lead in leads if not lead.runs and lead.used]
        fits = [lead for lead in loose if (lead.shape if lead.supply else "signal") == kind]
        words = set(re.findall(r"[^\s,.;:]+", f"{finding.says} {finding.do}"))
        named = [lead for lead in fits if lead.name in words]
        return [("lead", lead.device, lead.name) for lead in named or fits]

    def _part_of(self, subject: str) -> DrawnPart | None:
        if subject in self.parts:
            return self.parts[subject]
        for _, run in self.wired:
            if self._touches(run, subject):
                return self.parts[run.device]
        return None

    def _outputs(self, subject: str) -> list[Key]:
        channels = self.model.outputs
        if subject.removeprefix("ESC channel ") in CHANNELS:
            return [("output", subject.removeprefix("ESC channel "))]
        wrong = {c: p for c, p in channels.items() if self.model.shape(p) != "motor"}
        named = channels if subject in self.model.pads else wrong
        return [("output", c) for c, pad in named.items() if pad == subject]

    def _touches(self, run: Run, subject: str) -> bool:
        pad = self.model.pads.get(run.pad)
        port = pad.port if pad else None
        whole = (run.device, run.pad, port, f"{run.device} {run.lead}", f"{run.device}.{run.lead}")
        return subject in whole

    def _wires(self, code: str, subject: str) -> list[Key]:
        near = [w for w in self.wired if self._touches(w[1], subject)]
        near = [w for w in near if not w[0].supply] or near
        test = TESTS.get(code)
        hit = [w for w in near if test(self.model, *w)] if test else near
        return [("wire", run.device, run.lead, run.pad) for _, run in hit or near]

    def _by_subject(self, subject: str) -> list[Key]:
        if subject in self.parts:
            return [("device", subject)]
        if subject in self.model.pads:
            return [("pad", subject)]
        if subject in {port.port for port in self.model.board.ports}:
            return [("port", subject)]
        if subject.casefold() in ("esc", "motors"):
            return [ESC]
        return self._pads(subject)


def _swapped(model: Model, lead: DrawnLead, run: Run) -> bool:
    return lead.shape in ("talk", "listen") and lead.shape == model.shape(run.pad)


def _wrong_kind(model: Model, lead: DrawnLead, run: Run) -> bool:
    shape = model.shape(run.pad)
    serial = ("talk", "listen")
    if lead.supply:
        return shape != lead.shape
    if lead.shape == "pill":
        return shape != "pill"
    return shape not in serial


def _forked(_: Model, lead: DrawnLead, __: Run) -> bool:
    return len(lead.runs) > 1


TESTS: dict[str, Callable[[Model, DrawnLead, Run], bool]] = {
    "lines-swapped": _swapped,
    "pad-wrong-signal": _wrong_kind,
    "lead-forked": _forked,
    "pad-unknown": lambda model, _, run: run.pad not in model.pads,
    "lead-unknown": lambda _, lead, __: not lead.known,
    "device-unknown": lambda _, lead, __: not lead.known,
    "one-wire-misplaced": lambda model, _, run: model.shape(run.pad) == "listen",
}

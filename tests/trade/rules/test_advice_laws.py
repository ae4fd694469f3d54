"""Laws of what is advised: the check and the plan say the same, and what they say can be done."""

from collections import defaultdict
from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from server.trade.finding import Finding
from server.trade.planner import Plan, apply, plan
from server.trade.planner.applying import moved
from server.trade.planner.reasons import NO_SAFE_ORDER
from server.trade.rules import check
from server.trade.sheet import Sheet, from_document
from server.trade.wiring.wiring import Wiring
from tests.strategies import sheets
from tests.trade.planner.test_laws import mixed_up

SHARED = {"power", "ground", "led", "sda", "scl", "video-out"}
ENDS = (".", ",", " and ", ":", ";")
Sent = tuple[str, str, str | None, str]
ANY = st.one_of(sheets(), st.integers(0, 2**32).map(mixed_up).map(from_document))


def sent(sheet: Sheet, finding: Finding) -> Iterator[Sent]:
    """(device, lead, from, to) of every move that the advice names, found by its own words."""
    do = f"{finding.do[:1].lower()}{finding.do[1:]}"
    pads = [pad.pad for pad in sheet.board.pads]
    for part in sheet.devices:
        for lead in Wiring(sheet).leads:
            if lead[0] != part.device:
                continue
            name = f"the {lead[0]}'s {lead[1]}"
            starts = [w.pad for w in sheet.wires if (w.device, w.lead) == lead]
            phrases = {
                (start, pad): f"move {name} from {start} to {pad}"
                for start in starts
                for pad in pads
            }
            found: dict[tuple[str | None, str], str] = {**phrases}
            found |= {(None, pad): f"wire {name} to {pad}" for pad in pads}
            for (start, pad), phrase in found.items():
                if any(f"{phrase}{end}" in do for end in ENDS):
                    yield (*lead, start, pad)


@given(ANY)
def test_every_move_that_is_advised_is_a_move_of_the_plan(sheet: Sheet) -> None:
    findings = check(sheet)
    found = plan(sheet) if findings else Plan(())
    planned = {(m.device, m.lead, m.start, m.end) for m in found.moves}
    for finding in findings:
        assert [move for move in sent(sheet, finding) if move not in planned] == []


@given(ANY)
def test_two_findings_never_send_two_leads_to_one_pad(sheet: Sheet) -> None:
    signals = {pad.pad: pad.signal for pad in sheet.board.pads}
    going: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for finding in check(sheet):
        for device, lead, _, pad in sent(sheet, finding):
            if signals[pad] not in SHARED | {"buzzer", "camera"}:
                going[pad].add((device, lead))
    assert [pad for pad, leads in going.items() if len(leads) > 1] == []


@given(ANY)
def test_no_inverter_is_advised_for_a_one_wire_link(sheet: Sheet) -> None:
    wiring = Wiring(sheet)
    for finding in check(sheet):
        if "inverter between" in finding.do:
            names = [
                f"put an inverter between {j.lead.says} and"
                for j in wiring.joints
                if j.lead is not None and j.lead.half_duplex
            ]
            assert not any(name in finding.do for name in names)


@given(ANY)
def test_no_protocol_is_advised_that_the_part_does_not_speak(sheet: Sheet) -> None:
    for change in plan(sheet).changes:
        if change.link is not None:
            part = next(part for part in sheet.devices if part.device == change.device)
            assert change.end in part.links[change.link].speaks


def barring_power(sheet: Sheet) -> set[tuple[str, str]]:
    return {(f.code, f.subject) for f in check(sheet) if f.bars == "power"}


@given(ANY)
def test_no_move_on_the_way_makes_a_new_fault_that_bars_power(sheet: Sheet) -> None:
    found = plan(sheet)
    unsafe = {(it.device, it.part) for it in found.unsolved if it.why == NO_SAFE_ORDER}
    before, now = barring_power(sheet), sheet
    for move in found.moves:
        now = moved(now, [move])
        if (move.device, move.lead) not in unsafe:
            assert barring_power(now) <= before
    assert set(now.wires) == set(apply(sheet, found).wires)


def test_the_laws_meet_advice_that_moves_leads() -> None:
    mixed = [from_document(mixed_up(seed)) for seed in range(60)]
    told = [move for sheet in mixed for finding in check(sheet) for move in sent(sheet, finding)]
    assert len(told) > 60
    assert any(start is None for _, _, start, _ in told)
    assert sum(bool(barring_power(sheet)) for sheet in mixed) > 10

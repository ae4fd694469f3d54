"""What holds of every plan, on sheets wired anyhow and on sound sheets with wires mixed up."""

from decimal import Decimal
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from server.trade.finding import Finding
from server.trade.planner import WIRING_CODES, Plan, apply, plan
from server.trade.rules import RULES, check
from server.trade.sheet import Sheet, dump_json, from_document, read_json, to_document
from tests.strategies import Document, clean_document, clean_sheets, documents, sheets
from tests.trade.planner.planning import cost, small_sheet, wiring_findings

SEEDS = st.integers(0, 2**32)


def mixed_up(seed: int) -> Document:
    """A sound sheet on which some wires have traded their pads, come off, or been doubled."""
    dice = Random(seed)
    document = clean_document(seed)
    wires = document["wires"]
    pads = [pad["pad"] for pad in document["board"]["pads"]]
    for _ in range(dice.randint(1, 5)):
        one, other = dice.choice(wires), dice.choice(wires)
        one["pad"], other["pad"] = other["pad"], one["pad"]
        if dice.random() < 0.3 and len(wires) > 1:
            wires.remove(dice.choice(wires))
        if dice.random() < 0.3:
            wires.append({**dice.choice(wires), "pad": dice.choice(pads)})
    kept = {(wire["device"], wire["lead"], wire["pad"]): wire for wire in wires}
    return {**document, "wires": list(kept.values())}


@given(SEEDS)
def test_a_mixed_up_sound_sheet_is_cleared_whole(seed: int):
    # It was sound once, so there is a wiring without a finding, and the plan must find one.
    sheet = from_document(mixed_up(seed))
    found = plan(sheet)
    assert found.unsolved == ()
    assert wiring_findings(apply(sheet, found)) == []


@given(SEEDS)
def test_no_more_moves_than_wires_that_were_changed(seed: int):
    sound = {(w["device"], w["lead"], w["pad"]) for w in clean_document(seed)["wires"]}
    mixed = mixed_up(seed)
    now = {(w["device"], w["lead"], w["pad"]) for w in mixed["wires"]}
    # Putting every wire back where it was: each moved one is both gone there and new here.
    assert len(plan(from_document(mixed)).moves) <= len(now - sound) + len(sound - now)


@given(clean_sheets())
def test_a_sound_sheet_is_left_alone(sheet: Sheet):
    found = plan(sheet)
    assert (found.moves, found.changes, found.unsolved) == ((), (), ())


@given(sheets())
def test_all_that_is_still_found_is_explained(sheet: Sheet):
    found = plan(sheet)
    after = apply(sheet, found)
    left = wiring_findings(after)
    assert [it for it in left if not _explained(it, after, found)] == []


def _explained(finding: Finding, after: Sheet, found: Plan) -> bool:
    """Whether an unsolved part is the subject, or has a wire on the pad, port or rail that is."""
    parts = {(item.device, item.part) for item in found.unsolved}
    names = {device for device, _ in parts}
    channels = {part.removeprefix("channel ") for device, part in parts if device == "esc"}
    if finding.subject in names or finding.subject.removeprefix("ESC channel ") in channels:
        return True
    if any(after.esc.outputs.get(channel) == finding.subject for channel in channels):
        return True
    if finding.code == "motor-link-unset":
        return ("esc", "motor link") in parts
    places = {pad.pad for pad in after.board.pads if finding.subject in (pad.port, pad.rail)}
    inside = {
        part.device
        for part in after.devices
        for link in part.links
        if link.inside == finding.subject
    }
    if inside & names:
        return True
    on = places | {finding.subject}
    return any(wire.device in names and wire.pad in on for wire in after.wires)


@given(sheets())
def test_a_planned_sheet_needs_no_further_move(sheet: Sheet):
    again = plan(apply(sheet, plan(sheet)))
    assert (again.moves, again.changes) == ((), ())


@given(sheets())
def test_a_planned_sheet_can_be_read_again(sheet: Sheet):
    after = apply(sheet, plan(sheet))
    assert read_json(dump_json(after).encode()) == after


@given(sheets())
def test_planning_leaves_all_but_wires_and_settings(sheet: Sheet):
    after = apply(sheet, plan(sheet))
    assert (after.board, after.craft, after.battery) == (sheet.board, sheet.craft, sheet.battery)
    assert [part.device for part in after.devices] == [part.device for part in sheet.devices]
    assert len(after.wires) <= len(sheet.wires) + sum(
        move.start is None for move in plan(sheet).moves
    )


@given(documents())
def test_the_same_sheet_gets_the_same_plan(document: Document):
    assert plan(from_document(document)) == plan(from_document(document))


@given(SEEDS, st.randoms(use_true_random=False))
def test_the_order_of_lists_changes_no_cost(seed: int, random: Random):
    sheet = small_sheet(seed, links=3)
    document = to_document(sheet)
    for rows in (
        document["board"]["pads"],
        document["board"]["ports"],
        document["devices"],
        document["wires"],
    ):
        random.shuffle(rows)
    other = from_document(document)
    one, two = plan(sheet), plan(other)
    assert cost(one, sheet) == cost(two, other)
    assert len(one.unsolved) == len(two.unsolved)


@given(documents())
def test_more_room_never_costs_more_moves(document: Document):
    """A board with one more free port, of every kind of pad, is no harder to plan."""
    sheet = from_document(document)
    board = document["board"]
    ports = [*board["ports"], {"port": "one more"}]
    pads = [
        *board["pads"],
        {"pad": "more rx", "signal": "rx", "port": "one more", "max_v": Decimal("1e9")},
        {"pad": "more tx", "signal": "tx", "port": "one more", "max_v": Decimal("1e9")},
    ]
    roomy = from_document({**document, "board": {**board, "ports": ports, "pads": pads}})
    stuck = [item for item in plan(sheet).unsolved if item.part.endswith(" link")]
    still = [item for item in plan(roomy).unsolved if item.part.endswith(" link")]
    assert len({(it.device, it.part) for it in still}) <= len(
        {(it.device, it.part) for it in stuck}
    )


def test_every_wiring_code_is_a_rule():
    assert RULES.keys() >= WIRING_CODES


def test_the_laws_meet_both_kinds_of_sheet():
    mixed = [from_document(mixed_up(seed)) for seed in range(50)]
    assert sum(bool(wiring_findings(sheet)) for sheet in mixed) > 40
    assert sum(len(plan(sheet).moves) > 2 for sheet in mixed) > 10
    assert sum(bool(check(sheet)) for sheet in mixed) > 40

"""Power leads and timers planned, against trying every pad and asking the rules."""

from itertools import permutations, product

from hypothesis import given
from hypothesis import strategies as st

from server.trade.finding import Finding
from server.trade.planner import apply, plan
from server.trade.rules import check
from server.trade.sheet import Sheet, Wire, from_document
from tests.edits import Document
from tests.strategies import Dice
from tests.trade.planner.planning import frame, is_clean

SEEDS = st.integers(0, 2**32)


def powered(seed: int) -> Sheet:
    """Three parts on three rails and the pack, fed anyhow."""
    dice = Dice(seed)
    rails: list[Document] = [
        {"rail": name, "volts": dice.choice((5, 9)), "amps": dice.choice((1, 2))} for name in "ABC"
    ]
    pads: list[Document] = [
        {"pad": f"P{n}", "signal": "power", "rail": rail} for n, rail in enumerate("AABC")
    ]
    pads += [{"pad": "VB", "signal": "power", "rail": "pack"}, {"pad": "R1", "signal": "ppm"}]
    devices: list[Document] = []
    wires: list[Document] = []
    for name in ("one", "two", "three"):
        amps = dice.choice((0.2, 0.5, 0.8, 1.0, 1.1))
        span = dice.choice(((4, 6), (4, 10), (8, 10), (4, 30)))
        devices.append(
            {"device": name, "kind": "other", "supply_v": span, "amps": amps, "power": "V"}
        )
        ends = dice.some([pad["pad"] for pad in pads], 0, 2)
        wires += [{"device": name, "lead": "V", "pad": end} for end in ends]
    return from_document(frame({"rails": rails, "ports": [], "pads": pads}, devices, wires))


def least_moves(sheet: Sheet) -> int | None:
    """The fewest power lead moves to a sheet without a wiring finding; None if there is none.

    Every lead is tried on every rail: on the pads of it that it is on already, else on its first.
    """
    rails: dict[str, list[str]] = {}
    for pad in sheet.board.pads:
        if pad.rail is not None:
            rails.setdefault(pad.rail, []).append(pad.pad)
    now = {
        part.device: {wire.pad for wire in sheet.wires if wire.device == part.device}
        for part in sheet.devices
    }
    best = None
    for choice in product(rails.values(), repeat=len(now)):
        after = {
            name: pads & set(on) or {on[0]}
            for (name, pads), on in zip(now.items(), choice, strict=True)
        }
        moves = sum(max(len(now[name] - end), len(end - now[name])) for name, end in after.items())
        if (best is None or moves < best) and is_clean(_fed(sheet, after)):
            best = moves
    return best


def _fed(sheet: Sheet, ends: dict[str, set[str]]) -> Sheet:
    wires = tuple(
        Wire(device=name, lead="V", pad=pad) for name, pads in ends.items() for pad in sorted(pads)
    )
    return sheet.model_copy(update={"wires": wires})


@given(SEEDS)
def test_power_takes_the_fewest_moves_of_all_feedings(seed: int):
    sheet = powered(seed)
    found = plan(sheet)
    best = least_moves(sheet)
    assert (best is None) == bool(found.unsolved)
    if best is not None:
        assert len(found.moves) == best
        assert is_clean(apply(sheet, found))


def test_both_kinds_are_among_the_boards_fed():
    unsolved = [bool(plan(powered(seed)).unsolved) for seed in range(60)]
    assert 10 < sum(unsolved) < 50


@given(SEEDS)
def test_no_rail_that_is_given_a_part_is_overloaded(seed: int):
    sheet = powered(seed)
    found = plan(sheet)
    rail_of = {pad.pad: pad.rail for pad in sheet.board.pads}
    given_to = {rail_of[move.end] for move in found.moves if move.end is not None}
    assert not given_to & _overloaded(apply(sheet, found))


def _overloaded(sheet: Sheet) -> set[str | None]:
    found: list[Finding] = check(sheet)
    return {it.subject for it in found if it.code == "rail-overloaded"}


def timed(seed: int) -> Sheet:
    """Six motor pads and three light pads on few timers, two lights, channels on any of them."""
    dice = Dice(seed)
    timers = ("TIM1", "TIM2", "TIM3")
    pads: list[Document] = [
        {"pad": f"L{n}", "signal": "led", "timer": dice.choice(timers)} for n in range(1, 4)
    ]
    pads += [
        {"pad": f"M{n}", "signal": "motor", "output": n, "timer": dice.choice(timers)}
        for n in range(5, 7)
    ]
    lead = {"lead": "DIN", "signal": "led"}
    devices: list[Document] = [
        {"device": name, "kind": "light", "supply_v": [4, 6], "amps": 0, "leads": [lead]}
        for name in ("front", "tail")
    ]
    wires = [
        {"device": name, "lead": "DIN", "pad": pad}
        for name in ("front", "tail")
        for pad in dice.some(["L1", "L2", "L3", "M5"], 0, 2)
    ]
    document = frame({"ports": [], "pads": pads}, devices, wires)
    for pad in document["board"]["pads"]:
        if pad["signal"] == "motor":
            pad["timer"] = dice.choice(timers)
    motors = [f"M{n}" for n in range(1, 7)]
    channels = dice.some("1234", 2, 4)
    document["esc"]["outputs"] = {channel: dice.choice(motors) for channel in channels}
    return from_document(document)


def least_timed_moves(sheet: Sheet) -> int | None:
    """The fewest moves of lights and channels to a sheet without a wiring finding."""
    motors = [pad.pad for pad in sheet.board.pads if pad.signal == "motor"]
    lit = [pad.pad for pad in sheet.board.pads if pad.signal == "led"]
    now = {
        part.device: [wire.pad for wire in sheet.wires if wire.device == part.device]
        for part in sheet.devices
    }
    lights = {name: pads for name, pads in now.items() if pads}
    best = None
    for outputs in permutations(motors, 4):
        moved = sum(sheet.esc.outputs.get(str(n)) != pad for n, pad in enumerate(outputs, start=1))
        if best is not None and moved >= best:
            continue
        for ends in product(lit, repeat=len(lights)):
            moves = moved + sum(
                len(pads) - (end in pads) for end, pads in zip(ends, lights.values(), strict=True)
            )
            if (best is None or moves < best) and is_clean(_set(sheet, outputs, lights, ends)):
                best = moves
    return best


def _set(
    sheet: Sheet, outputs: tuple[str, ...], lights: dict[str, list[str]], ends: tuple[str, ...]
) -> Sheet:
    wires = tuple(
        Wire(device=name, lead="DIN", pad=end) for name, end in zip(lights, ends, strict=True)
    )
    esc = sheet.esc.model_copy(
        update={"outputs": {str(n): pad for n, pad in enumerate(outputs, start=1)}}
    )
    return sheet.model_copy(update={"wires": wires, "esc": esc})


@given(SEEDS)
def test_timers_take_the_fewest_moves_of_all_arrangements(seed: int):
    sheet = timed(seed)
    found = plan(sheet)
    best = least_timed_moves(sheet)
    assert (best is None) == bool(found.unsolved)
    if best is not None:
        assert len(found.moves) == best
        assert is_clean(apply(sheet, found))


def test_many_motor_pads_of_many_timers_are_planned_alike():
    """More timers than are tried: the best of them is still among those that are."""
    pads: list[Document] = [
        {"pad": f"L{n}", "signal": "led", "timer": f"TIM{n}"} for n in range(1, 13)
    ]
    devices: list[Document] = [
        {
            "device": f"light {n}",
            "kind": "light",
            "supply_v": [4, 6],
            "amps": 0,
            "leads": [{"lead": "DIN", "signal": "led"}],
        }
        for n in range(1, 12)
    ]
    wires = [{"device": f"light {n}", "lead": "DIN", "pad": f"L{n}"} for n in range(1, 12)]
    document = frame({"ports": [], "pads": pads}, devices, wires)
    others = [
        {"pad": f"N{n}", "signal": "motor", "output": 8, "timer": f"TIM{n}"} for n in range(1, 13)
    ]
    document["board"]["pads"] += others
    document["esc"]["outputs"] = {"1": "M1", "2": "M1", "3": "M1", "4": "M1"}
    found = plan(from_document(document))
    # M1 to M4 are on TIM1, of which light 1 alone has the pad: it moves, with three channels.
    assert len(found.moves) == 4
    assert found.unsolved == ()

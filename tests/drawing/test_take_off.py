"""The picture of the verdict says what the verdict says, by its shapes and by its title."""

import re
from itertools import combinations, permutations, product

import pytest

from server.drawing.craft.take_off import take_off
from server.trade.motors.spins import solve
from server.trade.motors.takeoff import Spin, pushes
from tests.drawing import looking

EXPECT = {1: "FL", 2: "RR", 3: "RL", 4: "FR"}
# On the page the nose is up: which way each side lies, written out here.
TOWARDS = {
    "left": (-1, 0),
    "right": (1, 0),
    "front": (0, -1),
    "nose": (0, -1),
    "rear": (0, 1),
    "tail": (0, 1),
}
RIGHT = {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"}


def drawn(order: tuple[str, ...], turns: tuple[str | None, ...]) -> tuple[str, str]:
    """The picture, and the sentence that it stands beside."""
    spins = [Spin(n, c, t) for n, (c, t) in enumerate(zip(order, turns, strict=True), 1)]
    found = solve(spins, "props-in", EXPECT).verdict
    return take_off(found.as_json(), found.over, pushes(spins, "props-in")), found.says


def tip(svg: str) -> tuple[float, float]:
    """Where the first signal arrowhead after the shaft points, from the middle of the craft."""
    heads = re.findall(r'<polygon points="([^"]+)" class="dw-fill-signal"', svg)
    x, y = heads[-1].split(" ")[0].split(",")
    return float(x) - 142, float(y) - 136


def title(svg: str) -> str:
    return str(looking.parse(svg)[0].text)


@pytest.mark.parametrize("order", list(permutations(RIGHT)), ids="-".join)
def test_every_verdict_has_a_picture_in_bounds(order) -> None:
    for turns in product(("cw", "ccw", None), repeat=4):
        svg, says = drawn(order, turns)
        root = looking.parse(svg)
        wide, high = looking.size(root)
        labels = looking.texts(root)
        assert all(b[0] >= 0 and b[2] <= wide and b[1] >= 0 and b[3] <= high for _, b in labels)
        assert not [1 for a, b in combinations(labels, 2) if looking.overlap(a[1], b[1], 1.0)]
        assert ("lifts level" in title(svg)) == says.startswith("It would lift level")
        assert ("does not lift" in title(svg)) == says.startswith("It would not lift")
        assert ("spins to the" in title(svg)) == bool(re.match("It would spin to the", says))


@pytest.mark.parametrize("lost", RIGHT)
def test_the_arrow_points_over_the_side_that_goes_down(lost) -> None:
    order = tuple(EXPECT.values())
    for turn in (None, {"cw": "ccw", "ccw": "cw"}[RIGHT[lost]]):
        svg, says = drawn(order, tuple(turn if c == lost else RIGHT[c] for c in order))
        over = re.search(r"over its (.+?) at once", says)
        assert over
        assert f"over its {over[1].split(',')[0]}" in title(svg)
        at, wanted = tip(svg), [TOWARDS[word] for word in over[1].split() if word in TOWARDS]
        assert all(at[0] * x + at[1] * y > 0 for x, y in wanted)
        assert f"{lost} {'no push' if turn is None else 'pushes down'}" in title(svg)


def test_a_right_craft_has_no_signal_in_its_picture() -> None:
    svg, _ = drawn(tuple(EXPECT.values()), tuple(RIGHT[c] for c in EXPECT.values()))
    assert "signal" not in svg
    assert "dw-pen" in svg


def test_crossed_axes_are_named_and_drawn_both_ways() -> None:
    svg, says = drawn(("FL", "RL", "RR", "FR"), ("cw", "ccw", "cw", "ccw"))
    assert "roll and yaw are crossed" in says
    assert "roll and yaw crossed" in title(svg)
    assert svg.count("dw-fill-signal") >= 4  # two heads of the roll arrow, the arc's, the caption


def test_the_picture_prints_without_colour() -> None:
    found = solve([Spin(n, c, RIGHT[c]) for n, c in EXPECT.items()], "props-in", EXPECT).verdict
    plain = take_off(found.as_json(), "nose", dict.fromkeys(RIGHT, -0.5), colour=False)
    values = set(re.findall("#[0-9A-Fa-f]{6}", plain))
    assert all(len({v[1:3], v[3:5], v[5:7]}) == 1 for v in values)

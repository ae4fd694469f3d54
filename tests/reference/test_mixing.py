"""Order and direction of motors against the multirotor literature.

Effectiveness of four rotors in X: R. Mahony, V. Kumar, P. Corke, 'Multirotor Aerial Vehicles', IEEE
RAM 19(3) 2012 pp. 20-32, and Quan Quan, Introduction to Multicopter Design and Control, Springer
2017, ch. 6 (both from memory), recomputed as torque = r × F and reaction = −spin. Stability by
eigenvalues: K. J. Åström, R. M. Murray, Feedback Systems (from memory).
"""

from itertools import permutations

import numpy as np
import pytest

from server.trade.motors.corners import CORNERS, LEVER, PLANS, REACTION
from server.trade.motors.speeds import modified_z, odd_ones, rev_per_minute
from server.trade.motors.spins import read_order, solve
from server.trade.motors.takeoff import Spin, loop_matrix

# Columns FL, FR, RL, RR of the published matrix for props-in; rows roll, pitch, yaw.
PUBLISHED = np.array([[1, -1, 1, -1], [1, 1, -1, -1], [-1, 1, 1, -1]])


def spins_at(*corners: str) -> list[Spin]:
    return [Spin(n, c, PLANS["props-in"][c]) for n, c in enumerate(corners, start=1)]


ASSUMED = dict(enumerate(CORNERS, start=1))


def poles_of(*corners: str) -> np.ndarray:
    """Poles of the rate loop with unit gain: the eigenvalues of −M."""
    return np.linalg.eigvals(-loop_matrix(spins_at(*corners), ASSUMED, "props-in"))


def test_the_corner_table_is_the_published_matrix() -> None:
    ours = [(*LEVER[c], REACTION[PLANS["props-in"][c]]) for c in CORNERS]
    assert np.array_equal(np.array(ours).T, PUBLISHED)
    whole = np.vstack([np.ones(4), PUBLISHED])
    assert np.linalg.matrix_rank(whole) == 4
    assert abs(np.linalg.det(whole)) == pytest.approx(16)
    assert np.allclose(np.linalg.inv(whole), whole.T / 4)


def test_torque_is_lever_cross_force_and_reaction() -> None:
    place = {"FL": (1, -1, 0), "FR": (1, 1, 0), "RL": (-1, -1, 0), "RR": (-1, 1, 0)}
    for corner in CORNERS:
        push_up = np.array([0, 0, -1])
        assert tuple(np.cross(place[corner], push_up)[:2]) == LEVER[corner]


@pytest.mark.parametrize(
    "corners",
    [("FR", "FL", "RL", "RR"), ("FL", "RR", "RL", "FR"), ("FL", "RL", "FR", "RR")],
)
def test_two_motors_exchanged_run_away(corners: tuple[str, ...]) -> None:
    assert max(poles_of(*corners).real) == pytest.approx(1)


def test_the_right_order_is_as_designed() -> None:
    assert np.allclose(poles_of(*CORNERS), -1)


def test_all_turned_a_quarter_swings_and_runs_away() -> None:
    found = np.sort_complex(poles_of("RL", "FL", "RR", "FR"))
    assert np.allclose(found, np.sort_complex(np.array([1j, -1j, 1])))


def test_only_one_of_24_orders_is_stable() -> None:
    stable = [order for order in permutations(CORNERS) if max(poles_of(*order).real) < -1e-9]
    assert stable == [CORNERS]


def test_only_one_of_24_orders_is_ok() -> None:
    expect = read_order("1=FL,2=FR,3=RL,4=RR")
    fine = [o for o in permutations(CORNERS) if solve(spins_at(*o), "props-in", expect).verdict.ok]
    assert fine == [CORNERS]


def test_a_matched_wrong_turn_passes_the_loop_but_not_the_balance() -> None:
    # One motor turned about with a propeller that fits: only its reaction changes sign.
    actual = PUBLISHED.copy()
    actual[2, 0] *= -1
    poles = np.linalg.eigvals(-actual @ np.linalg.pinv(PUBLISHED))
    assert np.allclose(np.sort(poles.real), [-1, -1, -0.5])
    assert abs(actual[2].sum()) == 2


def test_modified_z_scores_are_the_published_ones() -> None:
    # B. Iglewicz, D. C. Hoaglin, How to Detect and Handle Outliers, ASQC vol. 16, 1993.
    assert modified_z([1000, 1010, 1005, 1400]) == pytest.approx(
        (-1.0118, 0.3372, -0.3372, 52.948), abs=1e-3
    )
    row = modified_z([2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3])
    assert row[-2:] == pytest.approx((25.856, 26.306), abs=1e-3)
    assert max(map(abs, row[:-2])) < 3.5


def test_no_spread_divides_by_nothing() -> None:
    assert modified_z([100, 100, 100, 100]) == (0, 0, 0, 0)
    # Mean absolute deviation 7.5, times 1.2533.
    assert modified_z([100, 100, 100, 130])[-1] == pytest.approx(30 / (7.5 * 1.2533))


@pytest.mark.parametrize(
    ("speeds", "odd"),
    [
        ((1000, 1010, 1005, 1400), (4,)),
        ((100, 100, 100, 130), (4,)),
        ((100, 70, 100, 100), (2,)),
        ((1000, 1000, 1000, 1001), ()),
        ((1000, 1001, 1000, 1030), ()),
        ((1000, 1040, 960, 1010), ()),
        ((0, 9000, 9100, 9050), (1,)),
        ((0, 0, 0, 0), ()),
    ],
)
def test_the_odd_speed_is_named(speeds: tuple[float, ...], odd: tuple[int, ...]) -> None:
    assert odd_ones(dict(enumerate(speeds, start=1))) == odd


def test_two_speeds_name_nobody() -> None:
    assert odd_ones({1: 100, 2: 900}) == ()


def test_electrical_turns_divide_by_pole_pairs() -> None:
    # Synchronous speed 120·f/poles, any machines text.
    assert rev_per_minute(205_800, 14) == 29_400
    assert rev_per_minute(308_700, 14) == 44_100
    for poles in (0, 7, -2):
        with pytest.raises(ValueError, match="even"):
            rev_per_minute(1000, poles)

"""The mounting from faces and from readings, against scipy and transforms3d."""

from collections.abc import Iterator
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation
from transforms3d.euler import euler2mat

from server.trade.mounting.solver import from_faces, from_readings
from server.trade.solving import NoAnswer

# Written out here, not taken from the module under test: x forward, y right, z down.
FACE = {
    (1, 0, 0): "nose",
    (-1, 0, 0): "tail",
    (0, 1, 0): "right",
    (0, -1, 0): "left",
    (0, 0, 1): "bottom",
    (0, 0, -1): "top",
}
AXIS = {face: axis for axis, face in FACE.items()}
DOWN = {"level": (0, 0, 1), "nose-down": (1, 0, 0), "right-down": (0, 1, 0)}
ALSO = {"upside-down": (0, 0, -1), "nose-up": (-1, 0, 0), "left-down": (0, -1, 0)}

# All right-angle mountings: proper rotations of a cube. REF-D12, scipy's group 'O'.
MOUNTINGS = Rotation.create_group("O").as_matrix()


def shown(mounting: np.ndarray, pose: str) -> str:
    """The face on the ground on screen: the pose's down in the board's axes."""
    down = np.rint(mounting.T @ DOWN[pose]).astype(int)
    return FACE[tuple(int(part) for part in down)]


def turned(answer: dict) -> np.ndarray:
    """The answer's triple as a matrix, by scipy; REF-D4: capital letters are intrinsic."""
    angles = [answer["yaw"], answer["pitch"], answer["roll"]]
    return Rotation.from_euler("ZYX", angles, degrees=True).as_matrix()


def read(mounting: np.ndarray, poses: list[str], level_z: int = 1) -> dict:
    held = DOWN | ALSO
    return {
        "level_z": level_z,
        "poses": [
            {"pose": pose, "reading": [float(x) * level_z for x in mounting.T @ held[pose]]}
            for pose in poses
        ],
    }


@pytest.mark.parametrize("mounting", MOUNTINGS)
@pytest.mark.parametrize("asked", [*permutations(DOWN, 2), tuple(DOWN)])
def test_every_right_angle_mounting_is_found(mounting: np.ndarray, asked: tuple[str, ...]) -> None:
    faces = {pose.replace("-", "_"): shown(mounting, pose) for pose in asked}
    answer = from_faces(**faces).as_json()
    assert np.abs(turned(answer) - mounting).max() < 1e-9
    assert answer["check"] == {pose: shown(mounting, pose) for pose in DOWN}
    assert (answer["squared"], answer["residual_deg"], answer["findings"]) == (True, 0.0, [])


@pytest.mark.parametrize("mounting", MOUNTINGS)
def test_alternatives_are_all_quarter_turn_triples(mounting: np.ndarray) -> None:
    answer = from_faces(shown(mounting, "level"), shown(mounting, "nose-down")).as_json()
    triples = [(t["roll"], t["pitch"], t["yaw"]) for t in [answer, *answer["alternatives"]]]
    quarters = (-90, 0, 90, 180)
    same = {
        (roll, pitch, yaw)
        for roll, pitch, yaw in product(quarters, repeat=3)
        # transforms3d 'rzyx' is the second, independent reading of the convention (REF-D4).
        if np.allclose(euler2mat(*np.radians((yaw, pitch, roll)), "rzyx"), mounting)
    }
    assert len(triples) == len(set(triples))
    assert set(triples) == same
    costs = [(sum(a != 0 for a in t), sum(map(abs, t))) for t in triples]
    assert costs == sorted(costs)


def test_the_two_worked_cases_fix_the_sign() -> None:
    assert from_faces("bottom", "tail").triple == (0, 0, 180)
    assert from_faces("bottom", "left").as_json() == {
        "roll": 0,
        "pitch": 0,
        "yaw": 90,
        "squared": True,
        "residual_deg": 0.0,
        "alternatives": [{"roll": 180, "pitch": 180, "yaw": -90}],
        "check": {"level": "bottom", "nose-down": "left", "right-down": "nose"},
        "findings": [],
    }


def contradictions() -> Iterator[tuple[str, str, str]]:
    for faces in product(AXIS, repeat=3):
        level, nose, right = (np.array(AXIS[face]) for face in faces)
        # The rows of a mounting, in the order x, y, z; a rigid one has determinant +1.
        if round(float(np.linalg.det(np.array([nose, right, level])))) != 1:
            yield faces


def test_all_but_24_of_216_answers_contradict() -> None:
    assert len(list(contradictions())) == 6**3 - 24


@pytest.mark.parametrize("faces", list(contradictions()), ids="-".join)
def test_faces_that_contradict_are_refused(faces: tuple[str, str, str]) -> None:
    with pytest.raises(NoAnswer) as refused:
        from_faces(*faces)
    named = [pose for pose in DOWN if pose in refused.value.says]
    assert len(named) >= 2
    assert all(faces[list(DOWN).index(pose)] in refused.value.says for pose in named)


@pytest.mark.parametrize(
    ("faces", "pair"),
    [
        (("bottom", "top", None), "level, nose-down"),
        (("bottom", "nose", "bottom"), "level, right-down"),
        (("bottom", "nose", "tail"), "nose-down, right-down"),
        (("bottom", "nose", "left"), "right-down"),
    ],
)
def test_the_pair_that_disagrees_is_named(faces: tuple[str, str, str], pair: str) -> None:
    with pytest.raises(NoAnswer) as refused:
        from_faces(*faces)
    assert refused.value.at == pair


@pytest.mark.parametrize("faces", [("bottom",), (None, "nose"), (None, None, "left"), ()])
def test_fewer_than_two_faces_are_refused(faces: tuple[str, ...]) -> None:
    with pytest.raises(NoAnswer, match="Two faces are needed"):
        from_faces(*faces)


def test_a_word_that_is_no_face_is_refused() -> None:
    with pytest.raises(NoAnswer, match="'Nose' is no face") as refused:
        from_faces("bottom", "Nose")
    assert refused.value.at == "nose-down"


STEPS = (-135, -90, -45, 0, 45, 90, 135, 180)
# With pitch in one half turn every rotation comes up.
EIGHTHS = list(product(STEPS, (-90, -45, 0, 45, 90), STEPS))


def test_readings_in_steps_of_45_are_exact() -> None:
    """Every rotation whose angles are multiples of 45°, as transforms3d and scipy turn it."""
    seen = set()
    for roll, pitch, yaw in EIGHTHS:
        mounting = euler2mat(*np.radians((yaw, pitch, roll)), "rzyx")
        sign = -1 if (roll + yaw) % 90 else 1
        document = read(mounting, ["level", "nose-down", "left-down"], sign)
        answer = from_readings(document).as_json()
        assert (answer["squared"], answer["residual_deg"], answer["findings"]) == (True, 0.0, [])
        for triple in [answer, *answer["alternatives"]]:
            assert np.abs(turned(triple) - mounting).max() < 1e-9
        seen.add((answer["roll"], answer["pitch"], answer["yaw"]))
    assert len(seen) == 208


@given(
    st.integers(0, 2**32 - 1),
    st.lists(st.sampled_from(sorted(DOWN | ALSO)), min_size=2, max_size=7),
)
def test_noisy_readings_agree_with_scipy(seed: int, poses: list[str]) -> None:
    held = DOWN | ALSO
    poses += ["level", "nose-down"]
    chance = np.random.default_rng(seed)
    mounting = Rotation.random(rng=chance).as_matrix()
    document = read(mounting, poses)
    for pose in document["poses"]:
        pose["reading"] = [part + float(chance.normal(0, 0.03)) for part in pose["reading"]]
    units = np.array([pose["reading"] for pose in document["poses"]])
    units /= np.linalg.norm(units, axis=1, keepdims=True)
    fit, _ = Rotation.align_vectors([held[pose] for pose in poses], units)
    squares = Rotation.from_euler(
        "ZYX", list(product(range(0, 360, 45), repeat=3)), degrees=True
    ).as_matrix()
    # Angle between rotations from the trace, as textbooks have it.
    traces = np.einsum("kij,ij->k", squares, fit.as_matrix())
    residual = np.degrees(np.arccos(np.clip((traces.max() - 1) / 2, -1, 1)))
    answer = from_readings(document).as_json()
    assert answer["residual_deg"] == pytest.approx(residual, abs=1e-3)
    assert answer["squared"] == (residual <= 10)
    wanted = squares[traces.argmax()] if residual <= 10 else fit.as_matrix()
    assert np.abs(turned(answer) - wanted).max() < 1e-6
    for other in answer["alternatives"]:
        assert np.abs(turned(other) - wanted).max() < 1e-6


@pytest.mark.parametrize(
    ("off", "squared", "severity"),
    [
        (0, True, None),
        (4.99, True, None),
        (5, True, None),
        (5.01, True, "caution"),
        (10, True, "caution"),
        (10.01, False, "stop"),
        (22, False, "stop"),
    ],
)
def test_limits_of_5_and_10_degrees(off: float, squared: bool, severity: str | None) -> None:
    mounting = Rotation.from_euler("ZYX", [90 + off, 0, 0], degrees=True).as_matrix()
    answer = from_readings(read(mounting, ["level", "nose-down"])).as_json()
    assert answer["residual_deg"] == pytest.approx(off, abs=1e-6)
    assert answer["squared"] is squared
    assert answer["yaw"] == pytest.approx(90 if squared else 90 + off, abs=1e-6)
    found = [(f["code"], f["severity"]) for f in answer["findings"]]
    assert found == ([("mounting-off-square", severity)] if severity else [])


def test_a_fit_with_the_nose_straight_up() -> None:
    mounting = Rotation.from_euler("ZYX", [0, 90, 20], degrees=True).as_matrix()
    answer = from_readings(read(mounting, ["level", "nose-down"])).as_json()
    assert not answer["squared"]
    for triple in [answer, *answer["alternatives"]]:
        assert np.abs(turned(triple) - mounting).max() < 1e-6


def test_between_faces_the_screen_shows_both() -> None:
    mounting = Rotation.from_euler("ZYX", [45, 0, 0], degrees=True).as_matrix()
    answer = from_readings(read(mounting, ["level", "nose-down"]))
    assert answer.check["level"] == "bottom"
    assert answer.check["nose-down"] == "nose-left"


LEVEL = {"pose": "level", "reading": [0, 0, 1]}
NOSE = {"pose": "nose-down", "reading": [1, 0, 0]}
MIRRORED = {"pose": "right-down", "reading": [0, -1, 0]}


def with_nose(*reading: object) -> dict:
    return {"poses": [LEVEL, {"pose": "nose-down", "reading": list(reading)}]}


@pytest.mark.parametrize(
    ("document", "at", "says"),
    [
        (with_nose(0.79, 0, 0), "poses[1].reading", "moving"),
        (with_nose(1.21, 0, 0), "poses[1].reading", "moving"),
        (with_nose(1e308, 1e308, 0), "poses[1].reading", "moving"),
        ({"poses": [LEVEL]}, "poses", "one axis"),
        ({"poses": [LEVEL, {"pose": "upside-down", "reading": [0, 0, -1]}]}, "poses", "one axis"),
        ({"poses": []}, "poses", "too few"),
        (with_nose(0, 0, 1), "poses", "one axis"),
        ({"poses": [LEVEL, NOSE, MIRRORED]}, "poses", "mirror"),
        (with_nose(0.3, 0, 0.95), "poses[0]", "rigid"),
        ({"poses": [LEVEL, {"pose": "tilted", "reading": [1, 0, 0]}]}, "poses[1].pose", "level"),
        (with_nose(1, 0), "poses[1].reading[2]", "required"),
        (with_nose(1, 0, "0"), "poses[1].reading[2]", "number"),
        (with_nose(1, 0, True), "poses[1].reading[2]", "number"),
        (with_nose(1, 0, float("nan")), "poses[1].reading[2]", "finite"),
        ({"poses": [LEVEL, NOSE], "level_z": 2}, "level_z", "specific force"),
        ({"poses": [LEVEL, NOSE], "level_z": True}, "level_z", "number"),
        ({"poses": [LEVEL, NOSE], "levelz": 1}, "levelz", "not known"),
        ({"poses": [LEVEL, NOSE | {"note": "x"}]}, "poses[1].note", "not known"),
        ({}, "poses", "required"),
        ({"poses": None}, "poses", "list"),
        ([], "document", "object"),
    ],
)
def test_readings_are_refused_with_their_place(document: object, at: str, says: str) -> None:
    with pytest.raises(NoAnswer, match=says) as refused:
        from_readings(document)
    assert refused.value.at == at


@pytest.mark.parametrize("size", [0.8, 1.2])
def test_readings_at_the_limits_are_taken(size: float) -> None:
    document = with_nose(size, 0, 0)
    assert from_readings(document).triple == (0, 0, 0)

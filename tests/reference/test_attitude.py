"""Attitude against published worked examples.

TRIAD and Wahba examples: H. Schaub & J. L. Junkins, Analytical Mechanics of Space Systems, chapter
on attitude determination, and the course that goes with it; numbers as read in public course
repositories, recomputed with scipy.
"""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from server.trade.mounting.readings import wahba
from server.trade.mounting.rotations import matrix
from server.trade.mounting.solver import from_faces, from_readings


def units(*vectors: tuple[float, float, float]) -> np.ndarray:
    rows = np.array(vectors)
    return rows / np.linalg.norm(rows, axis=1, keepdims=True)


EXAMPLES = {
    "first": (
        units((0.8190, -0.5282, 0.2242), (-0.3138, -0.1584, 0.9362)),
        units((1, 0, 0), (0, 0, 1)),
        [
            [0.825143, 0.459282, -0.328936],
            [-0.525561, 0.837639, -0.148814],
            [0.207182, 0.295669, 0.932553],
        ],
    ),
    "second": (
        units((0.8273, 0.5541, -0.0920), (-0.8285, 0.5522, -0.0955)),
        units((-0.1517, -0.9669, 0.2050), (-0.8393, 0.4494, -0.3044)),
        [
            [0.415936, -0.854894, 0.310087],
            [-0.833757, -0.494637, -0.245325],
            [0.363107, -0.156498, -0.918511],
        ],
    ),
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_published_wahba_examples_come_out(name: str) -> None:
    body, reference, published = EXAMPLES[name]
    fit = wahba(body, reference)
    # The inputs are printed to four places; the result is compared to as many.
    assert np.abs(fit - np.array(published)).max() < 1e-4
    again, _ = Rotation.align_vectors(body, reference)
    assert np.abs(fit - again.as_matrix()).max() < 1e-9


def test_the_first_example_misses_by_its_published_angle() -> None:
    body, reference, _ = EXAMPLES["first"]
    true = np.array(
        [
            [0.813798, 0.469846, -0.342020],
            [-0.543838, 0.823173, -0.163176],
            [0.204874, 0.318796, 0.925417],
        ]
    )
    cosine = (np.trace(wahba(body, reference) @ true.T) - 1) / 2
    assert np.degrees(np.arccos(cosine)) == pytest.approx(1.6960, abs=2e-3)


def test_elementary_turns_are_the_textbook_ones() -> None:
    # Aircraft axes x nose, y right, z down, ZYX: MathWorks Aerospace Toolbox, 'Coordinate systems
    # for modeling'; ISO 1151-1 from memory.
    assert np.allclose(matrix((0, 0, 90)), [[0, -1, 0], [1, 0, 0], [0, 0, 1]])
    assert np.allclose(matrix((90, 0, 0)), [[1, 0, 0], [0, 0, -1], [0, 1, 0]])
    assert np.allclose(matrix((0, 90, 0)), [[0, 0, 1], [0, 1, 0], [-1, 0, 0]])


def test_a_general_triple_has_the_textbook_matrix() -> None:
    wanted = [
        [0.813798, -0.440970, 0.378522],
        [0.469846, 0.882564, 0.018028],
        [-0.342020, 0.163176, 0.925417],
    ]
    assert np.abs(matrix((10, 20, 30)) - wanted).max() < 1e-6


def test_a_board_turned_90_reads_as_tabled() -> None:
    # Specific force in g, x forward, y right, z down: level is (0, 0, -1). Computed by hand from
    # the rotation matrix of a board turned 90° about z.
    readings = [("level", [0, 0, -1]), ("nose-down", [0, 1, 0]), ("right-down", [-1, 0, 0])]
    document = {
        "level_z": -1,
        "poses": [{"pose": pose, "reading": reading} for pose, reading in readings],
    }
    assert from_readings(document).triple == (0, 0, 90)


def test_there_are_24_right_angle_mountings() -> None:
    faces = ("nose", "tail", "left", "right", "top", "bottom")
    axis = {"nose": 0, "tail": 0, "left": 1, "right": 1, "top": 2, "bottom": 2}
    found = {
        from_faces(level, nose).triple
        for level in faces
        for nose in faces
        if axis[level] != axis[nose]
    }
    assert len(found) == len(Rotation.create_group("O"))

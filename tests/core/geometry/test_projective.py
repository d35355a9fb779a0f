"""Projective maps from points: known by construction, also where digits are easily lost."""

from __future__ import annotations

import numpy as np
import pytest

from giornata.core import geometry


def seen_by(matrix: np.ndarray, features: np.ndarray) -> np.ndarray:
    made = features @ matrix.T
    return made[:, :2] / made[:, 2:]


def test_points_almost_in_line_keep_their_digits() -> None:
    # Known by construction: points within 1e-4 of a line, third row 1e-6 from that of an affine
    # map. By the product of the rows with themselves it came out to 5e-8 only.
    truth = np.array([[0.9, 0.1, 0.02], [-0.05, 1.1, 0.3], [2e-6, -1e-6, 1.0]])
    x, y = np.meshgrid(np.linspace(-1, 1, 5), np.linspace(-1e-4, 1e-4, 3))
    features = np.column_stack([x.ravel(), y.ravel(), np.ones(15)])
    found = geometry.direct_linear(features, seen_by(truth, features))
    assert found / found[2, 2] == pytest.approx(truth, abs=1e-10)


def test_four_features_in_a_fold_are_found_back() -> None:
    # Known by construction: the fourth feature is the way beyond a fold at 0.2.
    rng = np.random.default_rng(5)
    truth = np.array(
        [[0.9, 0.1, 0.3, 0.02], [-0.05, 1.1, 0.1, 0.3], [0.01, -0.1, 0.2, 1.0]]
    )  # fmt: skip
    x, y = rng.uniform(-1, 1, (2, 40))
    features = np.column_stack([x, y, np.maximum(x - 0.2, 0), np.ones(40)])
    found = geometry.direct_linear(features, seen_by(truth, features))
    assert found / found[2, 3] == pytest.approx(truth, abs=1e-12)


def test_a_plane_is_carried_from_metres_to_pixels() -> None:
    # Known by construction; coordinates are as they come, thousands of pixels and tens of metres.
    truth = np.array([[310.0, 4.0, 900.0], [-25.0, -330.0, 2900.0], [1e-3, 2e-3, 1.0]])
    wall = np.array([[52.0, 0.2], [61.0, 0.1], [60.5, 3.1], [53.0, 2.9], [57.0, 1.4]])
    photo = geometry.mapped(truth, wall)
    found = geometry.plane_to_plane(wall, photo)
    assert geometry.mapped(found, wall) == pytest.approx(photo, rel=1e-12)
    assert found / found[2, 2] == pytest.approx(truth, rel=1e-8)


def test_points_at_one_place_carry_no_plane() -> None:
    with pytest.raises(ValueError, match="at one place"):
        geometry.plane_to_plane(np.ones((4, 2)), np.eye(4)[:, :2])

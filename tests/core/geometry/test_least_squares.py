"""Least squares against published results: a level net, two traverses, a nearly singular fit."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from giornata.core.geometry import least_squares

REFERENCE = Path(__file__).parents[2] / "reference"
FOOT_PRINTED = 0.001  # the traverses are printed to a thousandth of a foot
SECOND = math.radians(1 / 3600)


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_the_published_level_net() -> None:
    # GNU Gama's printed result of its 1-D sample: three heights over 1a, eight differences.
    net = rows("survey_level_net.csv")
    column = {"4": 0, "3": 1, "2": 2}
    design = np.zeros((len(net), 3))
    for row, reading in enumerate(net):
        for point, share in ((reading["to"], 1.0), (reading["from"], -1.0)):
            if point in column:
                design[row, column[point]] = share
    observed = np.array([float(reading["observed_dh_m"]) for reading in net])
    found = least_squares(design, observed, np.full(len(net), 0.005))
    assert found.values == pytest.approx([-1.22487, -2.06675, -0.72513], abs=0.6e-5)
    printed = [float(reading["residual_mm_adj_minus_obs"]) for reading in net]
    assert 1000 * found.residuals == pytest.approx(printed, abs=0.006)
    # Printed a priori: 3.06, 3.54, 3.06 mm; [pvv] 146.625 mm², m0 5.42 mm, 5 degrees of freedom.
    assert 1000 * np.sqrt(np.diag(found.covariance())) == pytest.approx(
        [3.06, 3.54, 3.06], abs=5e-3
    )
    assert found.freedom == 5
    assert 25 * found.weighted_square == pytest.approx(146.625, abs=1e-6)
    assert math.sqrt(25 * found.weighted_square / 5) == pytest.approx(5.415, abs=1e-3)
    # Eight like observations share five degrees of freedom, by the net's symmetry equally.
    assert found.redundancy == pytest.approx(np.full(8, 5 / 8))


def closed_traverse(name: str) -> tuple[list[dict[str, str]], np.ndarray, np.ndarray]:
    """Courses of a traverse, as read and as adjusted with variances in proportion to length.

    The compass rule is least squares of latitudes and departures, each with a variance in
    proportion to the course's length (Ghilani and Wolf, Elementary Surveying, ch. 10; from memory).
    """
    courses = [row for row in rows("survey_traverse.csv") if row["set"] == name]
    number = len(courses)
    design = np.zeros((number, number - 1))
    for row in range(number):
        if row < number - 1:
            design[row, row] = 1.0
        if row > 0:
            design[row, row - 1] = -1.0
    sigma = np.sqrt([float(row["length_ft"]) for row in courses])
    read = np.array([[float(row["lat"]), float(row["dep"])] for row in courses])
    adjusted = read + np.column_stack(
        [least_squares(design, read[:, axis], sigma).residuals for axis in (0, 1)]
    )
    return courses, read, adjusted


@pytest.mark.parametrize(
    ("name", "closure", "tolerance"),
    [("Mahun2", 0.1577, 1e-3), ("six-course", 24.6875, 1e-3)],
)
def test_published_traverses_closed_by_the_compass_rule(
    name: str, closure: float, tolerance: float
) -> None:
    courses, read, adjusted = closed_traverse(name)
    assert math.hypot(*read.sum(axis=0)) == pytest.approx(closure, abs=tolerance)
    printed = np.array([[float(row["lat_adj"]), float(row["dep_adj"])] for row in courses])
    assert adjusted == pytest.approx(printed, abs=1.01 * FOOT_PRINTED)
    assert adjusted.sum(axis=0) == pytest.approx([0, 0], abs=1e-9)


def test_published_sides_and_directions_of_a_traverse() -> None:
    courses, _, adjusted = closed_traverse("Mahun2")
    sides = np.hypot(adjusted[:, 0], adjusted[:, 1])
    printed = np.array([float(row["length_adj"]) for row in courses])
    assert sides == pytest.approx(printed, abs=1.01 * FOOT_PRINTED)
    for row, (lat, dep) in zip(courses, adjusted, strict=True):
        degrees, minutes, seconds = (float(part) for part in row["direction_adj_dms"].split("-"))
        direction = math.radians(degrees + minutes / 60 + seconds / 3600)
        # A thousandth of a foot across 409 ft, the shortest side, is 0.5 seconds.
        assert math.atan2(dep, lat) % math.tau == pytest.approx(direction, abs=0.6 * SECOND)


def test_published_area_of_a_traverse() -> None:
    _, _, adjusted = closed_traverse("six-course")
    north, east = np.cumsum(adjusted, axis=0).T
    area = abs(north @ np.roll(east, -1) - east @ np.roll(north, -1)) / 2
    assert area == pytest.approx(1_715_250.05, abs=0.02)  # square feet, sample sheet


def test_certified_regression_that_is_nearly_singular() -> None:
    # NIST StRD, linear regression, Longley (data from memory); certified values B0 to B6.
    table = np.array(
        [
            [83.0, 234289, 2356, 1590, 107608, 1947, 60323],
            [88.5, 259426, 2325, 1456, 108632, 1948, 61122],
            [88.2, 258054, 3682, 1616, 109773, 1949, 60171],
            [89.5, 284599, 3351, 1650, 110929, 1950, 61187],
            [96.2, 328975, 2099, 3099, 112075, 1951, 63221],
            [98.1, 346999, 1932, 3594, 113270, 1952, 63639],
            [99.0, 365385, 1870, 3547, 115094, 1953, 64989],
            [100.0, 363112, 3578, 3350, 116219, 1954, 63761],
            [101.2, 397469, 2904, 3048, 117388, 1955, 66019],
            [104.6, 419180, 2822, 2857, 118734, 1956, 67857],
            [108.4, 442769, 2936, 2798, 120445, 1957, 68169],
            [110.8, 444546, 4681, 2637, 121950, 1958, 66513],
            [112.6, 482704, 3813, 2552, 123366, 1959, 68655],
            [114.2, 502601, 3931, 2514, 125368, 1960, 69564],
            [115.7, 518173, 4806, 2572, 127852, 1961, 69331],
            [116.9, 554894, 4007, 2827, 130081, 1962, 70551],
        ]
    )
    design = np.column_stack([np.ones(16), table[:, :6]])
    found = least_squares(design, table[:, 6], np.ones(16))
    assert found.values[:2] == pytest.approx([-3482258.63459582, 15.0618722713733], rel=1e-8)
    assert math.sqrt(found.weighted_square / 9) == pytest.approx(304.854073561965, rel=1e-8)


def test_what_is_left_open_is_named_and_the_rest_is_solved() -> None:
    # Known by construction: b - a and c are fixed, a and b only together.
    design = np.array([[-1.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, 1.0]])
    found = least_squares(design, np.array([2.0, 7.0, 7.2]), np.array([0.1, 0.1, 0.1]))
    assert found.is_open() == (True, True, False)
    assert found.values[1] - found.values[0] == pytest.approx(2.0)
    assert found.values[2] == pytest.approx(7.1)
    assert design @ found.open == pytest.approx(np.zeros((3, 1)))
    assert found.redundancy == pytest.approx([0.0, 0.5, 0.5])
    assert found.freedom == 1


def test_residuals_of_one_loop_are_all_alike() -> None:
    # Three lengths and their sum: one condition, so every test has the same size.
    design = np.array([[1.0, 0, 0], [0, 1, 0], [0, 0, 1], [1, 1, 1]])
    sigma = np.array([1.0, 2.0, 2.0, 4.0])
    found = least_squares(design, np.array([10.0, 10.0, 10.0, 35.0]), sigma)
    # By hand: misclosure 5, variances 1 + 4 + 4 + 16 = 25; shares 1/25, 4/25, 4/25, 16/25.
    assert found.residuals == pytest.approx([0.2, 0.8, 0.8, -3.2])
    assert found.redundancy == pytest.approx([0.04, 0.16, 0.16, 0.64])
    assert np.abs(found.likeness(0)) == pytest.approx(np.ones(4))
    assert found.weighted_square == pytest.approx(1.0)  # 25 ÷ 25


@pytest.mark.parametrize(
    ("design", "observed", "sigma", "said"),
    [
        (np.ones((2, 1)), np.ones(3), np.ones(2), "one observation and one deviation"),
        (np.ones((2, 1)), np.array([1.0, np.nan]), np.ones(2), "finite"),
        (np.ones((2, 1)), np.ones(2), np.array([1.0, 0.0]), "above 0"),
    ],
)
def test_impossible_equations_are_refused(
    design: np.ndarray, observed: np.ndarray, sigma: np.ndarray, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        least_squares(design, observed, sigma)

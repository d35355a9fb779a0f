"""CIEDE2000 against the 34 published pairs."""

import csv
from pathlib import Path

import numpy as np
import pytest

from giornata.core import colour

TABLE = Path(__file__).parents[2] / "reference" / "ciede2000.csv"
with TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))


def _pair(row):
    return (
        [float(row[key]) for key in ("L1", "a1", "b1")],
        [float(row[key]) for key in ("L2", "a2", "b2")],
    )


def test_the_table_is_whole():
    # Sharma, Wu and Dalal 2005, Table 1 has 34 pairs.
    assert [int(row["pair"]) for row in ROWS] == list(range(1, 35))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["pair"])
def test_c1_published_pairs(row):
    # Sharma, Wu and Dalal 2005, Table 1; tolerance 5e-5, 1e-4 for rows 9 to 15.
    tolerance = 1e-4 if 9 <= int(row["pair"]) <= 15 else 5e-5
    accepted = [float(row["dE00_published"])]
    if row["pair"] == "14":
        accepted.append(4.7461)  # C3: hues exactly opposite, either side of the jump
    found = float(colour.ciede2000(*_pair(row)))
    assert min(abs(found - value) for value in accepted) <= tolerance


def test_c2_the_order_of_samples_does_not_matter():
    # Property stated in Sharma, Wu and Dalal 2005.
    one, two = (np.array(side) for side in zip(*map(_pair, ROWS), strict=True))
    straight, swapped = colour.ciede2000(one, two), colour.ciede2000(two, one)
    apart = np.abs(straight - swapped)
    apart[13] = 0.0  # row 14 may fall on either side of the jump
    assert apart.max() <= 1e-12


def test_c4_distance_in_lab():
    # Euclid: sqrt(23² + 22.5² + 18²) = 36.8680 (row 17).
    found = colour.difference_1976((50, 2.5, 0), (73, 25, -18))
    assert float(found) == pytest.approx(36.8680, abs=1e-3)


def test_arrays_and_single_colours_agree():
    one, two = (np.array(side) for side in zip(*map(_pair, ROWS), strict=True))
    together = colour.ciede2000(one, two)
    assert together.shape == (34,)
    for row, value in zip(ROWS, together, strict=True):
        assert float(colour.ciede2000(*_pair(row))) == value

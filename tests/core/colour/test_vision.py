"""Colour vision deficiency against the published matrices."""

import csv
from pathlib import Path

import numpy as np
import pytest

from giornata.core import colour

TABLE = Path(__file__).parents[2] / "reference" / "cvd_machado.csv"
with TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = {
        row["deficiency"]: [float(row[f"m{i}{j}"]) for i in "123" for j in "123"]
        for row in csv.DictReader(file)
        if row["severity"] == "1.0"
    }


@pytest.mark.parametrize(
    ("deficiency", "name"),
    [
        (colour.Deficiency.PROTAN, "Protanomaly"),
        (colour.Deficiency.DEUTAN, "Deuteranomaly"),
        (colour.Deficiency.TRITAN, "Tritanomaly"),
    ],
)
def test_c20_c21_matrices(deficiency, name):
    # Machado, Oliveira and Fernandes 2009, severity 1.0; rows sum to 1, so greys stay grey.
    matrix = colour.deficiency_matrix(deficiency)
    np.testing.assert_allclose(matrix.ravel(), ROWS[name], atol=1e-6)
    np.testing.assert_allclose(matrix.sum(axis=1), 1.0, atol=2e-6)
    np.testing.assert_allclose(colour.srgb_as_seen([0.5, 0.5, 0.5], deficiency), 0.5, atol=1e-5)


def test_c22_red_without_long_wave_cones():
    # coloraide tests/test_cvd.py: 108.79, 95.027, -12.596 of 255, not clipped.
    seen = 255 * colour.srgb_as_seen([1, 0, 0], colour.Deficiency.PROTAN)
    np.testing.assert_allclose(seen, [108.79, 95.027, -12.596], atol=0.02)

"""Tilt, keystone and lens shift."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import projection

TABLE = Path(__file__).parents[2] / "reference" / "lens_shift.csv"
with TABLE.open(encoding="utf-8", newline="") as file:
    SHIFTS = [
        (float(row["up_percent"]) / 100, float(row["side_percent"]) / 100)
        for row in csv.DictReader(file)
    ]


def test_n48_tilt_and_keystone():
    # N48: lens 1.0 m up, 7.0 m off, foot 0 to top 6.0 m. atan(5/7) = 35.54°, atan(-1/7) = -8.13°;
    # half their sum 13.70°, half their difference 21.83°; cos(-8.13°) / cos(35.54°) = 1.217.
    image = projection.tilt_to_cover(1.0, 0.0, 6.0, 7.0)
    assert math.degrees(image.tilt) == pytest.approx(13.7, abs=0.05)
    assert 100 * (image.keystone - 1) == pytest.approx(21.7, abs=0.05)


def test_n48_raising_the_lens_to_the_middle_makes_it_square():
    # N48: 3.0 m is the middle of 0 to 6.0 m.
    assert projection.square_level(0.0, 6.0) == 3.0
    image = projection.tilt_to_cover(3.0, 0.0, 6.0, 7.0)
    assert image.tilt == 0.0
    assert image.keystone == pytest.approx(1.0, abs=1e-12)


@given(
    st.floats(-2, 8),
    st.floats(-2, 3),
    st.floats(0.5, 6),
    st.floats(2, 30),
)
def test_law_keystone_is_the_ratio_of_ray_lengths(lens, foot, height, distance):
    # Known by construction, worked another way: a row's width on the wall goes as the depth of
    # its points along the optical axis, x·cos(tilt) + z·sin(tilt).
    image = projection.tilt_to_cover(lens, foot, foot + height, distance)

    def depth(level):
        return distance * math.cos(image.tilt) + (level - lens) * math.sin(image.tilt)

    assert image.keystone == pytest.approx(depth(foot + height) / depth(foot), rel=1e-9)


def test_a_ray_past_the_upright_is_refused():
    with pytest.raises(ValueError, match="meet the wall"):
        projection.keystone(math.radians(60), math.radians(31))


def test_a_top_below_the_foot_is_refused():
    with pytest.raises(ValueError, match="foot lies below"):
        projection.tilt_to_cover(1.0, 2.0, 2.0, 7.0)


def test_a_tilt_needs_a_distance():
    with pytest.raises(ValueError, match="distance"):
        projection.tilt_to_cover(1.0, 0.0, 2.0, 0.0)


def test_g7_lens_shift_by_the_manuals_table():
    # A projector's manual, 4:3 table (tests/reference/lens_shift.csv).
    for up, side in SHIFTS:
        found = projection.side_shift_left(up, 0.5, 0.31968, SHIFTS)
        assert found == pytest.approx(side, abs=1e-5)
        assert projection.side_shift_left(-up, 0.5, 0.31968, SHIFTS) == found
    # Half way between two rows of the table, worked by hand: (31.968 + 20.434) / 2 = 26.201 %.
    assert projection.side_shift_left(0.125, 0.5, 0.31968, SHIFTS) == pytest.approx(0.26201)


def test_g7_without_a_table_never_more_than_the_manual_allows():
    # Same table: the straight line between the two greatest shifts stays inside it.
    for up in np.linspace(0, 0.5, 51):
        table = projection.side_shift_left(float(up), 0.5, 0.31968, SHIFTS)
        line = projection.side_shift_left(float(up), 0.5, 0.31968)
        assert line <= table + 1e-12
    assert projection.side_shift_left(0.5, 0.5, 0.31968) == 0.0
    assert projection.side_shift_left(0.0, 0.5, 0.31968) == 0.31968


def test_a_lens_that_shifts_only_sideways():
    assert projection.side_shift_left(0.0, 0.0, 0.1) == 0.1


def test_more_shift_than_the_sheet_gives_is_refused():
    with pytest.raises(ValueError, match=r"at most 0\.5"):
        projection.side_shift_left(0.51, 0.5, 0.3)

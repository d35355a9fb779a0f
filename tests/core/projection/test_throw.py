"""Throw, image size, and the number and centres of set-ups."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import projection
from giornata.core.foundation import Severity

MM = 1e-3
INCH = 0.0254
FOOT = 0.3048


def _projector(**changes):
    sheet = {
        "name": "Hire projector",
        "columns": 1920,
        "rows": 1200,
        "throw_min": 1.4,
        "throw_max": 1.4,
        "lumens": 3500.0,
        "mode": "eco",
        "modes": {"full": 1.0, "eco": 0.8},
    }
    return projection.Projector(**(sheet | changes))


@pytest.mark.parametrize(
    ("ratio", "width", "distance"),
    [
        # Projector glossary pages: distance = width × ratio.
        (1.2, 10 * FOOT, 12 * FOOT),
        (1.2, 100 * INCH, 120 * INCH),
        (2.0, 60 * INCH, 120 * INCH),
    ],
)
def test_g5_throw(ratio, width, distance):
    assert projection.throw_distance(width, ratio) == pytest.approx(distance, rel=1e-12)
    assert projection.image_width(distance, ratio) == pytest.approx(width, rel=1e-12)
    assert projection.throw_ratio(distance, width) == pytest.approx(ratio, rel=1e-12)


def test_n45_image_from_seven_metres():
    # N45: 7.0 / 1.4 = 5.00 m wide, × 1200/1920 = 3.125 m tall, 5000 mm / 1920 = 2.6 mm a pixel.
    image = projection.image_size(_projector(), 7.0, 1.4, projection.Orientation.LEVEL)
    assert image.width == pytest.approx(5.0, abs=0.1 * MM)
    assert image.height == pytest.approx(3.125, abs=0.1 * MM)
    assert image.pitch == pytest.approx(2.604 * MM, abs=0.001 * MM)
    assert projection.pixel_pitch(7.0, 1.4, 1920) == image.pitch


def test_n45_number_and_centres():
    # N45: ceil((61.2 - 5) / 4.5) + 1 = 14; step 56.2 / 13 = 4.323 m; overlap 5 - 4.323 = 0.677 m.
    count = projection.set_up_count(61.2, 5.0, 0.5)
    centres = projection.set_up_centres(61.2, 5.0, count)
    assert count == 14
    assert centres[0] == pytest.approx(2.50, abs=1 * MM)
    np.testing.assert_allclose(np.diff(centres), 4.323, atol=0.5 * MM)
    assert 5.0 - np.diff(centres)[0] == pytest.approx(0.677, abs=0.5 * MM)
    assert centres[-1] == pytest.approx(61.2 - 2.5, abs=1 * MM)


def test_n46_number_by_row_and_on_its_side():
    # N46: 4.2 / 1.4 = 3.00 m, 1.875 m tall; ceil((61.2 - 3) / 2.7) + 1 = 23 in a row, 46 in two;
    # on its side ceil((61.2 - 1.875) / 1.575) + 1 = 39.
    level = projection.image_size(_projector(), 4.2, 1.4, projection.Orientation.LEVEL)
    side = projection.image_size(_projector(), 4.2, 1.4, projection.Orientation.ON_SIDE)
    assert (level.width, level.height) == pytest.approx((3.0, 1.875))
    assert (side.width, side.height) == pytest.approx((1.875, 3.0))
    assert (side.columns, side.rows) == (1200, 1920)
    assert projection.set_up_count(2.9, level.height, 0.3) == 2
    assert 2 * projection.set_up_count(61.2, level.width, 0.3) == 46
    assert projection.set_up_count(61.2, side.width, 0.3) == 39


@given(st.floats(0.5, 500), st.floats(0.5, 20), st.floats(0, 0.9))
def test_law_images_cover_the_wall_with_the_least_overlap(length, width, share):
    overlap = share * width
    count = projection.set_up_count(length, width, overlap)
    centres = projection.set_up_centres(length, width, count)
    assert len(centres) == count
    if count == 1:
        assert width >= length - 1e-6
        return
    assert centres[0] - width / 2 == pytest.approx(0, abs=1e-9)
    assert centres[-1] + width / 2 == pytest.approx(length, abs=1e-9 * length)
    assert width - np.diff(centres).max() >= overlap - 1e-6
    # One image fewer would not do.
    fewer = count - 1
    assert fewer * width - (fewer - 1) * overlap < length + 1e-6


def test_an_image_as_wide_as_the_wall_is_alone_and_centred():
    assert projection.set_up_count(5.0, 5.0, 0.5) == 1
    assert projection.set_up_centres(4.0, 5.0, 1).tolist() == [2.0]


def test_too_few_images_are_refused():
    with pytest.raises(ValueError, match="do not cover"):
        projection.set_up_centres(61.2, 5.0, 12)


def test_an_overlap_as_wide_as_the_image_is_refused():
    with pytest.raises(ValueError, match="below the image width"):
        projection.set_up_count(61.2, 5.0, 5.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_a_distance_is_above_0(bad):
    with pytest.raises(ValueError, match="distance is above 0"):
        projection.image_width(bad, 1.4)


def test_finding_no_throw_ratio_fits():
    # Worked by hand: 8.0 m from 7.0 m is a ratio of 0.875; 8 × 1.4 = 11.2 m, 8 × 2.2 = 17.6 m.
    zoom = _projector(throw_max=2.2)
    finding = projection.throw_finding(zoom, 7.0, 8.0)
    assert (finding.code, finding.severity) == ("projection.no_throw", Severity.STOP)
    assert "0.88" in finding.message
    assert "between 11.20 and 17.60 m" in finding.remedy
    fixed = projection.throw_finding(_projector(), 7.0, 8.0)
    assert "at 11.20 m" in fixed.remedy


def test_a_width_within_the_zoom_has_no_finding():
    # 7.0 / 1.4 = 5.00 m and 7.0 / 2.2 = 3.18 m are the ends of the range.
    zoom = _projector(throw_max=2.2)
    assert projection.throw_finding(zoom, 7.0, 5.0) is None
    assert projection.throw_finding(zoom, 7.0, 7.0 / 2.2) is None


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"columns": 0}, "pixel"),
        ({"throw_min": 0.0}, "throw ratio"),
        ({"throw_min": 2.0}, "throw ratio"),
        ({"throw_max": float("nan")}, "throw ratio"),
        ({"lumens": 0.0}, "light output"),
        ({"mode": "bright"}, "not among"),
        ({"modes": {"eco": 1.2}}, "share of light"),
        ({"zoom_loss": 1.0}, "zooming"),
        ({"shift_up": -0.1}, "lens shift"),
    ],
)
def test_a_sheet_out_of_range_is_refused(changes, what):
    with pytest.raises(ValueError, match=what):
        _projector(**changes)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"distance": 0.0}, "in front"),
        ({"distance": float("nan")}, "in front"),
        ({"overlap": -0.1}, "overlap"),
        ({"contrast": 0.0}, "contrast"),
    ],
)
def test_a_stand_out_of_range_is_refused(changes, what):
    stand = {"distance": 7.0, "height": 1.3} | changes
    with pytest.raises(ValueError, match=what):
        projection.Stand(**stand)

"""Luminance, contrast ratio and light reflectance."""

import csv
import math
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import colour

TABLE = Path(__file__).parents[2] / "reference" / "wcag_contrast.csv"
with TABLE.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))


def _ratio(one, two):
    return float(colour.contrast_ratio(colour.srgb_from_hex(one), colour.srgb_from_hex(two)))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["colour_1"] + row["colour_2"])
def test_c13_published_contrast_pairs(row):
    # WCAG 2.2 definition, Understanding 1.4.11, techniques G183 and G207. The pages truncate,
    # but for #FFF000 on white, whose 1.185 is printed 1.2.
    ratio = _ratio(row["colour_1"], row["colour_2"])
    published = row["published"]
    printed = re.match(r"(\d+)(\.\d+)?:1", published)
    if printed:
        digits = len(printed[2]) - 1 if printed[2] else 0
        steps = ratio * 10**digits + 1e-9  # 21:1 is exact and may fall a rounding bit short
        whole = math.floor(steps + 0.5) if row["colour_1"] == "#FFF000" else math.floor(steps)
        assert whole == round(float(printed[1] + (printed[2] or "")) * 10**digits)
    elif published.startswith("<"):
        assert ratio < float(re.search(r"[\d.]+", published)[0])
    else:
        assert ratio >= 3.0
    # Second opinion: the published formula, by another's code (column of the table).
    assert ratio == pytest.approx(float(row["computed_formula_0.04045"]), abs=1e-4)


def test_c14_white_on_blue():
    # coloraide 8.13.1: 8.59.
    assert _ratio("#fff", "#00f") == pytest.approx(8.59301, abs=0.002)


def test_c15_a_near_miss_is_not_rounded_up():
    # WCAG 2.2 Understanding 1.4.3: #777777 on white is 4.478 and fails 4.5.
    ratio = _ratio("#777777", "#ffffff")
    assert ratio == pytest.approx(4.478, abs=1e-3)
    assert ratio < 4.5


def test_c12_the_old_threshold_changes_no_8_bit_value():
    # WCAG 2.2: 0.03928 until May 2021, 0.04045 since; no step of 255 lies between.
    steps = np.arange(256) / 255
    assert not ((steps > 0.03928) & (steps <= 0.04045)).any()
    grey = np.repeat(steps[:, None], 3, axis=1)
    old = np.where(steps <= 0.03928, steps / 12.92, ((steps + 0.055) / 1.055) ** 2.4)
    np.testing.assert_array_equal(colour.linear_from_srgb(grey)[:, 0], old)


def test_light_reflectance_of_black_and_white():
    # Known by construction: 0 and 100 points.
    assert float(colour.light_reflectance([0.0, 0.0, 0.0])) == 0.0
    assert float(colour.light_reflectance([1.0, 1.0, 1.0])) == pytest.approx(100.0)


def test_n19_contrast_in_points_of_light_reflectance():
    # N19: 62 and 9 differ by 53 and pass 30; 34 and 21 differ by 13 and fail; the figure must
    # drop to 34 - 30 = 4 or the ground rise to 21 + 30 = 51.
    good = colour.reflectance_contrast(62, 9)
    assert (good.difference, good.limit, good.passes) == (53.0, 30.0, True)
    bad = colour.reflectance_contrast(34, 21)
    assert (bad.difference, bad.passes) == (13.0, False)
    assert (bad.darker_needed, bad.lighter_needed) == (4.0, 51.0)


def test_n19_the_darker_may_be_given_first():
    assert colour.reflectance_contrast(9, 62) == colour.reflectance_contrast(62, 9)


def test_n20_large_areas_have_the_lower_limit():
    # N20: 20 points for large areas that touch; 34 and 13 differ by 21.
    limit = colour.LARGE_AREA_POINTS.value
    assert colour.reflectance_contrast(34, 13, limit).passes
    assert not colour.reflectance_contrast(34, 15, limit).passes


def test_a_drop_below_black_is_not_offered():
    # Worked by hand: 20 - 30 < 0; 15 + 30 = 45.
    contrast = colour.reflectance_contrast(20, 15)
    assert contrast.darker_needed is None
    assert contrast.lighter_needed == 45.0


def test_a_rise_above_white_is_not_offered():
    # Worked by hand: 80 + 30 > 100; 90 - 30 = 60.
    contrast = colour.reflectance_contrast(90, 80)
    assert contrast.lighter_needed is None
    assert contrast.darker_needed == 60.0


@given(st.floats(0, 70))
def test_law_a_difference_of_exactly_the_limit_passes(darker):
    assert colour.reflectance_contrast(darker + 30, darker).passes


@pytest.mark.parametrize(("one", "two"), [(-1, 20), (20, 101), (float("nan"), 20)])
def test_reflectance_outside_0_to_100_is_refused(one, two):
    with pytest.raises(ValueError, match="between 0 and 100"):
        colour.reflectance_contrast(one, two)


def test_a_limit_of_nothing_is_refused():
    with pytest.raises(ValueError, match="limit"):
        colour.reflectance_contrast(10, 20, 0)

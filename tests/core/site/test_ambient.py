"""Ambient light on stretches of wall."""

import numpy as np
import pytest

from giornata.core import site


def test_c3_ambient_by_stretch():
    # C3: 12 lx at bays 1 to 6, 35 lx under the lamp at bays 7 and 8 (bays of 5 m here).
    lamps = [(30.0, 40.0, 35.0)]
    light = site.ambient_over([0.0, 24.0, 28.0, 35.0], [6.4, 30.0, 34.0, 40.0], 12.0, lamps)
    assert light.tolist() == [12.0, 12.0, 35.0, 35.0]


def test_the_brighter_lamp_counts_where_two_overlap():
    # Known by construction.
    lamps = [(0.0, 10.0, 20.0), (5.0, 8.0, 9.0), (9.0, 20.0, 50.0)]
    assert float(site.ambient_over(5.0, 8.0, 4.0, lamps)) == 20.0
    assert float(site.ambient_over(0.0, 20.0, 4.0, lamps)) == 50.0


def test_a_lamp_dimmer_than_the_background_takes_nothing_away():
    assert float(site.ambient_over(0.0, 5.0, 10.0, [(0.0, 5.0, 3.0)])) == 10.0


def test_law_a_longer_stretch_is_never_darker():
    lamps = [(3.0, 4.0, 15.0), (8.0, 9.0, 30.0)]
    ends = np.linspace(0.5, 12.0, 200)
    light = site.ambient_over(0.0, ends, 2.0, lamps)
    assert (np.diff(light) >= 0).all()


def test_a_stretch_that_ends_before_it_starts_is_refused():
    with pytest.raises(ValueError, match="stretch of wall"):
        site.ambient_over(5.0, 5.0, 2.0)


def test_a_lamp_that_ends_before_it_starts_is_refused():
    with pytest.raises(ValueError, match="lamp's stretch"):
        site.ambient_over(0.0, 5.0, 2.0, [(4.0, 3.0, 10.0)])


def test_a_light_below_0_is_refused():
    with pytest.raises(ValueError, match="0 lx or more"):
        site.ambient_over(0.0, 5.0, 2.0, [(1.0, 3.0, -1.0)])


def test_a_background_below_0_is_refused():
    with pytest.raises(ValueError, match="0 lx or more"):
        site.ambient_over(0.0, 5.0, -2.0)

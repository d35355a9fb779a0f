"""Laws of darkness and of the nights, on places and dates made up."""

from __future__ import annotations

import math
from datetime import UTC, date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core import site, works
from giornata.core.foundation import given as given_figure

PLACES = st.builds(
    lambda north, east, limit: site.NightPlace(
        latitude=math.radians(north), longitude=math.radians(east), zone=UTC, limit=limit
    ),
    st.floats(-66, 66),
    st.floats(-179, 179),
    st.floats(0.5, 100.0),
)
DAYS = st.dates(date(2020, 1, 1), date(2035, 12, 31))


@settings(max_examples=25)
@given(PLACES, DAYS)
def test_darkness_lies_between_sunset_and_sunrise_and_the_twilights_in_order(place, day):
    night = place.night(day)
    assert night.sunset is not None
    assert night.sunrise is not None
    for start, end in night.dark:
        assert night.sunset <= start < end <= night.sunrise
    evening = [night.sunset, night.civil[0], night.nautical[0], night.astronomical[0]]
    morning = [night.astronomical[1], night.nautical[1], night.civil[1], night.sunrise]
    down = [one for one in evening if one is not None]
    up = [one for one in morning if one is not None]
    assert down == sorted(down)
    assert up == sorted(up)
    assert len(down) == len(up)
    assert down[-1] <= night.darkest <= up[0]


@settings(max_examples=15)
@given(PLACES, DAYS, st.floats(1.01, 3.0))
def test_more_light_allowed_is_never_less_darkness(place, day, times):
    brighter = site.NightPlace(
        latitude=place.latitude, longitude=place.longitude, zone=UTC, limit=place.limit * times
    )
    first = sum((end - start for start, end in place.night(day).dark), timedelta())
    second = sum((end - start for start, end in brighter.night(day).dark), timedelta())
    assert second >= first - timedelta(seconds=2)


@settings(max_examples=15)
@given(PLACES, DAYS, st.floats(-20, 20))
def test_a_place_on_the_same_parallel_has_a_night_as_long(place, day, turn):
    """A place along the same parallel has a night as long, but for the sun's way in a day."""
    east = math.remainder(place.longitude + math.radians(turn), 2 * math.pi)
    other = site.NightPlace(latitude=place.latitude, longitude=east, zone=UTC, limit=50.0)
    here = site.NightPlace(latitude=place.latitude, longitude=place.longitude, zone=UTC, limit=50.0)
    # The sun's declination moves up to 0.4 degrees in a day: at 66 degrees north some 15 min.
    assert here.night(day).length == pytest.approx(other.night(day).length, abs=20 * 60)


@settings(max_examples=40)
@given(
    st.lists(st.floats(0.1, 300.0), min_size=1, max_size=12),
    st.floats(1.0, 8.0),
    st.randoms(use_true_random=False),
)
def test_every_set_up_is_worked_once_and_no_night_is_overfull(edges, hours, chance):
    order = list(range(1, len(edges) + 1))
    chance.shuffle(order)
    terms = works.NightTerms(hours=hours * 3600)
    figures = [given_figure("edge", one, "m", source="made") for one in edges]
    plan, _ = works.night_plan(figures, terms, runs=[order])
    assert [number for group in plan.nights for number in group] == order
    for one in plan.planned:
        assert one.used <= one.limit + 1e-6 or len(one.set_ups) == 1
    assert sum(one.used for one in plan.planned) == pytest.approx(float(plan.duration))
    assert plan.planned[-1].left == ()

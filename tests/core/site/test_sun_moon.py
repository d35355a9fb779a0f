"""Sun and moon over a place, against published tables and a reference library."""

from __future__ import annotations

import csv
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from giornata.core import site

REFERENCE = Path(__file__).parents[2] / "reference"


def _rows(name: str) -> list[dict[str, str]]:
    lines = (REFERENCE / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def _at(text: str) -> float:
    return site.julian_day(datetime.fromisoformat(text))


def _off(first: float, second: float) -> float:
    return abs((first - second + 180.0) % 360.0 - 180.0)


def test_the_sun_stands_where_the_solar_position_algorithm_says() -> None:
    # NREL SPA positions (sun_positions_spa.csv). Its zenith is refracted: only suns under the
    # horizon, where it refracts nothing, are compared in height. Meeus's formula: 0.01 degrees.
    rows = _rows("sun_positions_spa.csv")
    assert len(rows) == 128
    for row in rows:
        place = np.radians([float(row["lat"]), float(row["lon"])])
        altitude, azimuth = site.sun_seen(_at(row["time_utc"]), *place)
        zenith = float(row["zenith_refracted_deg"])
        round_it = _off(float(np.degrees(azimuth)), float(row["azimuth_deg"]))
        assert round_it * np.sin(np.radians(zenith)) < 0.01
        if zenith > 95:
            assert 90 - np.degrees(altitude) == pytest.approx(zenith, abs=0.01)


def test_the_moon_stands_where_a_reference_library_says() -> None:
    # PyEphem 4.2.1 (moon_ephem.csv); the larger terms alone are good to 0.05 degrees.
    rows = _rows("moon_ephem.csv")
    assert len(rows) == 24
    for row in rows:
        place = np.radians([float(row["latitude_deg"]), float(row["longitude_deg"])])
        moon = site.moon_seen(_at(row["time_utc"]), *place)
        assert np.degrees(moon.altitude) == pytest.approx(float(row["altitude_deg"]), abs=0.05)
        round_it = _off(float(np.degrees(moon.azimuth)), float(row["azimuth_deg"]))
        assert round_it * float(np.cos(moon.altitude)) < 0.05
        assert moon.lit == pytest.approx(float(row["lit_share"]), abs=0.002)


def test_a_moon_of_the_textbook() -> None:
    # Meeus (1998), examples 47.a and 48.a: 1992 April 12, 0 h; 368,409.7 km, 0.6786 lit.
    moon = site.moon_seen(_at("1992-04-12T00:00:00Z"), 0.0, 0.0)
    assert float(moon.distance) * 385000.56 == pytest.approx(368409.7, rel=3e-4)
    assert float(moon.lit) == pytest.approx(0.6786, abs=0.001)


def test_a_moment_and_its_day() -> None:
    # Meeus (1998), example 7.a: 1957 October 4.81 is 2436116.31.
    at = datetime(1957, 10, 4, 19, 26, 24, tzinfo=UTC)
    assert site.julian_day(at) == pytest.approx(2436116.31, abs=1e-6)
    assert site.moment(site.julian_day(at)) == at
    with pytest.raises(ValueError, match="has a zone"):
        site.julian_day(datetime(2027, 5, 17))  # noqa: DTZ001


def test_light_of_the_dusk_and_of_the_full_moon() -> None:
    # twilight.csv: polynomials of the Explanatory Supplement at each altitude, to 2 %.
    rows = _rows("twilight.csv")
    full = [row for row in rows if row["sun_altitude_deg"].startswith("full Moon")]
    for row in rows:
        if row in full:
            up = np.radians(float(row["sun_altitude_deg"].rsplit(" ", 1)[1]))
            light = float(site.moonlight(up, 0.0))
        else:
            light = float(site.skylight(np.radians(float(row["sun_altitude_deg"]))))
        assert light == pytest.approx(float(row["E_lx_polynomial"]), rel=0.02)
    assert (len(rows), len(full)) == (31, 7)


def test_published_light_at_the_ends_of_twilight() -> None:
    # AMS Glossary of Meteorology: 3.5 to 2 lx, 0.008 lx and 6e-4 lx at 6, 12 and 18 degrees.
    six, twelve, eighteen, deep = site.skylight(np.radians([-6.0, -12.0, -18.0, -40.0]))
    assert 2.0 <= six <= 3.5
    assert twelve == pytest.approx(0.008, rel=0.02)
    assert eighteen == pytest.approx(6e-4, rel=0.1)
    assert deep == eighteen


def test_a_half_moon_gives_a_tenth() -> None:
    # Common knowledge of observers, in Meeus (1998) and Allen's Astrophysical Quantities: the
    # moon at quarter gives about 1/10 to 1/12 of the full moon, though half its disc is lit.
    full, half = site.moonlight(np.radians(45.0), np.radians([0.0, 90.0]))
    assert 1 / 13 < half / full < 1 / 8
    assert float(site.moonlight(np.radians(-2.0), 0.0)) == 0.0


def test_moonlight_on_an_upright_wall() -> None:
    # A beam at 30 degrees gives level ground its half, a wall facing it cos 30: 1.732 times as
    # much; a wall turned by 60 degrees half of that; one that looks away nothing.
    up, towards = np.radians(30.0), np.radians(180.0)
    on_wall = [
        float(site.moonlight_on_wall(0.1, up, towards, facing))
        for facing in (np.radians(180.0), np.radians(120.0), 0.0, None)
    ]
    assert on_wall == pytest.approx([0.1732, 0.0866, 0.0, 0.1732], abs=1e-4)


def test_the_sky_is_inverted() -> None:
    for light in (0.001, 0.05, 5.0, 100.0):
        assert float(site.skylight(site.sun_depth(light))) == pytest.approx(light, rel=1e-3)
    assert site.sun_depth(1e-6) == pytest.approx(np.radians(-18.0))

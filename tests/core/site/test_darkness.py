"""Darkness: rise, set and twilights against published tables; nights without darkness."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from giornata.core import site
from giornata.core.foundation import Severity

REFERENCE = Path(__file__).parents[2] / "reference"
MINUTE = 60.0
LONDON = ZoneInfo("Europe/London")
EDINBURGH = (np.radians(55.95), np.radians(-3.19))


def _rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((REFERENCE / name).read_text(encoding="utf-8").splitlines()))


def _night(row: dict[str, str], day: date) -> site.Night:
    lat, lon = float(row["lat"]), float(row["lon"])
    zone = timezone(timedelta(hours=round(lon / 15)))
    return site.night_of_date(day, zone, float(np.radians(lat)), float(np.radians(lon)), 5.0)


def _events(row: dict[str, str], known: dict[tuple[str, date], site.Night]) -> Iterator[datetime]:
    """Each moment of a row's kind in the nights about its date."""
    day = date.fromisoformat(row["date_utc"])
    for evening in (day + timedelta(days=k) for k in (-2, -1, 0, 1)):
        key = (row["place"], evening)
        night = known.setdefault(key, _night(row, evening)) if key not in known else known[key]
        found = {
            ("sun", "rise"): night.sunrise,
            ("sun", "set"): night.sunset,
            ("civil", "dawn"): night.civil[1],
            ("civil", "dusk"): night.civil[0],
        }[row["kind"], row["event"]]
        if found is not None:
            yield found


def test_sunrise_sunset_and_civil_twilight_of_the_naval_observatory() -> None:
    # sun_usno.csv: tables to the minute at four places; so within a minute. An empty time: the
    # sun does not get that low on that date (Anchorage, 7 June to 4 July).
    known: dict[tuple[str, date], site.Night] = {}
    rows = _rows("sun_usno.csv")[::5]  # every fifth of 576
    without = 0
    for row in rows:
        if not row["usno_time_utc"]:
            without += 1
            day = date.fromisoformat(row["date_utc"])
            assert [one for one in _events(row, known) if one.date() == day] == []
            continue
        told = datetime.fromisoformat(f"{row['date_utc']}T{row['usno_time_utc']}:00+00:00")
        off = min(abs((one - told).total_seconds()) for one in _events(row, known))
        assert off <= MINUTE, row
    assert without > 0


def test_polar_day_and_polar_night() -> None:
    # sun_polar.csv: 72 days of the Naval Observatory at Longyearbyen and McMurdo.
    for row in _rows("sun_polar.csv"):
        day = date.fromisoformat(row["date"])
        before, after = _night(row, day - timedelta(days=1)), _night(row, day)
        if before.sunrise is not None or after.sunset is not None:
            kind = "NORMAL"
        else:
            kind = "ALL_NIGHT" if before.lowest < site.SUNSET else "ALL_DAY"
        assert kind == row["class"], row


def test_all_twilights_of_one_day() -> None:
    # 41.281944 N 84.362778 W, 8 November 2019: begin 10:42, 11:15, 11:48, 12:17 UTC and end
    # 22:25, 22:54, 23:27, 23:59 (Naval Observatory, as kept in the tests of skyfield).
    place = np.radians([41.281944, -84.362778])
    zone = ZoneInfo("America/New_York")
    morning = site.night_of_date(date(2019, 11, 7), zone, *place, 5.0)
    evening = site.night_of_date(date(2019, 11, 8), zone, *place, 5.0)
    found = [
        morning.astronomical[1], morning.nautical[1], morning.civil[1], morning.sunrise,
        evening.sunset, evening.civil[0], evening.nautical[0], evening.astronomical[0],
    ]  # fmt: skip
    told = ["10:42", "11:15", "11:48", "12:17", "22:25", "22:54", "23:27", "23:59"]
    for one, text in zip(found, told, strict=True):
        assert one is not None
        wanted = datetime.fromisoformat(f"2019-11-08T{text}:00+00:00")
        assert abs((one - wanted).total_seconds()) <= MINUTE


def test_a_midsummer_night_in_the_north() -> None:
    # Edinburgh, 21 June 2024: 04:26 to 22:03 by the clock, civil 03:24 and 23:05, no nautical
    # and no astronomical night (computed with skyfield, as the check table says).
    night = site.night_of_date(date(2024, 6, 21), LONDON, *EDINBURGH, 5.0)
    assert night.sunset is not None
    assert night.civil[0] is not None
    assert abs(_clock(night.sunset) - (22 * 60 + 3)) <= 1
    assert abs(_clock(night.civil[0]) - (23 * 60 + 5)) <= 1
    assert night.nautical == (None, None)
    assert night.astronomical == (None, None)
    # 5 lx is the sky with the sun about 5.6 degrees down: a little before civil dusk.
    (span,) = night.dark
    assert span[0] < night.civil[0] < span[1]
    assert night.length < 5 * 3600


def _clock(at: datetime) -> float:
    local = at.astimezone(LONDON)
    return local.hour * 60 + local.minute + local.second / 60


def _place(latitude: float, limit: float) -> site.NightPlace:
    return site.NightPlace(
        latitude=float(np.radians(latitude)),
        longitude=float(np.radians(18.96)),
        zone=ZoneInfo("Europe/Oslo"),
        limit=limit,
    )


def test_c1_a_night_without_darkness_is_a_finding_with_the_next_date() -> None:
    # Tromsø, 69.65 N: midnight sun from 18 May to 26 July (common knowledge, in its almanacs).
    place = _place(69.65, 5.0)
    night = place.night(date(2027, 6, 21))
    assert (night.sunset, night.dark, night.length) == (None, (), 0.0)
    assert night.lowest > 0
    (found,) = site.darkness_findings(place, [night], 5.5 * 3600)
    assert (found.code, found.severity) == ("site.no_darkness", Severity.WARN)
    assert "above the horizon" in found.message
    before, after = site.nearest_dark(place, date(2027, 6, 21))
    assert before is not None
    assert after is not None
    assert place.night(before).dark
    assert place.night(after).dark
    assert not place.night(before + timedelta(days=8)).dark
    assert "August 2027" in found.remedy


def test_a_polar_night_is_dark_all_day_but_for_noon() -> None:
    # 69.65 N on 21 December: the sun stays 3 degrees under the horizon at noon (90 - 69.65 -
    # 23.44 = -3.1), which still gives some 70 lx, so 5 lx are passed twice.
    night = _place(69.65, 5.0).night(date(2027, 12, 21))
    assert night.sunset is None
    assert np.degrees(night.highest) == pytest.approx(-3.1, abs=0.05)
    (span,) = night.dark
    assert 17 * 3600 < night.length < 21 * 3600
    assert span[0] < night.darkest < span[1]


def test_a_short_night_and_a_bright_moon_are_findings() -> None:
    # Full moon on 22 June 2024, 01:08 UTC (Naval Observatory, phases of the moon).
    place = site.NightPlace(
        latitude=EDINBURGH[0], longitude=EDINBURGH[1], zone=LONDON, limit=0.2, facing=None
    )
    night = place.night(date(2024, 6, 21))
    assert night.moon_lit > 0.99
    codes = [one.code for one in site.darkness_findings(place, [night], 5.5 * 3600)]
    assert codes == ["site.short_darkness", "site.moonlight"]


def test_short_nights_are_one_finding() -> None:
    place = site.NightPlace(latitude=EDINBURGH[0], longitude=EDINBURGH[1], zone=LONDON, limit=1.0)
    nights = [place.night(date(2027, 6, day)) for day in (10, 21, 30)]
    (found,) = site.darkness_findings(place, nights, 8 * 3600)
    assert found.code == "site.short_darkness"
    assert found.subject == "3 nights, 10 June 2027 to 30 June 2027"
    assert "on the shortest, 21 June 2027" in found.message


def test_the_moon_rises_and_sets_when_a_reference_library_says() -> None:
    # PyEphem 4.2.1 (moon_ephem.csv): next rise and set after a moment, with 34' of refraction.
    lines = (REFERENCE / "moon_ephem.csv").read_text(encoding="utf-8").splitlines()
    compared = 0
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        place = np.radians([float(row["latitude_deg"]), float(row["longitude_deg"])])
        zone = timezone(timedelta(hours=round(float(row["longitude_deg"]) / 15)))
        for column in ("next_rise_utc", "next_set_utc"):
            if not row[column]:
                continue
            told = datetime.fromisoformat(row[column])
            evening = (told.astimezone(zone) - timedelta(hours=12)).date()
            night = site.night_of_date(evening, zone, *map(float, place), 5.0)
            found = night.moonrise if column == "next_rise_utc" else night.moonset
            if found is None or abs(found - told) > timedelta(hours=12):
                continue  # it falls at the very noon that parts two nights
            compared += 1
            assert abs((found - told).total_seconds()) <= MINUTE, row
    assert compared > 30


def test_darkness_left_by_the_clock() -> None:
    night = site.night_of_date(date(2027, 5, 17), LONDON, *EDINBURGH, 5.0)
    start, end = night.dark[0]
    assert site.darkness_left([night], start) == pytest.approx(night.length)
    assert site.darkness_left([night], end - timedelta(minutes=30)) == pytest.approx(1800.0)
    assert site.darkness_left([night], end) is None
    assert site.darkness_left([], start) is None
    with pytest.raises(ValueError, match="has a zone"):
        site.darkness_left([night], datetime(2027, 5, 17))  # noqa: DTZ001


def test_evenings_follow_one_another() -> None:
    place = site.NightPlace(latitude=EDINBURGH[0], longitude=EDINBURGH[1], zone=LONDON, limit=5.0)
    some = site.evenings(place, date(2027, 5, 17))
    assert [next(some).evening.day for _ in range(3)] == [17, 18, 19]
    listed = site.evenings(place, None, (date(2027, 5, 20), date(2027, 5, 18)))
    assert [night.evening.day for night in listed] == [18, 20]
    assert list(site.evenings(place, None)) == []
    # Midnight sun: it gives up after 40 evenings.
    assert len(list(site.evenings(_place(75.0, 5.0), date(2027, 6, 1)))) == 40


def test_a_place_is_on_the_globe() -> None:
    with pytest.raises(ValueError, match="on the globe"):
        _place(91.0, 5.0)
    with pytest.raises(ValueError, match="above 0"):
        _place(50.0, 0.0)
    with pytest.raises(ValueError, match="the light is above 0"):
        site.night_of_date(date(2027, 5, 17), LONDON, *EDINBURGH, 0.0)

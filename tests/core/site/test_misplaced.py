"""Latitude and longitude exchanged, against where the time zone database has its towns."""

from __future__ import annotations

import math
from zoneinfo import ZoneInfo

import pytest

from giornata.core.foundation import Severity
from giornata.core.job import Site
from giornata.core.site import misplaced
from giornata.desk import opening
from giornata.files.zone_places import zone_place


def found(latitude, longitude, zone):
    named_after = zone_place(zone)
    assert named_after is not None
    return misplaced(math.radians(latitude), math.radians(longitude), zone, named_after)


def test_zones_lie_where_the_time_zone_database_has_them():
    # zone.tab of the IANA database: GB +513030-0000731, US/New York +404251-0740023.
    london, new_york = zone_place("Europe/London"), zone_place("America/New_York")
    assert london == pytest.approx((math.radians(51.5083), math.radians(-0.1253)), abs=1e-5)
    assert new_york == pytest.approx((math.radians(40.7142), math.radians(-74.0064)), abs=1e-5)
    assert zone_place("UTC") is None  # named after no place


# Places to a tenth of a degree, from memory of any atlas.
FAR_APART = [
    (56.0, -2.6, "Europe/London"),
    (40.4, -3.7, "Europe/Madrid"),
    (41.9, 12.5, "Europe/Rome"),
    (60.2, 25.0, "Europe/Helsinki"),
]
NOT_TO_BE_TOLD = [
    (34.1, -118.2, "America/Los_Angeles"),  # a latitude of -118 is refused as such
    (39.5, 76.0, "Asia/Shanghai"),  # Kashgar, 36 degrees from Shanghai and on its clocks
    (38.5, 43.4, "Europe/Istanbul"),  # Van, in the country's far east
    (30.0, 31.2, "Africa/Cairo"),  # exchanged it lies a degree away
]


@pytest.mark.parametrize(("latitude", "longitude", "zone"), [*FAR_APART, *NOT_TO_BE_TOLD])
def test_n52_a_place_as_it_is_gives_no_warning(latitude, longitude, zone):
    assert found(latitude, longitude, zone) is None


@pytest.mark.parametrize(("latitude", "longitude", "zone"), FAR_APART)
def test_n52_an_exchanged_place_is_told(latitude, longitude, zone):
    told = found(longitude, latitude, zone)
    assert told is not None
    assert (told.code, told.severity) == ("site.misplaced", Severity.WARN)
    site = Site(
        latitude=math.radians(longitude), longitude=math.radians(latitude), zone=ZoneInfo(zone)
    )
    assert opening._place_findings(site) == (told,)  # and the job's findings have it


def test_an_exchanged_place_near_itself_or_off_the_globe_is_let_be():
    assert found(31.2, 30.0, "Africa/Cairo") is None
    assert found(-34.1, 118.2, "America/Los_Angeles") is None

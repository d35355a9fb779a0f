"""Dates and place of the nights in a whole job."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import numpy as np

from giornata.core.job import JobInputs, Site, derive
from giornata.core.works import NightTerms

TERMS = NightTerms(first=date(2027, 9, 20))


def test_n52_a_job_with_place_and_date_has_its_darkness(small_job: JobInputs) -> None:
    place = Site(latitude=float(np.radians(50.0)), longitude=0.0, zone=ZoneInfo("Europe/London"))
    results = derive(replace(small_job, site=place, nights=TERMS), memo={})
    assert results.design.nights is not None
    (night,) = results.design.nights.planned
    assert night.night is not None
    assert night.night.evening == date(2027, 9, 20)
    assert not any(one.code.startswith("site.") for one in results.findings)


def test_a_date_without_a_place_is_a_finding(small_job: JobInputs) -> None:
    results = derive(replace(small_job, nights=TERMS), memo={})
    (found,) = [one for one in results.findings if one.code == "site.no_place"]
    assert "latitude, longitude, zone" in found.message

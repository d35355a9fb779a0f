"""Dates and place of the nights in a whole job."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from giornata.core.job import JobInputs, Site, derive
from giornata.core.works import NightTerms, TransferStretch, TransferTerms, TransferWay

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


def test_n46_a_stretch_by_grid_leaves_the_nights(small_job: JobInputs) -> None:
    # The block and the dot lie from 4 to 6 m; squared up from 3 to 7 m, nothing is left to trace.
    plain = derive(small_job, memo={})
    assert plain.design.nights is not None
    stretch = TransferStretch(start=3.0, end=7.0, way=TransferWay.GRID)
    results = derive(replace(small_job, transfer=TransferTerms(stretches=(stretch,))), memo={})
    assert results.design.nights is None
    (one,) = results.design.transfers
    assert float(one.edge) == pytest.approx(8.0)  # 6 m of the block, 2 m of the dot
    # 10 m² in squares of 0.5 m: 40 m of line at 60 m/h; 8 m of edge at 15 m/h; two people.
    night = results.scheme.candidate.night_time
    assert night is not None
    assert float(night) / 3600 == pytest.approx(2 * (40 / 60 + 8 / 15))


def test_n46_a_part_by_pounce_shortens_the_nights(small_job: JobInputs) -> None:
    plain = derive(small_job, memo={})
    stretch = TransferStretch(start=3.0, end=5.0, way=TransferWay.POUNCE)
    results = derive(replace(small_job, transfer=TransferTerms(stretches=(stretch,))), memo={})
    assert results.design.nights is not None
    assert plain.design.nights is not None
    assert float(results.design.nights.duration) < float(plain.design.nights.duration)
    traced = sum(map(float, results.design.traced))
    # To the right of 5 m: 3 m of the block and 1 m of the dot.
    assert traced == pytest.approx(4.0)
    both = results.scheme.candidate.night_time
    assert both is not None
    assert float(both) == pytest.approx(
        float(results.design.nights.person_time) + 2 * float(results.design.transfers[0].time)
    )


def test_n46_the_drawing_closes_at_no_seam_of_a_stretch_by_grid(small_job: JobInputs) -> None:
    # Of the seams of the wall the one that is taken goes by grid; then another one is.
    plain = derive(small_job, memo={})
    assert plain.design.nights is not None
    before = plain.design.nights.closing
    assert before is not None
    rim = before.chainage
    stretch = TransferStretch(start=rim, end=rim + 1.0, way=TransferWay.GRID)
    results = derive(replace(small_job, transfer=TransferTerms(stretches=(stretch,))), memo={})
    assert results.design.nights is not None
    after = results.design.nights.closing
    assert after is not None
    assert after.column != before.column
    assert not stretch.start <= after.chainage <= stretch.end


def test_evenings_before_the_date_of_the_job_are_a_finding(small_job: JobInputs) -> None:
    day = small_job.title.date
    before, after = day.replace(year=day.year - 1), day.replace(year=day.year + 1)
    for nights, said in (
        (NightTerms(first=before), "1 evening lies"),
        (NightTerms(dates=(after, before)), "1 evening lies"),
        (NightTerms(first=day), None),
        (NightTerms(dates=(after,)), None),
    ):
        found = derive(replace(small_job, nights=nights), memo={}).findings
        past = [one for one in found if one.code == "works.nights_past"]
        assert len(past) == (said is not None)
        assert all(str(before.year) in one.message and said in one.message for one in past)

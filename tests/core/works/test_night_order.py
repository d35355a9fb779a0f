"""Order of the nights from both ends, darkness in the plan, and what is left when it ends."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
import shapely

from giornata.core import projection, site, works
from giornata.core.foundation import given
from giornata.core.geometry import Coverage
from giornata.core.projection import Projector, Seam, SetUp, Stand

HOUR = 3600.0
SHEET = Projector(
    name="sheet", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=3500.0,
    mode="eco", modes={"eco": 0.8},
)  # fmt: skip
LONDON = ZoneInfo("Europe/London")
N52 = works.NightTerms(set_up=12 * 60, tracing=90 / HOUR, hours=5.5 * HOUR)


def _set_ups(ambient: float = 0.0) -> tuple[SetUp, ...]:
    """N45's wall of 61.2 m."""
    stand = Stand(distance=7.0, height=1.45, overlap=0.5, ambient=ambient)
    made, _ = projection.plan_setups(61.2, [(0, 2.9), (61.2, 2.9)], [(0, 0.0)], [], SHEET, stand)
    return made.set_ups


def _coverage(*lines: list[tuple[float, float]]) -> Coverage:
    return Coverage(
        faces=np.array([shapely.box(0, 0, 61.2, 2.9)], dtype=object),
        labels=np.array([1]),
        edges=np.array([shapely.LineString(line) for line in lines], dtype=object),
        left=np.full(len(lines), 1),
        right=np.full(len(lines), 2),
    )


def _seams(*places: float) -> tuple[Seam, ...]:
    return tuple(Seam(column=k, chainage=at, crossed=()) for k, at in enumerate(places, start=1))


def _edges(count: int, length: float = 30.0):
    return [given(f"edge {k}", length, "m", source="N52") for k in range(1, count + 1)]


def test_c1_the_gap_closes_in_empty_ground() -> None:
    # Upright edges within 0.15 m of the first three seams, 2.9 m each; nothing at the fourth.
    seams = _seams(10.0, 20.0, 30.0, 40.0)
    lines = [[(at + 0.1, 0.0), (at + 0.1, 2.9)] for at in (10.0, 20.0, 30.0)]
    place = works.closing_place(_coverage(*lines), seams)
    assert place is not None
    assert (place.column, place.chainage, place.empty) == (4, 40.0, True)


def test_c1_a_seam_across_straight_edges_is_the_last_choice() -> None:
    straight = projection.StraightEdge(start=19.0, end=21.0, start_level=1.0, end_level=1.0)
    crossed = Seam(column=2, chainage=20.0, crossed=(straight,))
    first, _, last = _seams(10.0, 20.0, 30.0)
    # By hand: 0.3 m of level edge runs through the strip of the crossed seam; through the others
    # 2 x 2.9 m. Still one of the others is taken, the one with the shorter edge about it.
    lines = [[(19.0, 1.0), (21.0, 1.0)]]
    lines += [[(10.0 + dx, 0.0), (10.0 + dx, 2.9)] for dx in (-0.1, 0.1)]
    lines += [[(30.0, 0.0), (30.0, 2.9)]]
    place = works.closing_place(_coverage(*lines), (first, crossed, last))
    assert place is not None
    assert place.column == 3
    assert float(place.edge) == pytest.approx(2.9)


def test_seams_alike_close_in_the_middle() -> None:
    place = works.closing_place(_coverage([(0.0, 1.0), (0.1, 1.0)]), _seams(10, 20, 30, 40, 50))
    assert place is not None
    assert place.column == 3
    assert works.closing_place(_coverage([(0.0, 1.0), (0.1, 1.0)]), ()) is None


def test_c1_the_gap_does_not_close_where_nothing_is_projected() -> None:
    # The empty seam of the first test, at 40 m: inside a stretch that goes by grid, at its rim, and
    # at the rim of one from which it is 0.1 m away, less than the strip's 0.15 m. Of the other
    # three, which are alike, the middle one. 0.2 m away it closes there again.
    seams = _seams(10.0, 20.0, 30.0, 40.0)
    lines = [[(at + 0.1, 0.0), (at + 0.1, 2.9)] for at in (10.0, 20.0, 30.0)]
    for away in ((38.0, 42.0), (40.0, 44.0), (36.0, 40.0), (40.1, 44.0)):
        place = works.closing_place(_coverage(*lines), seams, [away])
        assert place is not None
        assert place.column == 2
    clear = works.closing_place(_coverage(*lines), seams, [(40.2, 44.0)])
    assert clear is not None
    assert clear.column == 4
    assert works.closing_place(_coverage(*lines), seams, [(0.0, 61.2)]) is None


def test_c1_work_runs_from_both_ends() -> None:
    set_ups = _set_ups()
    seams = projection.seams(_coverage([(60.0, 1.0), (60.1, 1.0)]), set_ups)
    place = works.closing_place(_coverage([(60.0, 1.0), (60.1, 1.0)]), seams)
    assert place is not None
    assert len(set_ups) == 14
    assert place.column == 7
    assert works.runs_from_ends(set_ups, place) == (
        (1, 2, 3, 4, 5, 6, 7), (14, 13, 12, 11, 10, 9, 8),
    )  # fmt: skip
    assert works.runs_from_ends(set_ups, None) == (tuple(range(1, 15)),)


def test_n52_what_is_left_when_dark_ends() -> None:
    # 14 set-ups of 0.533 h in the order from both ends; N52's night of 5.5 h holds 10, leaves 4.
    order = (1, 2, 3, 4, 5, 6, 7, 14, 13, 12, 11, 10, 9, 8)
    plan, findings = works.night_plan(_edges(14), N52, runs=[order])
    assert plan is not None
    assert plan.nights == (order[:10], order[10:])
    first, second = plan.planned
    assert first.left == (11, 10, 9, 8)
    assert first.left_time / HOUR == pytest.approx(4 * 0.5333, abs=0.001)
    assert (second.left, second.left_time) == ((), 0.0)
    assert plan.since(second) == pytest.approx([k * 1920.0 for k in range(4)])
    assert findings == ()


def test_n52_a_night_begins_at_the_end_that_saves_a_night() -> None:
    # By hand, nights of 5 h; left run 2 and 4 h, right run 3 and 3 h. Left first: 2 | 4 | 3 | 3,
    # four nights. Right first: 3 | 3 and, that run ended, 2 of the left one | 4: three.
    terms = works.NightTerms(set_up=0.0, tracing=1 / HOUR, hours=5 * HOUR)
    edges = [given("edge", hours, "m", source="made") for hours in (2.0, 4.0, 3.0, 3.0)]
    plan, _ = works.night_plan(edges, terms, runs=[(1, 2), (3, 4)])
    assert plan is not None
    assert plan.nights == ((3,), (4, 1), (2,))
    assert [len(one.left) for one in plan.planned] == [3, 1, 0]
    # Where it saves nothing the left run comes first, and no night changes the end.
    alike = [given("edge", 2.0, "m", source="made")] * 8
    plan, _ = works.night_plan(alike, terms, runs=[(1, 2, 3, 4), (8, 7, 6, 5)])
    assert plan is not None
    assert plan.nights == ((1, 2), (3, 4), (8, 7), (6, 5))


def _place(latitude: float, limit: float = 5.0) -> site.NightPlace:
    return site.NightPlace(
        latitude=float(np.radians(latitude)), longitude=0.0, zone=LONDON, limit=limit
    )


def test_n52_the_darkness_ends_a_night_before_the_hours_do() -> None:
    # 55.95 N on 21 June: under 5 h dark at 5 lx (see the darkness tests), so at 0.533 h each at
    # most 9 fit in place of 10; and never one that would end in the light.
    place = _place(55.95)
    evenings = site.evenings(place, date(2024, 6, 21))
    plan, _ = works.night_plan(_edges(14), N52, evenings=evenings)
    assert plan is not None
    first = plan.planned[0]
    assert first.night is not None
    assert first.limit == pytest.approx(first.night.length)
    assert len(first.set_ups) == int(first.night.length // 1920)
    assert len(first.set_ups) < 10
    assert first.used <= first.night.length
    assert first.begin is not None
    assert first.on_site == first.begin - timedelta(minutes=45)


def test_nights_without_darkness_are_passed_over() -> None:
    # 65 N: no dark night at 0.05 lx at midsummer; the plan waits for none that does not come, and
    # the set-ups stay undated with a finding.
    place = _place(65.0, 0.05)
    plan, (finding,) = works.night_plan(
        _edges(2), N52, evenings=[place.night(date(2027, 6, day)) for day in (20, 21)]
    )
    assert plan is not None
    assert finding.code == "works.nights_run_out"
    assert len(plan.passed_over) == 2
    assert [one.night for one in plan.planned] == [None]


def test_dates_that_do_not_hold_all_set_ups() -> None:
    place = _place(50.0)
    nights = [place.night(date(2027, 10, 4))]
    plan, (finding,) = works.night_plan(_edges(14), N52, evenings=nights)
    assert plan is not None
    assert [len(group) for group in plan.nights] == [10, 4]
    assert finding.code == "works.nights_run_out"
    assert "4 set-ups are left (11, 12, 13, 14), 2.1 h" in finding.message
    assert "Add 1 more" in finding.remedy


def test_the_sky_an_image_stands() -> None:
    # N47: 179 lx on N45's image (3,500 lm at 80 % on 15.6 m²); at 5:1 it stands 35.8 lx, of which
    # 10 lx are there already.
    figure = works.sky_limit(_set_ups(ambient=10.0), None)
    assert float(figure) == pytest.approx(179.2 / 5 - 10, abs=0.1)
    assert float(works.sky_limit(_set_ups(ambient=10.0), 3.0)) == 3.0
    # At 35.5 lx it passes with 0.3 lx to spare: the floor of 1 lx is taken.
    assert float(works.sky_limit(_set_ups(ambient=35.5), None)) == works.LEAST_SKY.value
    # At 100 lx none passes.
    assert float(works.sky_limit(_set_ups(ambient=100.0), None)) == works.LEAST_SKY.value


def test_n52_what_still_fits_before_light() -> None:
    # 0.533 h each; 1, 2 and 14 are done. 1.7 h hold three more of the order, not four (2.13 h).
    order = (1, 2, 3, 4, 5, 6, 7, 14, 13, 12, 11, 10, 9, 8)
    plan, _ = works.night_plan(_edges(14), N52, runs=[order])
    assert plan is not None
    fits, left = works.before_light(plan, {1, 2, 14}, 1.7 * HOUR)
    assert fits == (3, 4, 5)
    assert left == (6, 7, 13, 12, 11, 10, 9, 8)
    assert works.before_light(plan, set(order), HOUR) == ((), ())
    with pytest.raises(ValueError, match="0 s or more"):
        works.before_light(plan, (), -1.0)


def test_battery_left() -> None:
    # N53: 1 kWh feeds 385 W for 2.6 h; after an hour 1.6 h are left, after three none.
    assert works.battery_left(3.6e6, 385.0, HOUR) / HOUR == pytest.approx(1.597, abs=0.001)
    assert works.battery_left(3.6e6, 385.0, 3 * HOUR) == 0.0
    with pytest.raises(ValueError, match="0 s or more"):
        works.battery_left(3.6e6, 385.0, -1.0)


def test_terms_and_orders_in_range() -> None:
    day = date(2027, 5, 17)
    with pytest.raises(ValueError, match="not both"):
        works.NightTerms(first=day, dates=(day,))
    with pytest.raises(ValueError, match="listed twice"):
        works.NightTerms(dates=(day, day))
    with pytest.raises(ValueError, match="one projects is above 0"):
        works.NightTerms(usable_from=0.0)
    with pytest.raises(ValueError, match="each set-up once"):
        works.night_plan(_edges(3), N52, runs=[(1, 2), (2,)])
    assert (
        works.PlannedNight(
            set_ups=(1,), limit=1.0, used=1.0, left=(), left_time=0.0, night=None
        ).begin
        is None
    )
    assert isinstance(_place(50.0).night(day).darkest, datetime)

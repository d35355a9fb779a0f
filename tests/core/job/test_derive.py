"""A made job from survey to price, against answers worked by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from giornata.core.foundation import Money, NoWallError
from giornata.core.job import derive, named_figures
from giornata.core.survey import Level, WallSurvey


@pytest.fixture
def results(small_job):
    return derive(small_job, memo={})


def figure(results, name):
    return float(named_figures(results)[name])


def test_areas_and_edges_are_those_drawn(results):
    # By construction: 20 x 2.5 - 1 x 2 = 48 m²; the rest as in the fixture's docstring.
    assert figure(results, "wall.net_area") == pytest.approx(48.0, rel=1e-9)
    assert figure(results, "A.red.area") == pytest.approx(1.0, rel=1e-9)
    assert figure(results, "A.blue.area") == pytest.approx(1.0, rel=1e-9)
    assert figure(results, "A.white.area") == pytest.approx(46.0, rel=1e-9)
    assert figure(results, "B.red.area") == pytest.approx(2.0, rel=1e-9)
    assert figure(results, "B.edge") == pytest.approx(6.0, rel=1e-9)
    # The dot stands from the block's foot to its top: 2 x 1 m of edge with red and 2 x 1 m with
    # white; the block's remaining outline on white is 2 x (2 - 1) + 2 x 1 = 4 m.
    assert figure(results, "A.red+blue.edge") == pytest.approx(2.0, rel=1e-9)
    assert figure(results, "A.white+blue.edge") == pytest.approx(2.0, rel=1e-9)
    assert figure(results, "A.white+red.edge") == pytest.approx(4.0, rel=1e-9)


def test_hours_are_those_worked_by_hand(results):
    # primer 48/20 = 2.4; base 48 x 2/15 = 6.4; fill (1 + 1) x 2/15 = 0.26667;
    # edges 8 x 2/15 = 1.06667: together 10.13333 h.
    assert figure(results, "A.day.painting_hours") / 3600 == pytest.approx(10.13333, abs=1e-4)


def test_the_price_is_area_times_rate(results):
    assert named_figures(results)["A.day.total"].value == Decimal("7200.00")  # 48 x 150


def test_n22_a_colourway_keeps_areas_and_edges_and_recomputes_the_rest(results):
    day, dusk = results.scheme_of("A", "day"), results.scheme_of("A", "dusk")
    assert day.plan.quantities == dusk.plan.quantities
    # Red 4 coats instead of 2: + 2 x 1/15 h of fill and + 2 x 4/15 h of its edge on white.
    # Red cuts its 4 m against white; blue, later, cuts its own 4 m.
    more = float(dusk.plan.labour.total) - float(day.plan.labour.total)
    assert more / 3600 == pytest.approx(2 / 15 + 2 * 4 / 15, rel=1e-6)
    # + 2 coats x 1 m² / 6 m²/L x 1.1 = 0.36667 L
    litres = float(dusk.plan.order.volume) - float(day.plan.order.volume)
    assert litres * 1000 == pytest.approx(2 / 6 * 1.1, rel=1e-6)
    contrast = [f for f in results.findings if f.code.startswith("viewing.")]
    assert {f.subject for f in contrast} != set()


def test_a_rate_changes_the_price_and_reruns_no_geometry(small_job):
    memo: dict = {}
    derive(small_job, memo=memo)
    before = set(memo)
    dearer = replace(
        small_job, price=replace(small_job.price, rate=Money(amount=Decimal(160), currency="EUR"))
    )
    assert named_figures(derive(dearer, memo=memo))["A.day.total"].value == Decimal("7680.00")
    assert len(set(memo) - before) == 5  # four schemes and their comparison


def test_every_figure_can_be_explained_to_its_sources(results):
    for name, top in named_figures(results).items():
        for part in top.walk():
            assert part.source or part.parts, (name, part.name)


def test_findings_that_one_option_alone_has_say_whose_they_are(small_job):
    wide = replace(
        small_job,
        options=(small_job.options[0], replace(small_job.options[1], hide=("dot", "nothing"))),
    )
    found = [
        f
        for f in derive(wide, memo={}).findings
        if "nothing" in f.message or "nothing" in f.subject
    ]
    assert found
    assert all(f.subject.endswith("option B") for f in found)


def test_a_wall_without_height_is_refused_with_its_findings(small_job):
    bare = WallSurvey(
        datum="left end",
        bays=small_job.survey.bays,
        ground=(Level(at=0.0, level=0.0),),
    )
    with pytest.raises(NoWallError, match=r"[Hh]eight|top"):
        derive(replace(small_job, survey=bare), memo={})

"""The surface to paint through a whole job: paint and hours follow it, the bill stays flat."""

from dataclasses import replace
from decimal import Decimal

import pytest

from giornata.core.documents.price_words import basis_words
from giornata.core.job import derive, named_figures
from giornata.core.pricing import PriceBasis
from giornata.core.survey import Corrugation, Pier, SheetForm

SHEET = Corrugation(form=SheetForm.TRAPEZOIDAL, pitch=0.2, depth=0.04, crest=0.07, valley=0.07)


def figure(results, name: str) -> float:
    return float(named_figures(results)[name])


def test_paint_and_hours_of_a_ribbed_wall(small_job) -> None:
    # By hand, the sheet's factor being 1.2: primer 57.6/20 = 2.88; base 57.6 x 2/15 = 7.68; fill
    # 2.4 x 2/15 = 0.32; of 8 m of edges 4 are level, 1.2 times as long over the upright ribs, and 4
    # upright: 8.8 x 2/15 = 1.17333: together 12.05333 h.
    flat = derive(small_job, memo={})
    results = derive(
        replace(small_job, survey=replace(small_job.survey, corrugation=SHEET)), memo={}
    )
    assert figure(results, "wall.net_area") == pytest.approx(48.0)
    assert figure(results, "wall.form_factor") == pytest.approx(1.2)
    assert figure(results, "wall.painted_area") == pytest.approx(57.6)
    cut = sum(figure(results, f"A.{key}.cut") for key in ("red", "blue"))
    over = sum(figure(results, f"A.{key}.cut_over_ribs") for key in ("red", "blue"))
    assert (cut, over) == pytest.approx((8.0, 8.8))
    assert figure(results, "A.day.painting_hours") / 3600 == pytest.approx(12.05333, abs=1e-4)
    # Every litre goes onto a surface 1.2 times as large.
    one = flat.scheme_of("A", "day").plan.order.volume
    other = results.scheme_of("A", "day").plan.order.volume
    assert float(other) == pytest.approx(1.2 * float(one), rel=1e-9)
    # The bill stays flat: 48 x 150.
    assert named_figures(results)["A.day.total"].value == Decimal("7200.00")


def test_painted_returns_take_base_coats(small_job) -> None:
    # By hand: 2 x 0.2 x 2.5 = 1.0 m² of returns: primer + 1/20, base + 2/15 h on 10.13333 h.
    pier = Pier(name="P", at=8, width=0.5, proud=0.2, returns_painted=True)
    results = derive(replace(small_job, survey=replace(small_job.survey, piers=(pier,))), memo={})
    assert figure(results, "wall.painted_area") == pytest.approx(49.0)
    hours = figure(results, "A.day.painting_hours") / 3600
    assert hours == pytest.approx(10.13333 + 1 / 20 + 2 / 15, abs=1e-4)
    assert named_figures(results)["A.day.total"].value == Decimal("7200.00")


def test_a_job_may_bill_the_surface(small_job) -> None:
    # By hand: 57.6 x 150 = 8,640.
    job = replace(
        small_job,
        survey=replace(small_job.survey, corrugation=SHEET),
        price=replace(small_job.price, basis=PriceBasis.SURFACE),
    )
    results = derive(job, memo={})
    assert named_figures(results)["A.day.total"].value == Decimal("8640.00")
    said = basis_words(results.scheme_of("A", "day"), results.wall.net_area)
    assert "surface painted, 57.60 m²" in said
    assert "Flat, the net wall has 48.0" in said


def test_a_flat_wall_names_no_surface_of_its_own(small_job) -> None:
    names = set(named_figures(derive(small_job, memo={})))
    assert not {"wall.form_factor", "wall.painted_area", "wall.returns_area"} & names

"""A whole job whose artwork is fitted to its wall: quantities by hand, the partition whole."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from giornata.core.job import derive, named_figures
from giornata.core.setting_out import ArtworkPlacement, FitTerms, PointPair, Tie


@pytest.fixture
def fitted(small_job):
    """The block's left edge tied to a joint at 4.20 m, at 9.9 mm to a unit instead of 10."""
    return derive(
        replace(
            small_job,
            survey=replace(small_job.survey, joints=(4.2,)),
            placement=ArtworkPlacement(
                scale=0.0099, ties=(Tie(artwork=400.0, to="joint 1"),), fit=FitTerms()
            ),
        ),
        memo={},
    )


def test_the_tied_shape_stands_at_its_place_and_keeps_its_size(fitted):
    # By hand: the block is 200 × 100 units of 9.9 mm: 1.98 × 0.99 m, with a dot of 0.99 m square.
    coverage = fitted.design.placed.coverage
    faces = coverage.faces[coverage.labels != 1]
    start, _, end, _ = shapely.total_bounds(faces)
    assert (start, end) == pytest.approx((4.2, 6.18))
    figures = named_figures(fitted)
    assert float(figures["A.red.area"]) == pytest.approx(0.99 * 0.99, abs=1e-9)
    assert float(figures["A.blue.area"]) == pytest.approx(0.99 * 0.99, abs=1e-9)
    assert float(figures["A.white.area"]) == pytest.approx(48 - 2 * 0.99**2, abs=1e-9)


def test_the_partition_of_the_wall_is_whole(fitted):
    for design in fitted.designs:
        faces = design.placed.coverage.faces
        assert shapely.coverage_is_valid(faces)
        assert shapely.area(faces).sum() == pytest.approx(48.0, abs=1e-9)


def test_each_option_lists_its_own_moves_and_gaps(fitted):
    # By hand: the tie places the artwork first, its left end at 4.20 - 3.96 = 0.24 m; that end
    # goes back to 0 and the right end, at 20.04 m, to 20.00 m: the gaps grow from 3.96 to 4.20 m
    # and shrink from 13.86 to 13.82 m.
    for design in fitted.designs:
        fit = design.placed.fit
        assert fit is not None
        assert [gap.change for gap in fit.gaps] == pytest.approx([0.24, -0.04])
        assert [move.shift for move in fit.moves] == pytest.approx([0.0])
    codes = {finding.code for finding in fitted.findings}
    assert "setting_out.fitted" in codes
    assert "setting_out.no_fit" not in codes


def test_a_turned_artwork_tiles_the_wall(small_job):
    points = (
        PointPair(artwork=(0.0, 250.0), chainage=0.0, level=0.0),
        PointPair(artwork=(2000.0, 250.0), chainage=20.0, level=0.4),
    )
    results = derive(
        replace(small_job, placement=ArtworkPlacement(points=points, turn=None)), memo={}
    )
    placed = results.design.placed
    assert shapely.coverage_is_valid(placed.coverage.faces)
    assert shapely.area(placed.coverage.faces).sum() == pytest.approx(48.0, abs=1e-9)
    # By hand: the scale is the points' distance on the wall over that in the artwork.
    scale = (20**2 + 0.4**2) ** 0.5 / 2000
    red = float(named_figures(results)["A.red.area"])
    assert red == pytest.approx(scale**2 * 100 * 100, rel=1e-9)
    assert placed.placement.turn == pytest.approx(0.4 / 20, rel=1e-3)

"""What each set-up traces."""

from itertools import combinations

import numpy as np
import pytest
import shapely

from giornata.core import projection
from giornata.core.geometry import OUTSIDE, Coverage

SHEET = projection.Projector(
    name="Hire projector",
    columns=1920,
    rows=1200,
    throw_min=1.4,
    throw_max=1.4,
    lumens=3500.0,
    mode="full",
    modes={"full": 1.0},
    shift_up=0.5,
)
STAND = projection.Stand(distance=7.0, height=1.45, ambient=1.0)
# 3.4 m of wall up to 20 m, which takes two rows of 3.125 m, and 2.4 m beyond.
TOP = [(0, 3.4), (20, 3.4), (20, 2.4), (60, 2.4)]


def _plan():
    plan, _ = projection.plan_setups(60.0, TOP, [(0, 0.0)], [], SHEET, STAND)
    assert {one.row for one in plan.set_ups} == {1, 2}
    return plan.set_ups


def _plain() -> Coverage:
    """One paint, and no edge at all."""
    nothing = np.array([], dtype=object)
    number = np.array([], dtype=np.int64)
    faces = np.array([shapely.box(0, 0, 60, 2.4)], dtype=object)
    return Coverage(faces=faces, labels=np.array([1]), edges=nothing, left=number, right=number)


def test_law_the_cells_cover_all_images_once():
    # Known by construction: cells reach from seam to seam, rows halve their overlap, so cells
    # neither overlap nor leave a gap.
    set_ups = _plan()
    cells = projection.cells(set_ups, projection.seams(_plain(), set_ups))
    wall = shapely.Polygon([(0, 0), (60, 0), (60, 2.4), (20, 2.4), (20, 3.4), (0, 3.4)])
    assert shapely.union_all(cells).buffer(1e-9).contains(wall)
    for one, other in combinations(cells, 2):
        assert shapely.intersection(one, other).area == pytest.approx(0.0, abs=1e-9)
    for cell, one in zip(cells, set_ups, strict=True):
        image = shapely.box(one.start, one.foot, one.end, one.head)
        assert image.buffer(1e-9).contains(cell)


def test_edges_are_traced_once_and_the_rim_is_not():
    # Known by construction: a level edge at 1.0 m from end to end is 60 m, an upright one at
    # 10.0 m from there to the top is 2.4 m; the rim against the outside is not traced.
    level = shapely.LineString([(0, 1.0), (60, 1.0)])
    upright = shapely.LineString([(10, 1.0), (10, 3.4)])
    rim = shapely.LineString([(0, 0), (60, 0)])
    faces = [shapely.box(0, 0, 60, 1), shapely.box(0, 1, 10, 3.4), shapely.box(10, 1, 20, 3.4)]
    coverage = Coverage(
        faces=np.array(faces, dtype=object),
        labels=np.array([1, 2, 3]),
        edges=np.array([level, upright, rim], dtype=object),
        left=np.array([1, 2, OUTSIDE]),
        right=np.array([2, 3, 1]),
    )
    set_ups = _plan()
    figures = projection.edge_to_trace(coverage, set_ups, projection.seams(coverage, set_ups))
    assert [f.name for f in figures] == [f"edge to trace, set-up {s.number}" for s in set_ups]
    assert sum(float(figure) for figure in figures) == pytest.approx(62.4, abs=1e-6)

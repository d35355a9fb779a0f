"""No seam lies beyond the next, however far images overlap: each set-up draws its own part."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import projection
from giornata.core.projection import Projector, Stand
from giornata.core.projection.seam_costs import EdgeGrid, with_level_seams
from giornata.core.projection.seam_rooms import seam_rooms

SHEET = Projector(
    name="made", columns=1920, rows=1200, throw_min=1.5, throw_max=1.5, lumens=4000.0,
    mode="full", modes={"full": 1.0}, shift_up=0.5,
)  # fmt: skip


@given(st.lists(st.tuples(st.floats(0.1, 2), st.floats(0.2, 5)), min_size=1, max_size=9))
def test_rooms_lie_in_their_overlaps_and_one_after_the_other(steps):
    starts = np.cumsum([step for step, _ in steps])
    wide = max(width for _, width in steps)
    overlaps = [(float(at), float(at) + wide) for at in starts]
    rooms = seam_rooms(overlaps)
    assert all(low <= a < b <= high for (a, b), (low, high) in zip(rooms, overlaps, strict=True))
    assert all(one[1] <= after[0] for one, after in pairwise(rooms))


@pytest.mark.parametrize("bare", range(12, 60, 3))
def test_parts_of_set_ups_cover_each_other_nowhere(bare):
    # From 2.5 m an image is 1.04 m high: five rows on 2.8 m, so that each meets the next but one.
    # A level without edges that lies in two overlaps draws both seams to it.
    stand = Stand(distance=2.5, height=1.3, overlap=0.5)
    plan, _ = projection.plan_setups(4.0, [(0, 2.8), (4.0, 2.8)], [(0, 0.0)], [], SHEET, stand)
    assert plan.rows == 5
    edge = np.full((70, 80), 0.1)
    edge[bare] = 0.0
    set_ups = with_level_seams(plan.set_ups, EdgeGrid(foot=-0.1, step=0.05, edge=edge))
    parts = projection.cells(set_ups, ())
    columns = [
        [part for part, one in zip(parts, set_ups, strict=True) if one.column == column]
        for column in {one.column for one in set_ups}
    ]
    # By construction: what lies once has as much area as its pieces together.
    for rows in columns:
        assert shapely.union_all(rows).area == pytest.approx(sum(one.area for one in rows))

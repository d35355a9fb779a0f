"""Seams between set-ups (N54): off straight lines where it can be, else the lines are named."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import projection
from giornata.core.geometry import Coverage
from giornata.core.projection import Projector, SetUp, Stand

MM = 0.001
SHEET = Projector(
    name="Hire projector", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=3500.0,
    mode="full", modes={"full": 1.0}, shift_up=0.5,
)  # fmt: skip


def plan() -> tuple[SetUp, ...]:
    """N45's fourteen set-ups, 5.00 m wide, centres from 2.50 m every 4.323 m."""
    stand = Stand(distance=7.0, height=1.45, overlap=0.5)
    made, _ = projection.plan_setups(61.2, [(0, 2.9), (61.2, 2.9)], [(0, 0.0)], [], SHEET, stand)
    assert len(made.set_ups) == 14
    return made.set_ups


SET_UPS = plan()


def coverage(*lines: list[tuple[float, float]]) -> Coverage:
    """Edges between two paints; the regions play no part in where a seam lies."""
    edges = np.array([shapely.LineString(line) for line in lines], dtype=object)
    return Coverage(
        faces=np.array([shapely.box(0, 0, 61.2, 2.9)], dtype=object),
        labels=np.array([1]),
        edges=edges,
        left=np.full(len(lines), 1),
        right=np.full(len(lines), 2),
    )


def overlap(set_ups: tuple[SetUp, ...], column: int) -> tuple[float, float]:
    return set_ups[column].start, set_ups[column - 1].end


def test_an_overlap_with_nothing_in_it_is_halved():
    set_ups = plan()
    for seam in projection.seams(coverage(), set_ups):
        low, high = overlap(set_ups, seam.column)
        assert seam.chainage == pytest.approx((low + high) / 2, abs=1e-9)
        assert seam.crossed == ()


def test_n54_a_seam_moves_off_a_straight_edge_that_ends_in_the_overlap():
    set_ups = plan()
    low, high = overlap(set_ups, 3)
    end = (low + high) / 2 + 0.10  # the edge comes from the left and ends behind the middle
    seam = projection.seams(coverage([(end - 3.0, 1.2), (end, 1.2)]), set_ups)[2]
    assert seam.column == 3
    assert seam.crossed == ()
    # By hand: the first place on the 10 mm grid from the middle that is not left of its end.
    assert end - 1e-9 <= seam.chainage <= end + 10 * MM
    assert low + 0.05 - 1e-9 <= seam.chainage <= high - 0.05 + 1e-9


def test_n54_a_straight_edge_through_all_of_the_overlap_is_to_be_snapped():
    set_ups = plan()
    low, high = overlap(set_ups, 5)
    made = projection.seams(coverage([(low - 1.0, 0.80), (high + 1.5, 0.85)]), set_ups)
    (one,) = projection.seam_findings(made, set_ups)
    assert one.code == "projection.straight_seam"
    assert one.subject == "seam of set-ups 5 and 6"
    assert f"straight from {low - 1:.2f} to {high + 1.5:.2f} m" in one.message
    assert "chalk line" in one.remedy
    (edge,) = made[4].crossed
    assert 0.80 < edge.level_at(made[4].chainage) < 0.85


def test_n54_a_step_that_is_seen_is_below_one_arc_minute_at_10_m():
    # N54: 1 arc minute is 2.9 mm at 10 m, and the eye sees steps in straight lines below that.
    minute = 10.0 * math.tan(math.radians(1 / 60))
    assert minute == pytest.approx(2.9 * MM, abs=0.05 * MM)
    set_ups = plan()
    low, high = overlap(set_ups, 1)
    (one,) = projection.seam_findings(
        projection.seams(coverage([(low - 1, 1.0), (high + 1, 1.0)]), set_ups), set_ups
    )
    assert "a step of 2 mm" in one.message
    assert minute > 2 * MM


@pytest.mark.parametrize(("radius", "straight"), [(1000.0, True), (60.0, False)])
def test_a_bend_is_straight_where_its_bow_is_under_half_a_millimetre(radius, straight):
    # By hand: over 1 m the bow is 1 / 8R: 0.125 mm at 1000 m, 2.1 mm at 60 m.
    set_ups = plan()
    low, high = overlap(set_ups, 2)
    x = np.linspace(low - 1.2, high + 1.2, 400)
    middle = (low + high) / 2
    arc = np.column_stack([x, 1.0 + radius - np.sqrt(radius**2 - (x - middle) ** 2)])
    seam = projection.seams(coverage(arc.tolist()), set_ups)[1]
    assert bool(seam.crossed) == straight


def test_an_upright_or_steep_edge_is_no_level_line():
    set_ups = plan()
    low, high = overlap(set_ups, 2)
    steep = [(low - 0.2, 0.2), (high + 0.2, 2.7)]  # along 1.1 m, up 2.5 m
    assert projection.seams(coverage(steep), set_ups)[1].crossed == ()


@given(
    ends=st.lists(
        st.tuples(st.floats(8.0, 10.5), st.floats(1.0, 3.0), st.floats(0.2, 2.7)), max_size=6
    )
)
def test_no_place_of_the_overlap_crosses_fewer_straight_edges(ends):
    # Brute force: every centimetre of the overlap, edges counted one by one.
    set_ups = SET_UPS
    lines = [[(start, level), (start + long, level)] for start, long, level in ends]
    seam = projection.seams(coverage(*lines), set_ups)[1]
    low, high = overlap(set_ups, 2)
    middle = (low + high) / 2
    places = [middle + k * 0.01 for k in range(-200, 201)]
    places = [at for at in places if low + 0.05 - 1e-9 <= at <= high - 0.05 + 1e-9]

    def crossed(at: float) -> int:
        return sum(line[0][0] < at < line[1][0] for line in lines)

    assert len(seam.crossed) == min(map(crossed, places))
    assert crossed(seam.chainage) == len(seam.crossed)

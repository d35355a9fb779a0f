"""What is left over goes into empty ground: in height too, and in two rows of set-ups."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import artwork, closing
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.closing import Front, RowJoin
from giornata.core.foundation import Severity
from giornata.core.setting_out import FitTerms

MM = 0.001
PAINTS = (
    Paint(number=1, key="ground", name="Ground", role=Role.GROUND, artwork=("#ffffff",)),
    Paint(number=2, key="ink", name="Ink", artwork=("#000000",)),
)


def drawn(*boxes):
    """Boxes of ink on 48 x 6 m of ground: from, low, to, high, from the foot up."""
    shapes = [Shape(area=shapely.box(0, 0, 48, 6), colour="#ffffff")]
    shapes += [Shape(area=shapely.box(*box), colour="#000000") for box in boxes]
    drawing = Drawing(name="frieze.svg", width=48.0, height=6.0, shapes=tuple(shapes))
    made, _ = artwork.painted(artwork.flattened(drawing), PAINTS)
    return made


def front(chainage, along=0.0, up=0.0):
    return Front(set_up=1, chainage=chainage, along=along, up=up, known_to=2 * MM)


def join(left, right, *, row=1, low=-np.inf, top=np.inf):
    return RowJoin(row=row, low=low, top=top, left=left, right=right, known_to=2 * MM,
                   up_known_to=2 * MM)  # fmt: skip


def taken(coverage, *joins):
    return closing.taken_up(coverage, joins, FitTerms(), PAINTS, ground=1)


def ink(coverage):
    """Boxes of the ink as they come to lie, from left to right."""
    return sorted(map(tuple, shapely.bounds(coverage.faces[coverage.labels == 2]).tolist()))


def is_shifted(now, was, along, up):
    return now == pytest.approx((was[0] + along, was[1] + up, was[2] + along, was[3] + up))


def test_c4_a_difference_in_height_is_spread_over_the_gaps():
    # By hand: fronts at 10 and 40 m, the right one 24 mm higher; birds from 14 to 16 and from 24
    # to 32 m leave gaps of 4, 8 and 8 m: lifts of 24 × 4/20 = 4.8 and 24 × 12/20 = 14.4 mm.
    birds = (14, 1, 16, 2), (24, 3, 32, 5)
    found = taken(drawn(*birds), join(front(10), front(40, up=24 * MM)))
    one, two = found.rows[0].moves
    assert (one.along, two.along) == (0.0, 0.0)
    assert (one.up, two.up) == pytest.approx((4.8 * MM, 14.4 * MM))
    for now, was, up in zip(ink(found.coverage), birds, (4.8 * MM, 14.4 * MM), strict=True):
        assert is_shifted(now, was, 0.0, up)
    # No other lifts of whole shapes have less of squared change over width: tried about.
    gaps = np.array([4.0, 8.0, 8.0])

    def cost(lifts):
        return float(np.sum(np.diff([0.0, *lifts, 24.0]) ** 2 / gaps))

    least = cost([4.8, 14.4])
    rng = np.random.default_rng(4)
    assert all(cost(np.array([4.8, 14.4]) + rng.normal(0, 1, 2)) >= least for _ in range(100))


def test_c4_along_and_upwards_at_once_keep_each_shape_whole():
    bird = (20, 1, 22, 2)
    found = taken(drawn(bird), join(front(12, 6 * MM, -4 * MM), front(36, -18 * MM, 18 * MM)))
    # Gaps of 8 and 14 m: 6 - 24 × 8/22 along, -4 + 22 × 8/22 up.
    (now,) = ink(found.coverage)
    assert is_shifted(now, bird, (6 - 24 * 8 / 22) * MM, (-4 + 8) * MM)
    # By the shifts a set-up is told, at its edges and between.
    told = np.array(found.shifts(18.0, 30.0, 1))
    assert np.interp(21.0, told[:, 0], told[:, 2]) == pytest.approx(4 * MM)
    assert found.shifts(18.0, 30.0, 2) == ()


def test_c4_two_rows_meet_their_own_fronts():
    # Lower row: 22 mm apart; upper row: nothing. Birds of one row each: by hand as in one row.
    low, high = (20, 1, 22, 2), (26, 4, 27, 5)
    found = taken(
        drawn(low, high),
        join(front(12), front(36, 22 * MM), top=3.0),
        join(front(12), front(36), row=2, low=3.0),
    )
    first, second = ink(found.coverage)
    assert is_shifted(first, low, 8 * MM, 0.0)
    assert is_shifted(second, high, 0.0, 0.0)
    assert found.parted == 0.0


def test_c4_a_shape_of_two_rows_stays_whole():
    # A mast through both rows from 24 to 25 m, the rows' right fronts 23 mm apart and not: each
    # row by itself would move it 23 × 12/23 = 12 mm and 0; it moves 6 mm in both.
    mast, low = (24, 1, 25, 5), (30, 1, 31, 2)
    found = taken(
        drawn(mast, low),
        join(front(12), front(36, 24 * MM, 10 * MM), top=3.0),
        join(front(12), front(36), row=2, low=3.0),
    )
    lower, upper = found.rows
    assert lower.at(24.5) == pytest.approx(upper.at(24.5))
    first, second = ink(found.coverage)
    along, up = lower.at(24.5)
    assert 0 < along < 24 * MM
    assert 0 < up < 10 * MM
    assert is_shifted(first, mast, along, up)
    # The bird of the lower row shares what is left between mast and front by its gaps, 5 and 5 m.
    assert is_shifted(second, low, (along + 24 * MM) / 2, (up + 10 * MM) / 2)


def test_c4_a_shape_drawn_in_the_other_row_says_where_it_goes():
    # The lower row is drawn up to 30 m and stands 15 mm to the right; the upper one up to 12 m.
    mast = (24, 1, 25, 5)
    found = taken(
        drawn(mast),
        join(front(30, 15 * MM), front(40, 15 * MM), top=3.0),
        join(front(12), front(40), row=2, low=3.0),
    )
    assert found.rows[1].at(24.5) == pytest.approx((15 * MM, 0.0))
    (now,) = ink(found.coverage)
    assert is_shifted(now, mast, 15 * MM, 0.0)


def test_c4_a_shape_drawn_apart_in_both_rows_is_told():
    # A mast over both fronts at 12 m, which differ by 15 and 20 mm: 25 mm apart.
    mast = (11.5, 1, 12.5, 5)
    found = taken(
        drawn(mast),
        join(front(12, 15 * MM, 20 * MM), front(40), top=3.0),
        join(front(12), front(40), row=2, low=3.0),
    )
    assert found.parted == pytest.approx(25 * MM)

    said = list(closing.parted_findings(found, (2, 3), limit=10 * MM))
    assert [f.code for f in said] == ["closing.parted"]
    assert said[0].severity is Severity.WARN
    assert "25 mm" in said[0].message
    assert list(closing.parted_findings(found, (2, 3), limit=30 * MM)) == []


def test_c4_no_ground_between_is_no_room():
    assert not taken(drawn((10, 1, 41, 2)), join(front(12), front(36, up=9 * MM))).possible

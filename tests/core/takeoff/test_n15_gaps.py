"""N15: gaps of known width between painted shapes, and lines that may be off by more."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import shapely

from giornata.core.foundation import Severity
from giornata.core.takeoff import BrushAndRoller, NarrowKind, NarrowPlace, TakeOff

MM = 0.001
EXACT = 0.01 * MM

TakenOff = Callable[..., TakeOff]


def gaps(off: TakeOff) -> list[NarrowPlace]:
    return [place for place in off.narrow if place.kind is NarrowKind.GAP]


def parallel(gap: float) -> list[tuple[shapely.Geometry, int]]:
    """Two bars side by side, tide and ink."""
    return [
        (shapely.box(5, 1, 6, 1.5), 2),
        (shapely.box(6 + gap, 1, 7, 1.5), 3),
    ]


@pytest.mark.parametrize("gap", [4.0 * MM, 3.7 * MM, 3.2 * MM])
def test_n15_a_gap_between_bars_has_its_width_and_place(taken_off: TakenOff, gap: float) -> None:
    # Known by construction: the ground shows from x = 6 to 6 + gap.
    (place,) = gaps(taken_off(*parallel(gap)))
    assert place.width == pytest.approx(gap, abs=EXACT)
    assert place.x == pytest.approx(6 + gap / 2, abs=EXACT)
    assert 1 < place.y < 1.5
    assert (place.paint, place.beside) == (1, (2, 3))
    assert place.length == pytest.approx(0.5, abs=0.05)


def test_n15_a_gap_between_round_shapes_is_where_they_come_nearest(taken_off: TakenOff) -> None:
    # By hand: discs of 0.3 m about (5, 1) and (5.6037, 1) leave 3.7 mm between (5.3, 1) and on.
    discs = [
        (shapely.Point(x, 1).buffer(0.3, quad_segs=256), number)
        for x, number in ((5.0, 2), (5.6037, 3))
    ]
    (place,) = gaps(taken_off(*discs))
    assert place.width == pytest.approx(3.7 * MM, abs=EXACT)
    assert (place.x, place.y) == pytest.approx((5.30185, 1.0), abs=1 * MM)


def test_n15_a_gap_from_a_corner_to_an_edge(taken_off: TakenOff) -> None:
    # By construction: the diamond's right corner stands 3.2 mm before the bar's edge x = 6.
    tip = 6 - 3.2 * MM
    diamond = shapely.Polygon([(tip - 0.3, 1), (tip - 0.15, 0.85), (tip, 1), (tip - 0.15, 1.15)])
    (place,) = gaps(taken_off((diamond, 2), (shapely.box(6, 0.5, 7, 1.5), 3)))
    assert place.width == pytest.approx(3.2 * MM, abs=EXACT)
    assert (place.x, place.y) == pytest.approx((6 - 1.6 * MM, 1.0), abs=EXACT)


def test_n15_gaps_narrower_than_lines_may_be_off_are_named(taken_off: TakenOff) -> None:
    # Registration 10 mm: of gaps of 4 and 12 mm only the first may be closed by its lines.
    near = parallel(4 * MM)
    far = [(shapely.affinity.translate(area, 10), number) for area, number in parallel(12 * MM)]
    off = taken_off(*near, *far, tools=BrushAndRoller(registration=0.010))
    found = {finding.code: finding for finding in off.findings}
    closing = found["takeoff.gap_closes"]
    assert closing.severity is Severity.NOTE
    assert "in 1 place: 4 mm at x 6.00" in closing.message
    assert "in 2 places" in found["takeoff.narrow_gap"].message


def test_n15_lines_off_by_more_than_a_brush_find_wider_gaps(taken_off: TakenOff) -> None:
    # By construction: 35 mm of ground is wide for a 25 mm brush, and narrow for lines off by 40.
    bars = parallel(35 * MM)
    twig = (shapely.box(20, 1, 20.4, 1.03), 3)  # 30 mm: a line that a 25 mm brush draws
    assert taken_off(*bars, twig).narrow == ()
    off = taken_off(*bars, twig, tools=BrushAndRoller(registration=0.040))
    (place,) = off.narrow
    assert (place.kind, place.beside) == (NarrowKind.GAP, (2, 3))
    assert place.width == pytest.approx(35 * MM, abs=EXACT)


def test_n15_shapes_without_a_narrow_part_give_none(taken_off: TakenOff) -> None:
    # A square and a triangle of a metre have no thin part, however acute their corners.
    square = (shapely.box(5, 1, 6, 2), 2)
    triangle = (shapely.Polygon([(8, 1), (9, 1), (8.5, 1.87)]), 3)
    assert taken_off(square, triangle).narrow == ()


def test_a_registration_below_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="registration of the transfer"):
        BrushAndRoller(registration=-0.001)

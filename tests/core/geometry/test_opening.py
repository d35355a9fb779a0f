"""Opening by a disc: areas from plane geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from giornata.core import geometry


def opened_area(shape: shapely.Polygon, radius: float) -> float:
    return float(shapely.area(geometry.opened(np.array([shape], dtype=object), radius))[0])


def test_a_square_loses_its_corners() -> None:
    # By hand: each corner keeps a quarter disc of its r × r square, so 4 r² - π r² are lost.
    expected = 0.2**2 - (4 - math.pi) * 0.06**2
    assert opened_area(shapely.box(0, 0, 0.2, 0.2), 0.06) == pytest.approx(expected, rel=2e-4)


def test_a_bar_narrower_than_the_disc_is_lost() -> None:
    assert opened_area(shapely.box(0, 0, 2, 0.11), 0.06) == 0.0


def test_a_bar_on_a_block_is_lost_and_the_block_kept() -> None:
    # By hand: as the square above; the bar's root keeps no more than the disc reaches.
    block = shapely.union_all([shapely.box(0, 0, 1, 1), shapely.box(1, 0.4, 3, 0.5)])
    corners = (4 - math.pi) * 0.06**2
    # At the root the disc's edge bulges into the bar by 0.06 - sqrt(0.06² - 0.05²) = 27 mm; the
    # circular segment over a chord of 0.1 m has r² (a - sin a cos a), a = asin(0.05 / 0.06).
    a = math.asin(0.05 / 0.06)
    bulge = 0.06**2 * (a - math.sin(a) * math.cos(a))
    assert opened_area(block, 0.06) == pytest.approx(1 - corners + bulge, rel=2e-4)


def test_a_disc_as_large_as_the_roller_is_kept() -> None:
    disc = shapely.Point(0, 0).buffer(0.1, quad_segs=64)
    assert opened_area(disc, 0.09) == pytest.approx(math.pi * 0.01, rel=1e-3)


def test_order_and_number_of_faces_are_kept() -> None:
    shapes = np.array([shapely.box(0, 0, 1, 0.01), shapely.box(2, 0, 3, 1)], dtype=object)
    assert shapely.is_empty(geometry.opened(shapes, 0.05)).tolist() == [True, False]


def test_a_disc_without_radius_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        opened_area(shapely.box(0, 0, 1, 1), 0.0)

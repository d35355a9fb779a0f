"""Outlines under later areas left out: by hand, and against GEOS's differences."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import geometry
from giornata.core.geometry.hiding import seen_outlines

NEAR = 1e-9


def areas(*shapes: shapely.Geometry) -> np.ndarray:
    return np.array(shapes, dtype=object)


def length(shapes: np.ndarray, opaque: list[bool]) -> float:
    return float(shapely.length(seen_outlines(shapes, np.array(opaque))).sum())


WALL, BELOW, ABOVE = shapely.box(0, 0, 9, 9), shapely.box(2, 2, 4, 4), shapely.box(1, 1, 5, 5)


@pytest.mark.parametrize(
    ("shapes", "opaque", "expected"),
    [
        # By hand. Outlines of 36, 8 and 16; the middle one lies under the last if that is opaque.
        (areas(WALL, BELOW, ABOVE), [True, True, True], 36 + 16),
        (areas(WALL, BELOW, ABOVE), [True, True, False], 36 + 8 + 16),
        (areas(WALL, ABOVE, BELOW), [True, True, True], 36 + 8 + 16),
        # The first is what the others lie on: its outline stays under a shape that covers it.
        (areas(BELOW, ABOVE), [True, True], 8 + 16),
        # Two equal shapes, and one with a side on the other's, which three of its sides touch:
        # they are not inside, so they stay.
        (areas(WALL, BELOW, BELOW), [True, True, True], 36 + 8 + 8),
        (areas(WALL, BELOW, shapely.box(1, 1, 4, 5)), [True, True, True], 36 + 6 + 14),
        # A hole shows what lies below it.
        (areas(WALL, BELOW, ABOVE.difference(shapely.box(1.5, 1.5, 4.5, 4.5))), [True] * 3, 72),
    ],
)
def test_what_lies_under_an_opaque_area_is_left_out(
    shapes: np.ndarray, opaque: list[bool], expected: float
) -> None:
    assert length(shapes, opaque) == pytest.approx(expected)


def test_of_an_outline_half_under_another_its_ends_stay() -> None:
    # By hand: the lower box is 2 × 60, a vertex to each metre; of its sides the stretches within
    # 10 < x < 50 lie inside the later box, and stretches have at most 8 segments.
    x = np.arange(0.0, 61.0)
    ring = np.concatenate([np.stack([x, 0 * x], 1), np.stack([x[::-1], 0 * x + 2], 1)])
    later = shapely.box(9.5, -1, 50.5, 3)
    seen = length(areas(WALL, shapely.Polygon(ring), later), [True] * 3) - 36 - later.length
    shown = shapely.Polygon(ring).exterior.difference(later).length
    assert shown <= seen <= shown + 4 * 9


@pytest.mark.parametrize("seed", range(4))
def test_every_boundary_that_shows_stays(seed: int) -> None:
    # Independent road: GEOS takes later shapes away from each.
    rng = np.random.default_rng(seed)
    wall = shapely.box(-1, -1, 12, 12)
    discs = [shapely.Point(*rng.uniform(0, 11, 2)).buffer(rng.uniform(0.3, 2)) for _ in range(90)]
    shapes, above = areas(wall, *discs), shapely.Polygon()
    seen = seen_outlines(shapes, np.ones(len(shapes), dtype=bool))
    reach = shapely.union_all(seen).buffer(NEAR)
    hidden = float(shapely.length(shapes).sum())
    for disc in discs[::-1]:
        shown = disc.difference(above).boundary
        assert shown.difference(reach).length == pytest.approx(0.0, abs=NEAR)
        hidden -= disc.exterior.difference(above).length
        above = above.union(disc)
    hidden -= wall.length
    # Most of what is hidden is found out: what is not lies across another outline.
    assert float(shapely.length(shapes).sum() - shapely.length(seen).sum()) > 0.6 * hidden


def test_areas_on_top_are_the_same_with_hidden_outlines_left_out() -> None:
    # Independent road: all outlines are laid over one another, which needs nothing left out.
    rng = np.random.default_rng(8)
    discs = [shapely.Point(*rng.uniform(0, 11, 2)).buffer(rng.uniform(0.3, 2)) for _ in range(150)]
    shapes = areas(shapely.box(0, 0, 11, 11), *discs)
    opaque = rng.uniform(size=len(shapes)) < 0.7
    opaque[0] = True

    def shown(laid: geometry.Overlay) -> dict[tuple[int, ...], float]:
        """Area of each stack down to its highest opaque shape."""
        found: dict[tuple[int, ...], float] = {}
        for area, stack in zip(shapely.area(laid.faces), laid.stacks(), strict=True):
            if stack[:1] == (0,):
                low = max(at for at, shape in enumerate(stack) if opaque[shape])
                found[stack[low:]] = found.get(stack[low:], 0.0) + float(area)
        return found

    every, fewer = geometry.overlay(shapes), geometry.overlaid(shapes, opaque=opaque)
    assert shown(fewer) == pytest.approx(shown(every), abs=NEAR)
    assert len(fewer.edges) < 0.7 * len(every.edges)

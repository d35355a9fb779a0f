"""A pattern's cell laid out over the shape that it fills."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely

from giornata.files.artwork.display import Flat, Matrix
from giornata.files.artwork.fill_rule import polygonal

__all__ = ["MOST_PIECES", "TooManyTiles", "laid_out"]

MOST_PIECES = 10_000


class TooManyTiles(Exception):
    """The pattern repeats so often over its shape that it is a texture."""


def _reach(
    area: shapely.Geometry, cell: tuple[float, float, float, float], steps: tuple[float, float],
    matrix: Matrix,
) -> tuple[range, range]:  # fmt: skip
    """Which tiles, across and down, may meet the area."""
    a, b, c, d, e, f = matrix
    inverse = np.linalg.inv(np.array([[a, c], [b, d]]))
    own = (shapely.get_coordinates(area) - (e, f)) @ inverse.T
    ranges = []
    for axis in (0, 1):
        low, high = float(own[:, axis].min()), float(own[:, axis].max())
        step = abs(steps[axis])
        first = math.floor((low - cell[axis + 2]) / step)
        last = math.ceil((high - cell[axis]) / step)
        ranges.append(range(first, last + 1))
    return ranges[0], ranges[1]


def laid_out(
    area: shapely.Geometry,
    shapes: list[Flat],
    *,
    cell: tuple[float, float, float, float],
    steps: tuple[float, float],
    matrix: Matrix,
    least_area: float,
) -> tuple[Flat, ...]:
    """Shapes of the cell, repeated and cut to the area.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        What the pattern fills; artwork frame.
    shapes : list of Flat
        Of the first tile; artwork frame.
    cell : tuple of float
        Box of the cell in the pattern's own space.
    steps : tuple of float
        From tile to tile, across and down, in the pattern's own space; not 0.
    matrix : Matrix
        The pattern's space to the artwork frame.
    least_area : float
        Pieces up to this area are dropped. [artwork units squared]

    Raises
    ------
    TooManyTiles
        If they would be more than 10,000 shapes.
    """
    across, down = _reach(area, cell, steps, matrix)
    if len(across) * len(down) * max(1, len(shapes)) > MOST_PIECES:
        raise TooManyTiles
    a, b, c, d, _, _ = matrix
    shapely.prepare(area)
    pieces: list[Flat] = []
    for row in down:
        for column in across:
            x, y = column * abs(steps[0]), row * abs(steps[1])
            by = np.array([a * x + c * y, b * x + d * y])
            for shape in shapes:
                moved = shapely.transform(shape.area, lambda xy, by=by: xy + by)
                if not area.intersects(moved):
                    continue
                if not area.covers(moved):
                    moved = polygonal(shapely.intersection(moved, area), least_area)
                if moved is not None:
                    pieces.append(replace(shape, area=moved))
    return tuple(pieces)

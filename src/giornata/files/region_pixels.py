"""Regions of the wall as pixels: smooth edges, and no seam between two regions."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import Any

import cv2
import numpy as np
import shapely
import skia
from numpy.typing import NDArray
from PIL import Image

from giornata.core.foundation import Floats, affine_applied
from giornata.core.geometry import Coverage

__all__ = [
    "Pixels", "canvas_on", "draw_regions", "opaque", "png", "points", "region_path", "within",
]  # fmt: skip

Pixels = NDArray[np.uint8]
Window = tuple[float, float, float, float]  # start, foot, end, head [m]

_COMPRESSION = 6


def canvas_on(pixels: Pixels) -> Any:
    """A canvas that draws on pixels, shape (rows, columns, 4): red, green, blue, alpha."""
    return skia.Surface(pixels, colorType=skia.kRGBA_8888_ColorType).getCanvas()


def opaque(pixels: Pixels) -> Pixels:
    """The pixels without their alpha, shape (rows, columns, 3)."""
    colours: Pixels = np.asarray(cv2.cvtColor(pixels, cv2.COLOR_RGBA2RGB), dtype=np.uint8)
    return colours


def draw_regions(
    canvas: Any, coverage: Coverage, colours: Mapping[int, str], matrix: Floats, window: Window
) -> None:
    """Fill the regions that reach into a window, each in its paint's colour.

    Parameters
    ----------
    coverage : geometry.Coverage
        Wall frame. [m]
    colours : mapping of int to str
        Colour of each paint number, ``#rrggbb``.
    matrix : ndarray, shape (3, 3)
        From the wall to the pixels.
    window : tuple of float
        Start, foot, end and head on the wall. [m]

    Notes
    -----
    Regions tile the wall, so each pixel is the sum of its regions' colours by the share they
    cover of it; drawn one over another, two smooth edges would let the ground shine through.
    """
    for index in within(coverage.faces, window):
        colour = 0xFF000000 | int(colours[int(coverage.labels[index])].lstrip("#"), 16)
        paint = skia.Paint(AntiAlias=True, Color=colour)
        paint.setBlendMode(skia.BlendMode.kPlus)
        canvas.drawPath(region_path(coverage.faces[index], matrix), paint)


def within(geometries: Any, window: Window) -> NDArray[np.intp]:
    """Indices of the geometries that reach into a window, in their own order."""
    start, foot, end, head = window
    left, low, right, high = shapely.bounds(geometries).T
    found: NDArray[np.intp] = np.flatnonzero(
        (left <= end) & (right >= start) & (low <= head) & (high >= foot)
    )
    return found


def region_path(area: Any, matrix: Floats) -> Any:
    """A polygon or several as one path, its holes left open."""
    path = skia.Path()
    path.setFillType(skia.PathFillType.kEvenOdd)
    for ring in shapely.get_rings(shapely.get_parts(area)):
        path.addPoly(points(affine_applied(matrix, shapely.get_coordinates(ring)[:-1])), True)
    return path


def points(xy: Floats) -> list[Any]:
    """Coordinates as the points of a path."""
    return [skia.Point(x, y) for x, y in xy.tolist()]


def png(pixels: Pixels) -> bytes:
    """Pixels (red, green, blue) as PNG, the same bytes every time; greys as one channel."""
    red, green, blue = (pixels[:, :, k] for k in range(3))
    grey = np.array_equal(red, green) and np.array_equal(red, blue)
    sink = io.BytesIO()
    picture = Image.fromarray(np.ascontiguousarray(red) if grey else pixels)
    picture.save(sink, "PNG", compress_level=_COMPRESSION)
    return sink.getvalue()

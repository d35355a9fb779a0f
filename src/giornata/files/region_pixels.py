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

from giornata.core.foundation import Floats, affine_applied, readonly
from giornata.core.geometry import Coverage

__all__ = [
    "Pixels", "RegionPaths", "canvas_on", "draw_regions", "opaque", "png", "points", "region_path",
    "within",
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


class RegionPaths:
    """The regions of a coverage as paths, each built once, when it is first drawn.

    Parameters
    ----------
    coverage : geometry.Coverage
        Wall frame. [m]

    Notes
    -----
    Paths keep single-precision numbers. They are kept from the middle of their own region, so a
    place is never off by more than a few hundredths of a millimetre, however long the wall.
    """

    def __init__(self, coverage: Coverage) -> None:
        self.coverage = coverage
        self.bounds = shapely.bounds(coverage.faces).reshape(-1, 4)
        self._paths: dict[int, tuple[float, float, Any]] = {}

    def build(self) -> None:
        """Build all paths that are still missing."""
        for index in range(len(self.coverage.faces)):
            self.path(index)

    def path(self, index: int) -> tuple[float, float, Any]:
        """Chainage and level of a region's middle [m], and its path from there."""
        if index not in self._paths:
            left, low, right, high = self.bounds[index]
            x, y = (left + right) / 2, (low + high) / 2
            shift = readonly([[1.0, 0.0, -x], [0.0, 1.0, -y], [0.0, 0.0, 1.0]])
            path = region_path(self.coverage.faces[index], shift)
            path.getBounds()  # worked out now: two threads may draw it
            self._paths[index] = (x, y, path)
        return self._paths[index]

    def within(self, window: Window) -> NDArray[np.intp]:
        """Indices of the regions that reach into a window."""
        return _reaching(self.bounds, window)


def draw_regions(
    canvas: Any, regions: RegionPaths, colours: Mapping[int, str], matrix: Floats, window: Window
) -> None:
    """Fill the regions that reach into a window, each in its paint's colour.

    Parameters
    ----------
    regions : RegionPaths
        Wall frame. [m]
    colours : mapping of int to str
        Colour of each paint number, ``#rrggbb``.
    matrix : ndarray, shape (3, 3)
        From the wall to the pixels: scaled, mirrored, moved, not turned.
    window : tuple of float
        Start, foot, end and head on the wall. [m]

    Notes
    -----
    Regions tile the wall, so each pixel is the sum of its regions' colours by the share they
    cover of it; drawn one over another, two smooth edges would let the ground shine through.
    """
    paints = {}
    for number, text in colours.items():
        paints[number] = skia.Paint(AntiAlias=True, Color=0xFF000000 | int(text.lstrip("#"), 16))
        paints[number].setBlendMode(skia.BlendMode.kPlus)
    wide, high = float(matrix[0, 0]), float(matrix[1, 1])
    for index in regions.within(window).tolist():
        x, y, path = regions.path(index)
        canvas.save()
        canvas.translate(wide * x + float(matrix[0, 2]), high * y + float(matrix[1, 2]))
        canvas.scale(wide, high)
        canvas.drawPath(path, paints[int(regions.coverage.labels[index])])
        canvas.restore()


def within(geometries: Any, window: Window) -> NDArray[np.intp]:
    """Indices of the geometries that reach into a window, in their own order."""
    return _reaching(shapely.bounds(geometries).reshape(-1, 4), window)


def _reaching(bounds: Floats, window: Window) -> NDArray[np.intp]:
    start, foot, end, head = window
    left, low, right, high = bounds.T
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

"""Regions of the wall as pixels: smooth edges, and no seam between two regions."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

import cv2
import numpy as np
import shapely
import skia
from numpy.typing import NDArray
from PIL import Image

from giornata.core.foundation import Floats, affine_applied, readonly
from giornata.core.geometry import Coverage

__all__ = [
    "Pixels", "RegionPaths", "Shape", "canvas_on", "draw_regions", "fill_shapes", "opaque",
    "paths_of", "png", "points", "region_path", "within",
]  # fmt: skip

Pixels = NDArray[np.uint8]
Window = tuple[float, float, float, float]  # start, foot, end, head [m]

_COMPRESSION = 6
_PIECE = 2**17  # pixels
_WHOLE = 0xFF000000  # a pixel that is covered altogether is at least this
# Two shapes in a pixel leave an alpha of 255 (1 - a b), at least 191; three leave 179. A rim that
# leaves the middle of a pixel free leaves half of it.
_RIM_ALPHA = 160


def canvas_on(pixels: Pixels) -> Any:
    """A canvas that draws on pixels, shape (rows, columns, 4): blue, green, red, alpha.

    Skia draws fastest in this order. Colours are kept multiplied by their alpha.
    """
    return skia.Surface(
        pixels, colorType=skia.kBGRA_8888_ColorType, alphaType=skia.kPremul_AlphaType
    ).getCanvas()


def opaque(pixels: Pixels) -> Pixels:
    """The pixels of a canvas over black, shape (rows, columns, 3): red, green, blue."""
    colours: Pixels = np.asarray(cv2.cvtColor(pixels, cv2.COLOR_BGRA2RGB), dtype=np.uint8)
    return colours


class Shape(NamedTuple):
    """A region to be filled: its paint, its path, and how the path lies on the pixels."""

    paint: int
    path: Any
    move: tuple[float, float] = (0.0, 0.0)  # px, after stretching
    stretch: tuple[float, float] = (1.0, 1.0)


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


@lru_cache(maxsize=4)
def paths_of(coverage: Coverage) -> RegionPaths:
    """The paths of a coverage, one set of them for all pictures that show it."""
    return RegionPaths(coverage)


def draw_regions(
    pixels: Pixels, regions: RegionPaths, colours: Mapping[int, str], matrix: Floats, window: Window
) -> None:
    """Fill the regions that reach into a window, each in its paint's colour.

    Parameters
    ----------
    pixels : ndarray, shape (rows, columns, 4)
        As for `fill_shapes`.
    regions : RegionPaths
        Wall frame. [m]
    colours : mapping of int to str
        Colour of each paint number, ``#rrggbb``.
    matrix : ndarray, shape (3, 3)
        From the wall to the pixels: scaled, mirrored, moved, not turned.
    window : tuple of float
        Start, foot, end and head on the wall. [m]
    """
    wide, high = float(matrix[0, 0]), float(matrix[1, 1])
    start, foot, end, head = window
    along, up = abs(1.0 / wide), abs(1.0 / high)  # a pixel more all round, for its neighbours
    shapes = []
    for index in regions.within((start - along, foot - up, end + along, head + up)).tolist():
        x, y, path = regions.path(index)
        move = (wide * x + float(matrix[0, 2]), high * y + float(matrix[1, 2]))
        shapes.append(Shape(int(regions.coverage.labels[index]), path, move, (wide, high)))
    fill_shapes(pixels, shapes, colours)


def fill_shapes(pixels: Pixels, shapes: Iterable[Shape], colours: Mapping[int, str]) -> None:
    """Fill shapes that do not overlap, with smooth edges and no seam between two of them.

    Parameters
    ----------
    pixels : ndarray, shape (rows, columns, 4)
        Of `canvas_on`, all of them 0.
    shapes : iterable of Shape
    colours : mapping of int to str
        Colour of each paint number, ``#rrggbb``.

    Notes
    -----
    Each pixel is the sum of its shapes' colours by the share they cover of it. One smooth edge
    over another lets the ground shine through: where the upper shape covers b of a pixel and the
    lower one the rest, a = 1 - b, drawing leaves (1 - b) a of the lower one instead of a. What
    is missing, a b, is what the pixel's alpha lacks, so it is given back in the colour of the
    lower paint, which is found among the pixel and its four neighbours in a picture of the
    paints' ranks without smooth edges. Where three paints or the rim meet in one pixel this is
    an estimate. `docs/decisions/wall-windows.md` has the figures.
    """
    rows, columns = pixels.shape[:2]
    shapes = sorted(shapes, key=lambda one: one.paint)
    numbers = list(dict.fromkeys(one.paint for one in shapes))
    values = [int(colours[number].lstrip("#"), 16) for number in numbers]
    smooth = [skia.Paint(AntiAlias=True, Color=_WHOLE | value) for value in values]
    _draw(canvas_on(pixels), shapes, dict(zip(numbers, smooth, strict=True)))
    ranks = _ranks(rows, columns, shapes, numbers).reshape(-1)
    # What each rank gives for each lack of alpha: rank 0 is beyond all shapes and gives nothing.
    whole = np.array([0, *(_WHOLE | value for value in values)], dtype="<u4").view(np.uint8)
    given = (whole.reshape(-1, 1, 4) * np.arange(256).reshape(-1, 1) + 127) // 255
    given = given.astype(np.uint8).view("<u4")[:, :, 0]
    flat = pixels.view("<u4").reshape(-1)
    partly = _partly(flat)
    own = flat.take(partly)
    alpha = own >> 24
    place = partly + 2 * (partly // columns) + columns + 3
    lowest = ranks.take(place)
    # A middle that falls between two shapes, by rounding, is not beyond them.
    between = np.flatnonzero((lowest == 0) & (alpha > _RIM_ALPHA))
    lowest[between] = ranks[place[between]] = np.iinfo(ranks.dtype).max
    for beside in (-1, 1, -columns - 2, columns + 2):
        np.minimum(lowest, ranks.take(place + beside), out=lowest)
    flat[partly] = own + given[lowest, 255 - alpha]


def _partly(flat: NDArray[np.uint32]) -> NDArray[np.intp]:
    """Where pixels are not covered altogether: looked for by eights, of which most hold none."""
    found = [np.empty(0, dtype=np.intp)]
    for start in range(0, len(flat), _PIECE):  # pieces that stay in the processor's cache
        short = flat[start : start + _PIECE] < _WHOLE
        if len(short) % 8:
            short = np.pad(short, (0, -len(short) % 8))
        some = np.flatnonzero(short.view(np.uint64) != 0)
        which, at = np.divmod(np.flatnonzero(short.reshape(-1, 8)[some]), 8)
        found.append(start + 8 * some[which] + at)
    return np.concatenate(found)


def _ranks(
    rows: int, columns: int, shapes: Sequence[Shape], numbers: Sequence[int]
) -> NDArray[np.integer[Any]]:
    """Rank from 1 of the paint at the middle of each pixel, 0 for none, one pixel all round."""
    few = len(numbers) < 255
    ranks = np.zeros((rows + 2, columns + 2), dtype=np.uint8 if few else np.uint16)
    kind = skia.kAlpha_8_ColorType if few else skia.kA16_unorm_ColorType
    most = np.iinfo(ranks.dtype).max
    hard = {}
    for rank, number in enumerate(numbers, start=1):
        hard[number] = skia.Paint(skia.Color4f(0.0, 0.0, 0.0, rank / most))  # not smooth
        hard[number].setBlendMode(skia.BlendMode.kSrc)
    canvas = skia.Surface(ranks, colorType=kind).getCanvas()
    canvas.translate(1.0, 1.0)
    _draw(canvas, shapes, hard)
    return ranks


def _draw(canvas: Any, shapes: Iterable[Shape], paints: Mapping[int, Any]) -> None:
    for one in shapes:
        canvas.save()
        canvas.translate(*one.move)
        canvas.scale(*one.stretch)
        canvas.drawPath(one.path, paints[one.paint])
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
    """Pixels as PNG, the same bytes every time; greys as one channel.

    Parameters
    ----------
    pixels : ndarray, shape (rows, columns, 3 or 4)
        Red, green, blue; or those of a canvas, over black.
    """
    one, two, three = (pixels[:, :, k] for k in range(3))
    grey = np.array_equal(one, two) and np.array_equal(one, three)
    rows, columns, channels = pixels.shape
    if grey:
        picture = Image.fromarray(np.ascontiguousarray(one))
    else:
        raw = "BGRX" if channels == 4 else "RGB"
        plain = np.ascontiguousarray(pixels)
        picture = Image.frombuffer("RGB", (columns, rows), plain, "raw", raw, 0, 1)
    sink = io.BytesIO()
    picture.save(sink, "PNG", compress_level=_COMPRESSION)
    return sink.getvalue()

"""The display list to flat shapes: outlines filled, clips and soft masks applied."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely

from giornata.files.artwork.display import Clip, Flat, Layer, Leaf, Mask
from giornata.files.artwork.fill_rule import filled, polygonal
from giornata.files.artwork.outlines import TooManyDashes, fill_rings, stroke_rings
from giornata.files.artwork.veiling import MaskNotFlat, bands

__all__ = ["Canvas", "Painted", "painted"]

_TOLERANCE = 1.0e-5  # chord to curve, over the geometric mean of the canvas's sides [-]
_CRUMB = 1.0e-12  # polygons dropped, over the area of the canvas [-]
_FARTHEST = 1.0e9  # coordinates kept, over the larger side of the canvas [-]


@dataclass(frozen=True, slots=True, kw_only=True)
class Canvas:
    """The page: what lies outside it is cut off.

    Parameters
    ----------
    width, height : float
        Above 0. [artwork units]
    """

    width: float
    height: float

    @property
    def box(self) -> shapely.Polygon:
        """The page as a rectangle."""
        return shapely.box(0.0, 0.0, self.width, self.height)

    @property
    def tolerance(self) -> float:
        """Largest distance of a chord from its curve. [artwork units]"""
        return _TOLERANCE * math.sqrt(self.width * self.height)

    @property
    def least_area(self) -> float:
        """Polygons up to this area are crumbs of the arithmetic. [artwork units squared]"""
        return _CRUMB * self.width * self.height

    @property
    def span(self) -> float:
        """The larger side. [artwork units]"""
        return max(self.width, self.height)


@dataclass(slots=True)
class Painted:
    """Shapes and what could not be had exactly."""

    shapes: list[Flat]
    masks_not_flat: int = 0
    too_many_dashes: int = 0
    out_of_reach: int = 0
    stand_ins: int = 0


class _Brush:
    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas
        self.box = canvas.box
        self.result = Painted(shapes=[])
        self.veils = 0

    def clip_region(self, clip: Clip | None) -> shapely.Geometry:
        """What a clip and the clips around it leave of the page; may be empty."""
        chain: list[Clip] = []
        while clip is not None and clip.region is None:
            chain.append(clip)
            clip = clip.around
        region = self.box if clip is None else clip.region
        for link in reversed(chain):
            if not region.is_empty:
                region = self._clipped_by(region, link)
            link.region = region
        return region

    def _clipped_by(self, region: shapely.Geometry, link: Clip) -> shapely.Geometry:
        rings = fill_rings(link.outline, link.matrix, self.canvas.tolerance)
        own = filled(rings, even_odd=link.even_odd, least_area=0.0)
        if own is None:
            return shapely.Polygon()
        if own.covers(region):
            return region
        left = polygonal(shapely.intersection(region, own), self.canvas.least_area)
        return shapely.Polygon() if left is None else left

    def outline_area(self, leaf: Leaf) -> shapely.Geometry | None:
        """What a leaf covers before its mask."""
        numbers = np.asarray(leaf.outline.numbers)
        width = 0.0 if leaf.stroke is None else leaf.stroke.width
        if not np.isfinite(numbers).all() or not width < _FARTHEST * self.canvas.span:
            self.result.out_of_reach += 1
            return None
        reach = leaf.outline.points(leaf.matrix)
        if len(reach) == 0:
            return None
        if not np.isfinite(reach).all() or np.abs(reach).max() > _FARTHEST * self.canvas.span:
            self.result.out_of_reach += 1
            return None
        region = self.clip_region(leaf.clip)
        if region.is_empty:
            return None
        tolerance = self.canvas.tolerance
        if leaf.stroke is None:
            x0, y0, x1, y1 = region.bounds
            low, high = reach.min(axis=0), reach.max(axis=0)
            if low[0] >= x1 or low[1] >= y1 or high[0] <= x0 or high[1] <= y0:
                return None
            rings = fill_rings(leaf.outline, leaf.matrix, tolerance)
        else:
            try:
                rings = stroke_rings(
                    leaf.outline,
                    leaf.matrix,
                    leaf.stroke,
                    span=self.canvas.span,
                    tolerance=tolerance,
                )
            except TooManyDashes:
                self.result.too_many_dashes += 1
                return None
        least = self.canvas.least_area
        area = filled(rings, even_odd=leaf.even_odd, least_area=least)
        if area is None:
            return None
        shapely.prepare(region)
        if region.covers(area):
            return area
        if not region.intersects(area):
            return None
        return polygonal(shapely.intersection(area, region), least)

    def shapes_of(self, item: Leaf | Layer) -> Iterator[Flat]:
        """Shapes of one thing on the display list, in painting order."""
        if isinstance(item, Leaf):
            area = self.outline_area(item)
            if area is None or item.opacity <= 0.0:
                return
            self.result.stand_ins += not item.ink.exact
            shapes = [
                Flat(
                    area=area,
                    colour=item.ink.colour,
                    opacity=item.opacity,
                    names=item.names,
                )
            ]
        else:
            if item.opacity <= 0.0:
                return
            shapes = [shape for inner in item.content for shape in self.shapes_of(inner)]
            shapes = self.veiled(shapes, item.opacity)
        yield from shapes if item.mask is None else self.masked(shapes, item.mask)

    def veiled(self, shapes: list[Flat], opacity: float) -> list[Flat]:
        """Shapes laid over what lies below as one, at one opacity."""
        if opacity >= 1.0 or not shapes:
            return shapes
        if len(shapes) == 1 and not shapes[0].veils:
            return [replace(shapes[0], opacity=shapes[0].opacity * opacity)]
        self.veils += 1
        veil = (self.veils, opacity)
        return [replace(shape, veils=(veil, *shape.veils)) for shape in shapes]

    def masked(self, shapes: list[Flat], mask: Mask) -> list[Flat]:
        """Shapes seen through a soft mask."""
        if not shapes:
            return shapes
        content = list(self.shapes_of(mask.content))
        try:
            levels = bands(content, mask, self.box)
        except MaskNotFlat:
            self.result.masks_not_flat += not mask.fade
            return shapes
        seen: list[Flat] = []
        for region, opacity in levels:
            shapely.prepare(region)
            cut = [(s, s.area if region.covers(s.area) else self._cut(s, region)) for s in shapes]
            left = [replace(shape, area=area) for shape, area in cut if area is not None]
            seen.extend(self.veiled(left, opacity))
        return seen

    def _cut(self, shape: Flat, region: shapely.Geometry) -> shapely.Geometry | None:
        if not region.intersects(shape.area):
            return None
        return polygonal(shapely.intersection(shape.area, region), self.canvas.least_area)


def painted(page: Layer, canvas: Canvas) -> Painted:
    """Flat shapes of a page, bottom first, cut off at the canvas.

    Parameters
    ----------
    page : Layer
        The display list.
    canvas : Canvas
        The page's size.
    """
    brush = _Brush(canvas)
    brush.result.shapes.extend(brush.shapes_of(page))
    return brush.result

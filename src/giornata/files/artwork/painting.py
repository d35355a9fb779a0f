"""The display list to flat shapes: outlines filled, clips and soft masks applied."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from giornata.core.foundation import Floats
from giornata.files.artwork.display import Clip, Flat, Layer, Leaf, Mask, Thing, Tile
from giornata.files.artwork.fill_rule import filled, polygonal
from giornata.files.artwork.outlines import TooManyDashes, dash_count, fill_rings, stroke_rings
from giornata.files.artwork.separating import separated
from giornata.files.artwork.tiling import TooManyTiles, laid_out
from giornata.files.artwork.veiling import PDF_BRIGHTNESS, Brightness, MaskNotFlat, bands

__all__ = ["Canvas", "Painted", "painted"]

_TOLERANCE = 1.0e-5  # chord to curve, over the geometric mean of the canvas's sides [-]
_CRUMB = 1.0e-12  # polygons dropped, over the area of the canvas [-]
_MOST_DASHES = 150_000  # in one drawing
_FARTHEST = 1.0e6  # coordinates kept, over the larger side of the canvas [-]


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
    things: list[Thing] = field(default_factory=list)


class _Brush:
    def __init__(
        self,
        canvas: Canvas,
        marks: Mapping[str, Thing],
        weights: Brightness,
        box: shapely.Polygon | None = None,
    ) -> None:
        self.canvas = canvas
        self.weights = weights
        self.marks = marks
        self.box = canvas.box if box is None else box
        self.result = Painted(shapes=[])
        self.veils = 0
        self.dashes = 0.0
        self.listing = box is None  # things in masks and cells are parts of other things

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

    def _within_reach(self, points: Floats) -> bool:
        far = _FARTHEST * self.canvas.span
        return bool(np.isfinite(points).all() and np.abs(points).max(initial=0.0) <= far)

    def _clipped_by(self, region: shapely.Geometry, link: Clip) -> shapely.Geometry:
        if not self._within_reach(link.outline.points(link.matrix)):
            self.result.out_of_reach += 1
            return shapely.Polygon()
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
        if not self._within_reach(reach):
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
                self.dashes += dash_count(leaf.outline, leaf.stroke)
                if self.dashes > _MOST_DASHES:
                    raise TooManyDashes(self.dashes)
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
                    thing=self.thing(item, area),
                )
            ]
        else:
            if item.opacity <= 0.0:
                return
            shapes = [shape for inner in item.content for shape in self.shapes_of(inner)]
            shapes = self.veiled(shapes, item.opacity)
        yield from shapes if item.mask is None else self.masked(shapes, item.mask)

    def thing(self, leaf: Leaf, area: shapely.Geometry) -> int:
        """Number of what a leaf stands in for, listed; 0 where it is flat itself."""
        mark = self.marks.get(leaf.names[-1]) if leaf.names else None
        if mark is not None and mark.kind == "effect":
            mark = None  # what it lies over is drawn; it is told by its names
        ink = leaf.ink
        if not self.listing or (mark is None and not ink.kind):
            return 0
        if mark is not None:
            found = replace(mark, box=area.bounds)
            (x0, y0), (x1, y1), _, (x3, y3) = leaf.outline.points(leaf.matrix)[:4]
            found.matrix = (x1 - x0, y1 - y0, x3 - x0, y3 - y0, x0, y0)
        else:
            found = Thing(kind=ink.kind, source=ink.source, doubt=ink.doubt, run=ink.run)
            found.box, found.content = area.bounds, leaf.content
            if ink.tile is not None:
                self.lay_out(found, ink.tile, area)
            elif ink.kind == "picture":
                a, b, c, d, e, f = leaf.matrix
                found.matrix = (a, b, -c, -d, e + c, f + d)  # rows of pixels go down
        self.result.things.append(found)
        return len(self.result.things)

    def lay_out(self, thing: Thing, tile: Tile, area: shapely.Geometry) -> None:
        """Give a pattern its flat shapes, where they can be had."""
        x0, y0, x1, y1 = tile.box
        a, b, c, d, e, f = tile.matrix
        corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
        cell = shapely.Polygon(corners @ np.array([[a, b], [c, d]]) + (e, f))
        if not (cell.is_valid and cell.area > 0):
            thing.doubt = "its cell is squeezed flat"
            return
        brush = _Brush(self.canvas, {}, self.weights, cell)
        brush.veils = self.veils
        shapes = list(brush.shapes_of(tile.content))
        result = brush.result
        if result.masks_not_flat or result.too_many_dashes or result.out_of_reach:
            thing.doubt = "its cell is not read whole"
            return
        try:
            thing.drawn = laid_out(
                area,
                shapes,
                cell=tile.box,
                steps=tile.steps,
                matrix=tile.matrix,
                least_area=self.canvas.least_area,
            )
        except (TooManyTiles, np.linalg.LinAlgError):
            thing.doubt = "it would be more than 10,000 shapes"
            return
        self.veils = brush.veils

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
        listing, self.listing = self.listing, False
        content = list(self.shapes_of(mask.content))
        self.listing = listing
        try:
            levels = bands(content, mask, self.box, self.weights)
        except MaskNotFlat:
            self.result.masks_not_flat += not mask.fade
            for shape in shapes:
                if shape.thing:
                    thing = self.result.things[shape.thing - 1]
                    thing.run, thing.drawn = None, None
                    thing.doubt = "it fades through a mask"
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


def painted(
    page: Layer,
    canvas: Canvas,
    marks: Mapping[str, Thing] | None = None,
    weights: Brightness = PDF_BRIGHTNESS,
) -> Painted:
    """Flat shapes of a page, bottom first, cut off at the canvas, and what is not flat.

    Parameters
    ----------
    page : Layer
        The display list.
    canvas : Canvas
        The page's size.
    marks : mapping of str to Thing, optional
        Names that stand for things of the source; the innermost name of a placeholder's leaf
        is one.
    weights : tuple of float
        Shares of red, green and blue in the brightness of masks. [-]
    """
    marks = marks or {}
    brush = _Brush(canvas, marks, weights)
    brush.result.shapes.extend(brush.shapes_of(page))
    shapes, things = separated(brush.result.shapes, brush.result.things, marks, brush.veils)
    brush.result.shapes, brush.result.things = shapes, things
    return brush.result

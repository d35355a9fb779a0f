"""Soft masks of flat content to regions of one opacity each."""

from __future__ import annotations

import shapely

from giornata.files.artwork.display import Flat, Mask
from giornata.files.artwork.fill_rule import polygonal

__all__ = ["PDF_BRIGHTNESS", "SVG_BRIGHTNESS", "Brightness", "MaskNotFlat", "bands"]

_MOST_CELLS = 2_000
_CRUMB = 1.0e-12
_STEP = 1.0 / 1024.0  # opacities closer than this are one

Brightness = tuple[float, float, float]

# Shares of red, green and blue in what a mask lets through.
SVG_BRIGHTNESS: Brightness = (0.2125, 0.7154, 0.0721)  # SVG 1.1, section 14.4
PDF_BRIGHTNESS: Brightness = (0.30, 0.59, 0.11)  # ISO 32000-1, 11.5.3 with 10.3.3

Cell = tuple[shapely.Geometry, tuple[float, float, float], float]


class MaskNotFlat(Exception):
    """The picture in a mask cannot be told apart into flat regions."""


def _channels(colour: str) -> tuple[float, float, float]:
    red, green, blue = bytes.fromhex(colour[1:])
    return red / 255.0, green / 255.0, blue / 255.0


def _over(
    above: tuple[float, float, float], opacity: float, below: Cell, piece: shapely.Geometry
) -> Cell:
    """Colour and opacity of a piece of a cell after something is laid over it."""
    _, colour, alpha = below
    total = opacity + alpha * (1.0 - opacity)
    if total <= 0.0:
        return piece, colour, 0.0
    red, green, blue = (
        (opacity * top + (1.0 - opacity) * alpha * low) / total
        for top, low in zip(above, colour, strict=True)
    )
    return piece, (red, green, blue), total


def _laid(cells: list[Cell], over: list[Cell], least: float) -> list[Cell]:
    """Cells with others laid over them; no two of the result overlap."""
    for area, colour, opacity in over:
        rest: shapely.Geometry | None = area
        laid: list[Cell] = []
        for cell in cells:
            inside = polygonal(shapely.intersection(cell[0], area), least)
            if inside is None:
                laid.append(cell)
                continue
            laid.append(_over(colour, opacity, cell, inside))
            outside = polygonal(shapely.difference(cell[0], area), least)
            if outside is not None:
                laid.append((outside, cell[1], cell[2]))
            if rest is not None:
                rest = polygonal(shapely.difference(rest, cell[0]), least)
        if rest is not None:
            laid.append((rest, colour, opacity))
        cells = laid
        if len(cells) > _MOST_CELLS:
            raise MaskNotFlat
    return cells


def _cells(shapes: list[Flat], depth: int, least: float) -> list[Cell]:
    """Composite of shapes as cells; ``depth`` counts the veils already opened."""
    cells: list[Cell] = []
    at = 0
    while at < len(shapes):
        shape = shapes[at]
        if len(shape.veils) <= depth:
            cells = _laid(cells, [(shape.area, _channels(shape.colour), shape.opacity)], least)
            at += 1
            continue
        veil = shape.veils[depth]
        end = at
        while end < len(shapes) and shapes[end].veils[depth : depth + 1] == (veil,):
            end += 1
        group = _cells(shapes[at:end], depth + 1, least)
        cells = _laid(cells, [(a, c, o * veil[1]) for a, c, o in group], least)
        at = end
    return cells


def bands(
    shapes: list[Flat], mask: Mask, page: shapely.Polygon, weights: Brightness
) -> list[tuple[shapely.Geometry, float]]:
    """Regions of the page and the opacity with which each lets things through, above 0.

    Parameters
    ----------
    shapes : list of Flat
        The mask's picture, bottom first.
    mask : Mask
        Whether brightness or opacity counts.
    page : Polygon
        The canvas.
    weights : tuple of float
        SVG_BRIGHTNESS or PDF_BRIGHTNESS. [-]

    Returns
    -------
    list of (geometry, opacity)
        No two regions overlap.

    Raises
    ------
    MaskNotFlat
        If the picture holds a gradient, a pattern or an image, or too many regions.
    """
    if not mask.flat:
        raise MaskNotFlat
    least = _CRUMB * page.area
    levels: dict[int, tuple[float, list[shapely.Geometry]]] = {}
    cells = _cells(shapes, 0, least)
    for area, (red, green, blue), alpha in cells:
        value = alpha
        if mask.luminosity:
            brightness = weights[0] * red + weights[1] * green + weights[2] * blue
            value = alpha * brightness + (1.0 - alpha) * mask.backdrop
        levels.setdefault(round(value / _STEP), (value, []))[1].append(area)
    outer = mask.backdrop if mask.luminosity else 0.0
    if outer > 0.0:
        rest = shapely.difference(page, shapely.union_all([cell[0] for cell in cells]))
        left = polygonal(rest, least)
        if left is not None:
            levels.setdefault(round(outer / _STEP), (outer, []))[1].append(left)
    return [
        (region, 1.0 if value > 1.0 - _STEP else value)
        for level, (value, areas) in sorted(levels.items())
        if level > 0 and (region := polygonal(shapely.union_all(areas), least)) is not None
    ]

"""A drawing: flat shapes in painting order, as read from an artwork file."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import shapely

__all__ = ["Drawing", "Look", "Shape", "Veil"]

_HEX = re.compile(r"#[0-9a-f]{6}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Veil:
    """An isolated group that is laid over what lies below it at one opacity.

    Parameters
    ----------
    number : int
        Identity of the group within the drawing; shapes of one group share it. [-]
    opacity : float
        0 to 1. [-]
    """

    number: int
    opacity: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.opacity <= 1.0:
            raise ValueError(f"opacity {self.opacity} is outside 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a shape looks, wherever it lies.

    Parameters
    ----------
    colour : str
        ``#rrggbb``, lower case, sRGB.
    opacity : float
        0 to 1. [-]
    veils : tuple of Veil
        Isolated translucent groups around it, outermost first.
    """

    colour: str
    opacity: float
    veils: tuple[Veil, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """One flat shape: strokes expanded, clips applied, fill rule resolved.

    Parameters
    ----------
    area : shapely.Polygon or shapely.MultiPolygon
        Valid, not empty; artwork frame (own units, y down).
    colour : str
        ``#rrggbb``, lower case, sRGB.
    opacity : float
        0 to 1. [-]
    group : str
        Names of the named groups or layers around the shape, outermost first, with "/" between
        them ("boats/rigging"); "" where none. No name holds a "/".
    veils : tuple of Veil
        Isolated translucent groups around the shape, outermost first.
    """

    area: shapely.Geometry
    colour: str
    opacity: float = 1.0
    group: str = ""
    veils: tuple[Veil, ...] = ()

    def __post_init__(self) -> None:
        if not isinstance(self.area, shapely.Polygon | shapely.MultiPolygon):
            raise ValueError(f"a shape is a polygon, not {type(self.area).__name__}")
        if self.area.is_empty:
            raise ValueError("a shape has an area")
        if not _HEX.fullmatch(self.colour):
            raise ValueError(f"colour {self.colour!r} is not #rrggbb")
        if not 0.0 <= self.opacity <= 1.0:
            raise ValueError(f"opacity {self.opacity} is outside 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Flat-colour shapes in painting order, bottom first.

    Parameters
    ----------
    name : str
        File name, for findings.
    width, height : float
        Canvas in artwork units; above 0. [-]
    shapes : tuple of Shape
        Bottom first; parts outside the canvas already cut off.
    groups : tuple of str
        Names of all named groups or layers, in document order.
    hidden : tuple of str
        Names of groups the file itself switches off; they are in ``shapes`` all the same, so
        that an option may show them.
    disjoint : bool
        True where no two shapes overlap and neighbours share vertices (raster outlines).
    """

    name: str
    width: float
    height: float
    shapes: tuple[Shape, ...]
    groups: tuple[str, ...] = ()
    hidden: tuple[str, ...] = field(default=())
    disjoint: bool = False

    def __post_init__(self) -> None:
        if not (self.width > 0 and self.height > 0):
            raise ValueError("the canvas has a width and a height above 0")

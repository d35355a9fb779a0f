"""One flat shape of a drawing, and the translucent groups around it."""

from __future__ import annotations

import re
from dataclasses import dataclass

import shapely

__all__ = ["Look", "Shape", "Veil"]

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
    thing : int
        Number of the thing that is not flat colour for which the shape stands in; 0 for none. [-]
    """

    area: shapely.Geometry
    colour: str
    opacity: float = 1.0
    group: str = ""
    veils: tuple[Veil, ...] = ()
    thing: int = 0

    def __post_init__(self) -> None:
        if not isinstance(self.area, shapely.Polygon | shapely.MultiPolygon):
            raise ValueError(f"a shape is a polygon, not {type(self.area).__name__}")
        if self.area.is_empty:
            raise ValueError("a shape has an area")
        if not _HEX.fullmatch(self.colour):
            raise ValueError(f"colour {self.colour!r} is not #rrggbb")
        if not 0.0 <= self.opacity <= 1.0:
            raise ValueError(f"opacity {self.opacity} is outside 0 to 1")

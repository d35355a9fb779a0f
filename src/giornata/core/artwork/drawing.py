"""A drawing: flat shapes in painting order, as read from an artwork file."""

from __future__ import annotations

from dataclasses import dataclass, field

from giornata.core.artwork.nonflat import Nonflat
from giornata.core.artwork.shape import Shape

__all__ = ["Drawing"]


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
    things : tuple of Nonflat
        What is not flat colour, by its number; shapes stand in for some of them.
    """

    name: str
    width: float
    height: float
    shapes: tuple[Shape, ...]
    groups: tuple[str, ...] = ()
    hidden: tuple[str, ...] = field(default=())
    disjoint: bool = False
    things: tuple[Nonflat, ...] = ()

    def __post_init__(self) -> None:
        if not (self.width > 0 and self.height > 0):
            raise ValueError("the canvas has a width and a height above 0")

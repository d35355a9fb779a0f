"""A photo of the wall, as it was taken and marked."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.photography.known_points import PICKING, KnownPoint
from giornata.core.photography.outlines import DrawnOutline

__all__ = ["WallPhoto"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WallPhoto:
    """A photo with what is known of it.

    Parameters
    ----------
    name : str
        As the painter calls it.
    width, height : int
        Of the upright picture. [px]
    points : tuple of KnownPoint
        Places of the wall that are seen in it.
    outlines : tuple of DrawnOutline
        What was drawn on it.
    pixel_sigma : float
        Of picking a corner of an outline; above 0. [px]
    focal_35 : float or None
        Focal length the file states for a 36 × 24 mm frame. [m]
    """

    name: str
    width: int
    height: int
    points: tuple[KnownPoint, ...]
    outlines: tuple[DrawnOutline, ...] = ()
    pixel_sigma: float = PICKING.value
    focal_35: float | None = None

    def __post_init__(self) -> None:
        if not (self.width > 0 and self.height > 0 and self.pixel_sigma > 0):
            raise ValueError("a photo has pixels, and a pick a precision above 0")

"""A window on the wall, drawn to scale on a sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike

from giornata.core.documents.drawing import Area, Pen
from giornata.core.foundation import Floats, readonly
from giornata.core.survey import DevelopedWall, level_at

__all__ = ["WallView", "areas", "level_range", "polygons"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WallView:
    """A window on the wall and its place on the sheet.

    Parameters
    ----------
    start, end : float
        Chainages of its sides. [m]
    base, head : float
        Levels of its lower and upper edge. [m]
    left, lower : float
        Place of its lower left corner on the sheet. [mm]
    mm_per_metre : float
        Above 0. [mm/m]
    """

    start: float
    end: float
    base: float
    head: float
    left: float
    lower: float
    mm_per_metre: float

    def __post_init__(self) -> None:
        if not (self.end > self.start and self.head > self.base and self.mm_per_metre > 0):
            raise ValueError("a window has a width, a height and a scale")

    @property
    def right(self) -> float:
        """Its right side on the sheet. [mm]"""
        return self.x(self.end)

    @property
    def upper(self) -> float:
        """Its upper edge on the sheet. [mm]"""
        return self.y(self.head)

    @property
    def window(self) -> Any:
        """The window as a polygon in the wall frame. [m]"""
        return shapely.box(self.start, self.base, self.end, self.head)

    def x(self, chainage: float) -> float:
        """Place of a chainage on the sheet. [mm]

        Parameters
        ----------
        chainage : float
            [m]
        """
        return self.left + (chainage - self.start) * self.mm_per_metre

    def y(self, level: float) -> float:
        """Place of a level on the sheet. [mm]

        Parameters
        ----------
        level : float
            [m]
        """
        return self.lower - (level - self.base) * self.mm_per_metre

    def holds(self, chainage: float, *, slack: float = 1e-6) -> bool:
        """Whether a chainage lies inside the window.

        Parameters
        ----------
        chainage : float
            [m]
        slack : float
            [m]
        """
        return self.start - slack <= chainage <= self.end + slack

    def on_sheet(self, points: ArrayLike) -> Floats:
        """Points of the wall on the sheet, shape ``(n, 2)``. [mm]

        Parameters
        ----------
        points : array, shape (n, 2)
            Chainage and level. [m]
        """
        xy = np.asarray(points, dtype=np.float64)
        return readonly(
            np.column_stack(
                [
                    self.left + (xy[:, 0] - self.start) * self.mm_per_metre,
                    self.lower - (xy[:, 1] - self.base) * self.mm_per_metre,
                ]
            )
        )

    def cut(self, geometry: Any) -> Any:
        """The part of a geometry inside the window; wall frame. [m]"""
        return shapely.intersection(geometry, self.window)


def polygons(geometry: Any) -> Iterator[Any]:
    """The polygons of a geometry, whatever else is in it."""
    for part in shapely.get_parts(geometry):
        if part.geom_type == "Polygon" and not part.is_empty:
            yield part
        elif part.geom_type in {"MultiPolygon", "GeometryCollection"}:
            yield from polygons(part)


def areas(
    view: WallView, geometry: Any, *, fill: str | None = None, pen: Pen | None = None
) -> tuple[Area, ...]:
    """What of a geometry of the wall lies in the window, as areas of the sheet."""
    return tuple(
        Area(
            rings=tuple(
                view.on_sheet(shapely.get_coordinates(ring)[:-1])
                for ring in (polygon.exterior, *polygon.interiors)
            ),
            fill=fill,
            pen=pen,
        )
        for polygon in polygons(view.cut(geometry))
    )


def level_range(wall: DevelopedWall, start: float, end: float) -> tuple[float, float]:
    """Lowest ground and highest top between two chainages. [m]

    Parameters
    ----------
    start, end : float
        Chainages; cut to the wall. [m]
    """
    start, end = max(start, 0.0), min(end, wall.length)
    reached = []
    for line, extreme in ((wall.ground, min), (wall.top, max)):
        inside = line[(line[:, 0] >= start) & (line[:, 0] <= end), 1].tolist()
        ends = [level_at(line, start), level_at(line, end, before=True)]
        reached.append(float(extreme([*inside, *ends])))
    return reached[0], reached[1]

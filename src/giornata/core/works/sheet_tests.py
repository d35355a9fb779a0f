"""Sheet tests for moisture in a wall: how many, and where."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Assumption
from giornata.core.survey import DevelopedWall, level_at

__all__ = ["SHEET_SIDE", "SHEET_TIME", "SheetPlace", "sheet_places", "sheet_test_count"]

_NEWSLETTER = "paint maker's newsletter on ASTM D4263"

SHEET_AREA = Assumption(
    name="wall to one sheet test",
    value=500 * 0.3048**2,
    unit="m²",
    source=f"{_NEWSLETTER}: one for each 500 ft²",
)
SHEET_RISE = Assumption(
    name="height to one row of sheet tests",
    value=10 * 0.3048,
    unit="m",
    source=f"{_NEWSLETTER}: one for each 10 ft of rise, the lowest within 1 ft of the ground",
)
SHEET_FOOT = Assumption(
    name="lowest edge of a sheet above the ground",
    value=0.15,
    unit="m",
    source=f"{_NEWSLETTER}: the lowest begins within 1 ft (0.30 m) of the ground",
    usual=(0.0, 0.3048),
)
SHEET_SIDE = Assumption(
    name="side of the sheet",
    value=0.46,
    unit="m",
    source=f"{_NEWSLETTER}: 460 mm square",
)
SHEET_TIME = Assumption(
    name="time a sheet stays on",
    value=16 * 3600.0,
    unit="s",
    source=f"{_NEWSLETTER}: 16 to 24 h",
    usual=(16 * 3600.0, 24 * 3600.0),
)

_STEP = 0.1  # m: how finely a free place is looked for


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlace:
    """Where a sheet is taped.

    Parameters
    ----------
    bay : str
        Name of the bay its middle lies in.
    chainage : float
        Of its middle. [m]
    above_ground : float
        Of its lower edge. [m]
    """

    bay: str
    chainage: float
    above_ground: float


def sheet_test_count(area: float, height: float) -> int:
    """Sheet tests that a wall needs. [-]

    Parameters
    ----------
    area : float
        To be painted; 0 or more. [m²]
    height : float
        Greatest height of the wall; 0 or more. [m]

    Raises
    ------
    ValueError
        If an argument is below 0.

    Notes
    -----
    One for each 500 ft², and at least one in each row of 10 ft of rise that has room for a
    sheet, after ASTM D4263 as a paint maker's newsletter puts it.

    Examples
    --------
    >>> sheet_test_count(167.52, 2.9)
    4
    """
    if not (area >= 0 and height >= 0):
        raise ValueError("area and height are 0 or more")
    return max(math.ceil(area / SHEET_AREA.value - 1e-9), _rows(height))


def _rows(height: float) -> int:
    room = height - SHEET_FOOT.value - SHEET_SIDE.value
    return 1 + max(math.floor(room / SHEET_RISE.value + 1e-9), 0)


def sheet_places(wall: DevelopedWall) -> tuple[SheetPlace, ...]:
    """Where the sheets go: evenly along each row, clear of openings; from below, left to right.

    A row has no place where the wall is nowhere high enough for it.
    """
    count = sheet_test_count(float(wall.net_area), wall.greatest_height)
    rows = _rows(wall.greatest_height)
    shapely.prepare(wall.net)
    places = []
    for row in range(rows):
        above = SHEET_FOOT.value + row * SHEET_RISE.value
        number = count // rows + (row < count % rows)
        for place in range(number):
            middle = wall.length * (place + 0.5) / number
            chainage = _free(wall, middle, above)
            if chainage is not None:
                bay = _bay_at(wall, chainage)
                places.append(SheetPlace(bay=bay, chainage=chainage, above_ground=above))
    return tuple(places)


def _free(wall: DevelopedWall, wanted: float, above: float) -> float | None:
    """Chainage nearest to the one wanted where the sheet lies wholly on the wall. [m]"""
    half = SHEET_SIDE.value / 2
    offsets = np.arange(0.0, wall.length + _STEP, _STEP)
    for offset in offsets:
        for chainage in (wanted + offset, wanted - offset):
            if half <= chainage <= wall.length - half and shapely.covers(
                wall.net, _sheet(wall, chainage, above)
            ):
                return float(chainage)
    return None


def _sheet(wall: DevelopedWall, chainage: float, above: float) -> Any:
    half = SHEET_SIDE.value / 2
    foot = above + max(
        level_at(wall.ground, at, before=before)
        for at in (chainage - half, chainage, chainage + half)
        for before in (False, True)
    )
    return shapely.box(chainage - half, foot, chainage + half, foot + SHEET_SIDE.value)


def _bay_at(wall: DevelopedWall, chainage: float) -> str:
    return next((bay.name for bay in wall.bays if chainage <= bay.end), wall.bays[-1].name)

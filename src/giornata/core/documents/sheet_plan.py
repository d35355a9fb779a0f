"""Which window of the wall each reference sheet shows; worked in whole millimetres of paper."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.documents.scales import Scale, whole_units
from giornata.core.documents.wall_view import level_range
from giornata.core.survey import DevelopedWall

__all__ = ["SheetWindow", "sheet_count", "sheet_windows"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWindow:
    """The window of one reference sheet.

    Parameters
    ----------
    number : int
        From 1, along the wall; in one column the lower sheet first. [-]
    column, row : int
        Place among the sheets, from 1; rows count from the foot. [-]
    rows : int
        In its column. [-]
    start, end : float
        Chainages of the paper's window; the last may reach beyond the wall. [m]
    base, head : float
        Levels of its lower and upper edge. [m]
    left, right, below, above : int or None
        Numbers of the neighbours. [-]
    """

    number: int
    column: int
    row: int
    rows: int
    start: float
    end: float
    base: float
    head: float
    left: int | None = None
    right: int | None = None
    below: int | None = None
    above: int | None = None


def sheet_count(length: int, usable: int, overlap: int) -> int:
    """Sheets in a row: as few as cover a length with an overlap of neighbours. [-]

    Parameters
    ----------
    length : int
        On paper, in whole millimetres or other units; above 0. [-]
    usable : int
        Of one sheet; above the overlap. [-]
    overlap : int
        0 or more. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> sheet_count(3060, 400, 20)  # (3060 - 400) / 380 is exactly 7
    8
    """
    if not (length > 0 and usable > overlap >= 0):
        raise ValueError("length is above 0 and a sheet longer than its overlap")
    if length <= usable:
        return 1
    return -((usable - length) // (usable - overlap)) + 1


def sheet_windows(
    wall: DevelopedWall,
    scale: Scale,
    *,
    usable: int,
    height: int,
    overlap: int,
    unit: float = 1.0,
) -> tuple[SheetWindow, ...]:
    """The windows of all sheets, every start a whole step from the datum.

    Parameters
    ----------
    usable, height : int
        Room for the wall on a sheet, in units. [-]
    overlap : int
        Of neighbours, in units. [-]
    unit : float
        What the sheets are planned in whole numbers of; above 0. [mm]
    """
    of_wall = unit * scale.ratio / 1000
    columns = sheet_count(whole_units(wall.length, scale, unit), usable, overlap)
    found: list[SheetWindow] = []
    numbers: dict[tuple[int, int], int] = {}
    for column in range(1, columns + 1):
        start = (column - 1) * (usable - overlap) * of_wall
        end = start + usable * of_wall
        low, high = level_range(wall, start, end)
        tall = max(whole_units(high - low, scale, unit), 1)
        rows = sheet_count(tall, height, overlap)
        for row in range(1, rows + 1):
            base = low + (row - 1) * (height - overlap) * of_wall
            head = min(base + height * of_wall, low + tall * of_wall)
            numbers[column, row] = len(found) + 1
            found.append(
                SheetWindow(number=len(found) + 1, column=column, row=row, rows=rows,
                            start=start, end=end, base=base, head=head)
            )  # fmt: skip
    return tuple(
        SheetWindow(
            number=one.number, column=one.column, row=one.row, rows=one.rows, start=one.start,
            end=one.end, base=one.base, head=one.head,
            left=numbers.get((one.column - 1, one.row)),
            right=numbers.get((one.column + 1, one.row)),
            below=numbers.get((one.column, one.row - 1)),
            above=numbers.get((one.column, one.row + 1)),
        )
        for one in found
    )  # fmt: skip

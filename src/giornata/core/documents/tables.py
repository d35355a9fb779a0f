"""Tables: columns with units and rows of numbers, and the same table in the reader's units."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from giornata.core.foundation import FOOT, MINOR_DIGITS, Figure, System, printed, shown_place

__all__ = ["Cell", "Column", "PrintedColumn", "PrintedTable", "Table", "printed_table"]

Cell = str | int | float | Decimal | Figure | None
PrintedCell = str | int | float | Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table.

    Parameters
    ----------
    head : str
        What stands at its head, without the unit.
    unit : str
        SI unit or currency of its numbers; "" for words and for counts.
    digits : int or None
        Digits behind the point, where the usual ones are not wanted. [-]
    place : bool
        Whether its numbers are places on the wall, known to the millimetre. [m]
    """

    head: str
    unit: str = ""
    digits: int | None = None
    place: bool = False

    def __post_init__(self) -> None:
        if self.place and self.unit != "m":
            raise ValueError("a place on the wall is in metres")


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of a table, in SI.

    Parameters
    ----------
    name : str
        Of its file and its sheet ("take-off").
    title : str
        What it is, in the painter's words.
    columns : tuple of Column
    rows : tuple of tuple
        One cell for each column; None stays empty.
    totals : tuple of tuple
        Rows that sum others up, below them.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    totals: tuple[tuple[Cell, ...], ...] = ()

    def __post_init__(self) -> None:
        for row in (*self.rows, *self.totals):
            if len(row) != len(self.columns):
                raise ValueError(f"{self.name}: a row has {len(row)} cells, not one a column")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedColumn:
    """A column in the reader's unit.

    Parameters
    ----------
    head : str
        With its unit in brackets.
    digits : int or None
        Digits behind the point that are worth printing; None for words. [-]
    """

    head: str
    digits: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedTable:
    """A table in the reader's units; numbers keep all their digits, ``digits`` says which count.

    Parameters
    ----------
    name, title : str
        Of the table.
    columns : tuple of PrintedColumn
    rows, totals : tuple of tuple
        As in `Table`.
    """

    name: str
    title: str
    columns: tuple[PrintedColumn, ...]
    rows: tuple[tuple[PrintedCell, ...], ...]
    totals: tuple[tuple[PrintedCell, ...], ...]


def printed_table(table: Table, system: System) -> PrintedTable:
    """A table in the reader's units, the unit of each column at its head.

    Notes
    -----
    A column keeps one unit whatever the size of its numbers. Places on the wall are millimetres;
    in US units decimal feet, with feet and inches in words beside them.

    Examples
    --------
    >>> area = Column(head="Area", unit="m²")
    >>> table = Table(name="walls", title="Walls", columns=(area,), rows=((167.52,),))
    >>> printed = printed_table(table, System.US)
    >>> printed.columns[0].head, round(printed.rows[0][0], 1)
    ('Area [sq ft]', 1803.2)
    """
    columns: list[PrintedColumn] = []
    for number, column in enumerate(table.columns):
        columns += _columns(column, _has_fractions(table, number), system)

    def in_units(row: tuple[Cell, ...]) -> tuple[PrintedCell, ...]:
        return tuple(
            cell
            for column, value in zip(table.columns, row, strict=True)
            for cell in _cells(column, value, system)
        )

    return PrintedTable(
        name=table.name,
        title=table.title,
        columns=tuple(columns),
        rows=tuple(map(in_units, table.rows)),
        totals=tuple(map(in_units, table.totals)),
    )


def _has_fractions(table: Table, number: int) -> bool | None:
    """Whether a column without unit holds fractions; None where it holds words alone."""
    values = [row[number] for row in (*table.rows, *table.totals)]
    numbers = [value for value in values if value is not None and not isinstance(value, str)]
    if not numbers:
        return None
    return any(not float(value).is_integer() for value in numbers)


def _columns(column: Column, fractions: bool | None, system: System) -> list[PrintedColumn]:
    if column.place:
        if system is System.METRIC:
            return [PrintedColumn(head=f"{column.head} [mm]", digits=0)]
        return [
            PrintedColumn(head=f"{column.head} [ft]", digits=3),
            PrintedColumn(head=f"{column.head} [ft, in]", digits=None),
        ]
    if not column.unit:
        usual = None if fractions is None else 3 if fractions else 0
        return [PrintedColumn(head=column.head, digits=usual)]
    _, unit, usual = _in_unit(1.0, column.unit, system)
    head = column.head if unit == "-" else f"{column.head} [{unit}]"
    return [PrintedColumn(head=head, digits=usual if column.digits is None else column.digits)]


def _cells(column: Column, value: Cell, system: System) -> tuple[PrintedCell, ...]:
    plain = value.value if isinstance(value, Figure) else value
    if column.place:
        if plain is None or isinstance(plain, str):
            return (plain,) if system is System.METRIC else (plain, None)
        metres = float(plain)
        if system is System.METRIC:
            return (round(1000 * metres),)
        return (metres / FOOT, shown_place(metres, system))
    if plain is None or isinstance(plain, (str, int)):
        return (plain,)
    if not column.unit or column.unit in MINOR_DIGITS:
        return (plain,)
    return (_in_unit(float(plain), column.unit, system)[0],)


def _in_unit(value: float, unit: str, system: System) -> tuple[float, str, int]:
    """As `printed`, but for lengths, which stay metres or feet however short they are."""
    if unit in MINOR_DIGITS:
        return value, unit, MINOR_DIGITS[unit]
    if unit == "m":
        return (value, "m", 2) if system is System.METRIC else (value / FOOT, "ft", 2)
    scaled, name, digits = printed(value, unit, system)
    return scaled, name, 2 if name == "-" else digits

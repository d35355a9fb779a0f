"""Printing: SI numbers in the reader's units, rounded once, and figures that explain themselves."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from enum import StrEnum
from itertools import zip_longest

from giornata.core.foundation.figure import Basis, Figure
from giornata.core.foundation.money import MINOR_DIGITS, Money
from giornata.core.foundation.units import FOOT, INCH, SQUARE_FOOT, US_GALLON

__all__ = [
    "Printed", "System", "explain", "number_of", "printed", "shown", "shown_column", "shown_day",
    "shown_figure", "shown_place",
]  # fmt: skip


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


class System(StrEnum):
    """Units a reader wants: metric, or US customary."""

    METRIC = "metric"
    US = "us"


Printed = tuple[float, str, int]  # value in the reader's unit, that unit, digits behind the point

_TO_THE_MILLIMETRE = 3  # digits of metres
_HOUR = 3600.0
_LITRE = 1e-3

# SI unit -> (divisor, printed unit, digits) for each system; lengths are below.
_METRIC: dict[str, tuple[float, str, int]] = {
    "m²": (1.0, "m²", 2),
    "m³": (_LITRE, "L", 1),
    "m²/m³": (1.0 / _LITRE, "m²/L", 2),
    "m²/s": (1.0 / _HOUR, "m²/h", 1),
    "m/s": (1.0 / _HOUR, "m/h", 1),
    "s": (_HOUR, "h", 1),
    "rad": (math.pi / 180, "°", 1),
    "lx": (1.0, "lx", 1),
    "lm": (1.0, "lm", 0),
    "cd/m²": (1.0, "cd/m²", 2),
    "W": (1.0, "W", 0),
    "J": (3.6e6, "kWh", 1),
    "A": (1.0, "A", 1),
    "V": (1.0, "V", 0),
    "days": (1.0, "days", 1),
    "m/px": (1e-3, "mm/px", 2),
    "px": (1.0, "px", 0),
    "s/m²": (_HOUR, "h/m²", 3),
    "s/m": (_HOUR, "h/m", 3),
    "%": (1.0, "%", 1),
}
_US: dict[str, tuple[float, str, int]] = {
    "m²": (SQUARE_FOOT, "sq ft", 1),
    "m³": (US_GALLON, "gal", 2),
    "m²/m³": (SQUARE_FOOT / US_GALLON, "sq ft/gal", 0),
    "m²/s": (SQUARE_FOOT / _HOUR, "sq ft/h", 0),
    "m/s": (FOOT / _HOUR, "ft/h", 0),
    "lx": (1.0 / SQUARE_FOOT, "fc", 2),
    "m/px": (INCH, "in/px", 3),
    "s/m²": (_HOUR / SQUARE_FOOT, "h/sq ft", 4),
    "s/m": (_HOUR / FOOT, "h/ft", 4),
}


def printed(value: float, unit: str, system: System) -> Printed:
    """A value in the reader's unit, with that unit and the digits that are worth printing.

    Parameters
    ----------
    value : float
        In ``unit``. [unit]
    unit : str
        SI unit, as figures carry it.
    system : System
        The reader's units. Lengths here are decimal (m, mm, ft); `shown` prints feet and inches.

    Examples
    --------
    >>> printed(0.0114, "m³", System.METRIC)
    (11.4, 'L', 1)
    """
    if unit == "m":
        return _length(value, system)
    table = {**_METRIC, **_US} if system is System.US else _METRIC
    divisor, name, digits = table.get(unit, (1.0, unit, 0 if float(value).is_integer() else 3))
    scaled = value / divisor
    return (round(scaled, 12), name, digits)


def _length(value: float, system: System) -> Printed:
    if system is System.US:
        return (value / FOOT, "ft", 2)
    if abs(value) >= 1.0 or value == 0.0:
        return (value, "m", 2)
    return (value * 1000, "mm", 0 if abs(value) >= 0.01 else 1)


def shown(value: float, unit: str, system: System, *, digits: int | None = None) -> str:
    """Text of a value in the reader's units: "78.60 m", "257 ft 10 1/2 in", "11.4 L".

    Parameters
    ----------
    value : float
        In ``unit``. [unit]
    digits : int or None
        Digits behind the point, where the usual ones are not wanted; of metres three fewer where
        millimetres are printed. [-]

    Examples
    --------
    >>> shown(78.6, "m", System.US)
    '257 ft 10 1/2 in'
    >>> shown(0.4, "m", System.METRIC, digits=2)
    '400 mm'
    >>> shown(167.52, "m²", System.US)
    '1,803.2 sq ft'
    >>> shown(0.12, "-", System.METRIC)
    '0.12'
    """
    if unit in MINOR_DIGITS:
        return f"{value:,.{MINOR_DIGITS[unit]}f} {unit}"
    if unit == "m" and system is System.US and digits is None:
        return _feet_and_inches(value)
    if unit == "-":
        places = digits if digits is not None else (0 if float(value).is_integer() else 3)
        text = f"{value:,.{places}f}"
        return text.rstrip("0").rstrip(".") if digits is None and "." in text else text
    scaled, name, usual = printed(value, unit, system)
    text = f"{scaled:,.{_places(unit, name, usual, digits)}f}"
    return f"{text}{name}" if name == "°" else f"{text} {name}"


def shown_column(
    values: Sequence[float | Decimal | None],
    unit: str,
    system: System,
    *,
    digits: int | None = None,
) -> tuple[str, tuple[str, ...]]:
    """Unit for the head of a column, and its values in that one unit with as many digits each.

    Parameters
    ----------
    values : sequence of float, Decimal or None
        In ``unit``; None and what is not finite become "". [unit]
    unit : str
        SI unit, as figures carry it, or a currency.
    digits : int or None
        Digits behind the point, where the usual ones are not wanted; of metres three fewer where
        millimetres are printed. [-]

    Examples
    --------
    >>> shown_column([0.62, 258.32], "m", System.METRIC)
    ('m', ('0.62', '258.32'))
    >>> shown_column([0.0029, None], "m³", System.METRIC)
    ('L', ('2.9', ''))
    """
    known = [value for value in values if value is not None and math.isfinite(value)]
    if unit in MINOR_DIGITS:
        name, scale, usual = unit, 1.0, MINOR_DIGITS[unit]
    else:
        widest = max((abs(float(value)) for value in known), default=1.0)
        _, name, usual = printed(widest, unit, system)
        scale = 1000.0 if (unit, name) == ("m", "mm") else printed(1.0, unit, system)[0]
        if unit == "-":
            name, usual = "", 0 if all(float(value).is_integer() for value in known) else 2
    places = _places(unit, name, usual, digits)

    def text(value: float | Decimal | None) -> str:
        if value is None or not math.isfinite(value):
            return ""
        if isinstance(value, Decimal):
            return f"{value:,.{places}f}"
        scaled = round(round(value * scale, 12), places) + 0.0  # no sign before a nought
        return f"{scaled:,.{places}f}"

    return name, tuple(text(value) for value in values)


def _places(unit: str, name: str, usual: int, digits: int | None) -> int:
    """Digits behind the point, those asked for counted in metres."""
    if digits is None:
        return usual
    return max(digits - 3, 0) if (unit, name) == ("m", "mm") else digits


def shown_place(value: float, system: System, *, digits: int = 3) -> str:
    """A chainage or level, in one unit whatever its size, so that a column of them compares.

    Parameters
    ----------
    value : float
        [m]
    digits : int
        Behind the point of metres; from three on, what is set out or read off a tape: then feet
        and inches go to 1/16 in, else to 1/8 in, below 1 ft to 1/16 in. [-]

    Examples
    --------
    >>> shown_place(0.2, System.METRIC)
    '0.200 m'
    >>> shown_place(2.98, System.US), shown_place(2.98, System.US, digits=2)
    ('9 ft 9 5/16 in', '9 ft 9 3/8 in')
    >>> shown_place(0.0, System.US), shown_place(9.7536, System.US)
    ('0 ft', '32 ft')
    """
    if system is System.US:
        text = _feet_and_inches(value, parts=16 if digits >= _TO_THE_MILLIMETRE else 8)
        return "0 ft" if text.lstrip("-") == "0 in" else text.replace(" ft 0 in", " ft")
    return f"{round(value, digits) + 0.0:.{digits}f} m"


def _feet_and_inches(value: float, *, parts: int = 8) -> str:
    """Feet and inches, to so many parts of an inch from a foot on, to 1/16 in below."""
    if abs(value) < FOOT:
        parts = 16
    sign = "-" if value < 0 else ""
    count = round(abs(value) / INCH * parts)
    feet, rest = divmod(count, 12 * parts)
    inches, over = divmod(rest, parts)
    step = math.gcd(over, parts)
    fraction = f"{over // step}/{parts // step}" if over else ""
    inch_text = " ".join(t for t in (str(inches) if inches or not fraction else "", fraction) if t)
    return f"{sign}{feet} ft {inch_text} in" if feet else f"{sign}{inch_text} in"


def number_of(count: int, one: str, many: str = "") -> str:
    """So many of a thing, singular or plural.

    Parameters
    ----------
    count : int
        0 or more. [-]
    one : str
        Singular, with its verb where the sentence has one.
    many : str
        Plural; left out: the singular with an s.

    Examples
    --------
    >>> number_of(1, "bay"), number_of(12, "bay"), number_of(0, "bay")
    ('1 bay', '12 bays', '0 bays')
    >>> number_of(1, "note finds no room", "notes find no room")
    '1 note finds no room'
    """
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def shown_day(when: date) -> str:
    """A date in words, whatever the machine's language.

    Examples
    --------
    >>> shown_day(date(2027, 2, 8))
    '8 February 2027'
    """
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"


def shown_figure(figure: Figure, system: System) -> str:
    """Text of a figure's value, with its precision where it has one."""
    if isinstance(figure.value, Decimal) and figure.unit in MINOR_DIGITS:
        return str(Money(amount=figure.value, currency=figure.unit))
    text = shown(float(figure.value), figure.unit, system)
    return f"{text} ± {shown(figure.sigma, figure.unit, system)}" if figure.sigma else text


def explain(
    figure: Figure,
    system: System,
    *,
    depth: int = 9,
    width: int | None = None,
    once: bool = False,
) -> str:
    """A figure, how it came about and what from, one line each, parts indented.

    Parameters
    ----------
    depth : int
        How many levels of parts are printed; at least 0. [-]
    width : int or None
        Longest line wanted, in letters: longer reasons go on below. [-]
    once : bool
        A figure that was explained further up is not explained again.
    """
    lines: list[tuple[str, str]] = []
    _explained(figure, system, 0, depth, lines, set() if once else None)
    column = max(len(left) for left, _ in lines) + 2
    if width is None:
        return "\n".join(f"{left:<{column}}{right}".rstrip() for left, right in lines)
    column = min(column, width // 2)
    rows: list[str] = []
    for left, right in lines:
        reason = textwrap.wrap(right, max(width - column, 20)) or [""]
        if len(left) + 2 > column:
            rows.append(left)
            left = ""
        rows += [
            f"{part:<{column}}{text}" for part, text in zip_longest((left,), reason, fillvalue="")
        ]
    return "\n".join(row.rstrip() for row in rows)


def _explained(
    figure: Figure,
    system: System,
    level: int,
    depth: int,
    lines: list[tuple[str, str]],
    known: set[Figure] | None,
) -> None:
    left = "  " * level + f"{figure.name} = {shown_figure(figure, system)}"
    if known is not None and figure in known:
        lines.append((left, "as above"))
        return
    if known is not None and figure.parts:
        known.add(figure)
    if figure.basis is Basis.DERIVED:
        reason = figure.formula
    else:
        reason = f"{figure.basis}: {figure.source}"
        if figure.usual:
            low, high = (shown(v, figure.unit, system) for v in figure.usual)
            reason += f" (usual {low} to {high})"
    lines.append((left, reason))
    for finding in figure.findings:
        lines.append(("  " * (level + 1) + f"({finding.severity})", finding.message))
    if level < depth:
        for part in figure.parts:
            _explained(part, system, level + 1, depth, lines, known)

"""Words of the papers: measures in the reader's units, directions."""

from __future__ import annotations

import math

from giornata.core.foundation import INCH, Figure, System, shown, shown_figure, shown_place

__all__ = [
    "bare", "direction", "edge_text", "figure_text", "headed", "size_text", "small_text",
    "unit_note",
]  # fmt: skip

_WINDS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def bare(value: float, system: System, *, digits: int = 2) -> str:
    """A length for a dimension line: metres without their unit, or feet and inches.

    Parameters
    ----------
    value : float
        [m]
    digits : int
        Behind the point of metres; from three on feet and inches go to 1/16 in, else to 1/8. [-]

    Examples
    --------
    >>> bare(6.549, System.METRIC), bare(6.549, System.US), bare(3.048, System.US)
    ('6.55', '21 ft 5 7/8 in', '10 ft')
    >>> bare(6.549, System.US, digits=3)
    '21 ft 5 13/16 in'
    """
    text = shown_place(value, system, digits=digits)
    return text if system is System.US else text.removesuffix(" m")


def size_text(width: float, height: float, system: System) -> str:
    """Width by height.

    Parameters
    ----------
    width, height : float
        [m]

    Examples
    --------
    >>> size_text(3.6, 2.1, System.METRIC)
    '3.60 × 2.10 m'
    """
    unit = "" if system is System.US else " m"
    return f"{bare(width, system)} × {bare(height, system)}{unit}"


def figure_text(figure: Figure, system: System) -> str:
    """A figure's value without its precision."""
    return shown_figure(figure, system).split(" ± ", maxsplit=1)[0]


def edge_text(figure: Figure, system: System) -> str:
    """A length of edge, to the metre or foot."""
    value = float(figure.value)
    if system is System.METRIC and value < 1.0:
        return "0 m" if value < 0.5 else "1 m"
    return shown(value, "m", system, digits=0)


def small_text(value: float | None, system: System, *, digits: int = 1) -> str:
    """A miss or an error, in millimetres or hundredths of an inch; "-" for none.

    Parameters
    ----------
    value : float or None
        [m]
    digits : int
        Behind the point of millimetres. [-]

    Examples
    --------
    >>> small_text(0.0127, System.METRIC), small_text(0.0127, System.US)
    ('12.7 mm', '0.50 in')
    """
    if value is None:
        return "-"
    return f"{value / INCH:.2f} in" if system is System.US else f"{1000 * value:.{digits}f} mm"


def unit_note(system: System) -> str:
    """In which unit bare dimensions are."""
    return "Dimensions in feet and inches" if system is System.US else "Dimensions in metres"


def headed(name: str, system: System) -> str:
    """Head of a column of lengths: with its unit where the cells are bare numbers.

    Examples
    --------
    >>> headed("Chainage", System.METRIC), headed("Chainage", System.US)
    ('Chainage, m', 'Chainage')
    """
    return name if system is System.US else f"{name}, m"


def direction(bearing: float) -> str:
    """A bearing from true north by east, with its wind.

    Parameters
    ----------
    bearing : float
        [rad]

    Examples
    --------
    >>> direction(math.radians(215))
    '215° (south-west)'
    """
    degrees = round(math.degrees(bearing)) % 360
    wind = _WINDS[round(degrees / 45) % 8]
    return f"{shown(math.radians(degrees), 'rad', System.METRIC, digits=0)} ({wind})"

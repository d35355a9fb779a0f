"""Drift: what becomes of a design projected in sections of the wrong size."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Assumption, Finding, Severity, number_of

__all__ = ["SECTION_LIMIT", "Drift", "section_drift"]

SECTION_LIMIT = Assumption(
    name="greatest miss at the side of a section",
    value=0.010,
    unit="m",
    source="common practice, no source: a step of 5 to 10 mm in free shapes goes unnoticed",
    usual=(0.005, 0.010),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """Misplacement of equal sections that are all shown too large or too small.

    Parameters
    ----------
    scale : float
        Shown over intended width, less 1; above 0 too large. [-]
    chained : float
        Past the intended end where each section is hung on the last; below 0 short of it. [m]
    from_middle : float
        The same at either end where they are hung on one another from the middle out. [m]
    on_marks : float
        Greatest miss, at the sides of a section, where each is centred on absolute marks. [m]
    apart : float
        By how much a shape on a join is shown double or left out on marks. [m]
    move_in : float or None
        How far to move towards the wall; below 0 away from it. [m]
    """

    scale: float
    chained: float
    from_middle: float
    on_marks: float
    apart: float
    move_in: float | None


def section_drift(
    sections: int,
    intended: float,
    shown: float,
    distance: float | None = None,
    limit: float = SECTION_LIMIT.value,
) -> tuple[Drift, tuple[Finding, ...]]:
    """Where sections of the wrong size end up: chained, from the middle, and on absolute marks.

    Parameters
    ----------
    sections : int
        Equal sections along the wall; at least 1. [-]
    intended, shown : float
        Width of a section as meant and as measured on the wall; above 0. [m]
    distance : float or None
        Present distance from lens to wall; above 0. [m]
    limit : float
        Greatest miss allowed at the side of a section; above 0. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> drift, _ = section_drift(8, 3.90, 4.02)
    >>> round(drift.chained, 2), round(drift.from_middle, 2), round(drift.on_marks, 3)
    (0.96, 0.48, 0.06)
    """
    if sections < 1 or not (intended > 0 and shown > 0 and limit > 0):
        raise ValueError("sections, widths and limit are above 0")
    if distance is not None and not distance > 0:
        raise ValueError("a distance is above 0")
    over = shown - intended
    drift = Drift(
        scale=shown / intended - 1,
        chained=sections * over,
        from_middle=sections * over / 2,
        on_marks=abs(over) / 2,
        apart=abs(over),
        move_in=None if distance is None else distance * (1 - intended / shown),
    )
    if drift.on_marks <= limit * (1 + 1e-9):
        return drift, ()
    return drift, (_finding(drift, sections, intended, shown, distance, limit),)


def _finding(
    drift: Drift, sections: int, intended: float, shown: float, distance: float | None, limit: float
) -> Finding:
    large = drift.scale > 0
    join = "shown double" if large else "left out"
    share = 100 * abs(1 - intended / shown)
    move = f"Move the projector {'in' if large else 'out'} by {share:.1f} % of its distance"
    if distance is not None and drift.move_in is not None:
        move += f" ({abs(drift.move_in):.2f} m, to {distance - drift.move_in:.2f} m)"
    return Finding(
        code="projection.section_size",
        severity=Severity.STOP,
        subject=f"{number_of(sections, 'section')} of {intended:.3f} m",
        message=(
            f"They come out {shown:.3f} m wide, {100 * abs(drift.scale):.1f} % too "
            f"{'large' if large else 'small'}: the projector stands too "
            f"{'far off or is zoomed out' if large else 'near or is zoomed in'}. Hung on one "
            f"another they end {abs(drift.chained):.2f} m {'past' if large else 'short of'} the "
            f"end; from the middle ±{abs(drift.from_middle):.2f} m; each on its own marks up to "
            f"{1000 * drift.on_marks:.0f} mm off, {1000 * drift.apart:.0f} mm {join} at "
            f"a join. The limit is {1000 * limit:.0f} mm."
        ),
        remedy=(
            f"Do not carry on. {move}, or set the zoom until a section measures "
            f"{intended:.3f} m, and set every section on marks measured from the one datum."
        ),
    )

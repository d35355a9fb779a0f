"""Out of square: the lean of a panel from its two diagonals."""

from __future__ import annotations

import math
from dataclasses import dataclass

from giornata.core.foundation import Assumption, Finding, Severity

__all__ = ["Skew", "skew"]

DIAGONALS_AGREE = Assumption(
    name="misfit of two diagonals with two sides that is put down to the tape",
    value=0.02,
    unit="m",
    source="common practice, no source",
    usual=(0.01, 0.05),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Skew:
    """Lean of a panel.

    Parameters
    ----------
    angle : float
        Of the sides from square; above 0 where the top lies to the right. [rad]
    shift : float
        Of the top along the wall from the foot; above 0 to the right. [m]
    """

    angle: float
    shift: float

    @property
    def direction(self) -> str:
        """Where the top lies from the foot: "right", "left", or "square"."""
        if self.shift == 0:
            return "square"
        return "right" if self.shift > 0 else "left"


def skew(
    width: float, height: float, rising_right: float, rising_left: float
) -> tuple[Skew, tuple[Finding, ...]]:
    """Lean of a panel taken as a parallelogram, from its sides and diagonals. [rad], [m]

    Parameters
    ----------
    width, height : float
        Foot and side of the panel as taped; above 0. [m]
    rising_right : float
        Diagonal from the foot's left end to the top's right end; above 0. [m]
    rising_left : float
        Diagonal from the foot's right end to the top's left end; above 0. [m]

    Raises
    ------
    ValueError
        If a measure is not above 0, or no panel has such diagonals.

    Notes
    -----
    Angle = asin((d1² - d2²) ÷ (4 a b)), by the law of cosines on both halves; the top lies towards
    the top end of the longer diagonal. A parallelogram also has d1² + d2² = 2 (a² + b²); where the
    readings miss that by more than the tape explains, a finding says so.

    Examples
    --------
    >>> lean, _ = skew(20.00, 6.00, 20.93, 20.83)
    >>> round(math.degrees(lean.angle), 2), round(1000 * lean.shift), lean.direction
    (0.5, 52, 'right')
    """
    if not all(v > 0 and math.isfinite(v) for v in (width, height, rising_right, rising_left)):
        raise ValueError("sides and diagonals are above 0")
    sine = (rising_right**2 - rising_left**2) / (4 * width * height)
    if abs(sine) >= 1:
        raise ValueError("no panel with these sides has such diagonals")
    lean = Skew(angle=math.asin(sine), shift=height * sine)
    expected = math.sqrt(width**2 + height**2)
    read = math.sqrt((rising_right**2 + rising_left**2) / 2)
    if abs(read - expected) <= DIAGONALS_AGREE.value:
        return lean, ()
    return lean, (
        Finding(
            code="survey.diagonals",
            severity=Severity.WARN,
            subject="panel diagonals",
            message=f"The diagonals fit a panel with {read:.3f} m from corner to corner, the "
            f"sides give {expected:.3f} m: {1000 * abs(read - expected):.0f} mm apart, limit "
            f"{1000 * DIAGONALS_AGREE.value:.0f} mm.",
            remedy="Tape both sides and both diagonals again; if they stand, foot and top differ "
            "in length and the panel is no parallelogram.",
        ),
    )

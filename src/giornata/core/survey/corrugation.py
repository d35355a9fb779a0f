"""Corrugated and ribbed sheet: how much more surface it has than the flat area it covers.

References
----------
Arc length of a sine wave by the complete elliptic integral of the second kind: Abramowitz and
Stegun (1964), Handbook of Mathematical Functions, section 17.3.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import ellipe

from giornata.core.foundation import (
    Assumption,
    Figure,
    Finding,
    Severity,
    derived,
    given,
    measured,
)

__all__ = ["Corrugation", "SheetForm", "corrugation_factor", "form_figure", "rib_findings"]

SHEET_READING = Assumption(
    name="reading of a sheet's pitch and depth with a rule",
    value=0.001,
    unit="m",
    source="common practice, no source: one division of a rule",
    usual=(0.0005, 0.002),
)

LONGER_LINES = Assumption(
    name="least lengthening of lines across a sheet's ribs that is said",
    value=0.02,
    unit="-",
    source="house default, no source: less is lost in the rate for edges",
    usual=(0.01, 0.05),
)


class SheetForm(StrEnum):
    """Section of a sheet across its ribs."""

    SINUSOIDAL = "sinusoidal"
    TRAPEZOIDAL = "trapezoidal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrugation:
    """A sheet's section, the same all over.

    Parameters
    ----------
    form : SheetForm
        Waves, or straight ribs.
    pitch : float
        From one rib to the next; above 0. [m]
    depth : float
        From the outermost to the innermost of the face; 0 or more. [m]
    crest, valley : float
        Flat widths of a trapezoidal sheet, outside and inside; each 0 or more, together at most
        the pitch. Waves have none. [m]
    """

    form: SheetForm
    pitch: float
    depth: float
    crest: float = 0.0
    valley: float = 0.0

    def __post_init__(self) -> None:
        sizes = (self.pitch, self.depth, self.crest, self.valley)
        if not (all(map(math.isfinite, sizes)) and self.pitch > 0 and min(sizes) >= 0):
            raise ValueError("a sheet's pitch is above 0 and its depth and flats 0 or more")
        if self.crest + self.valley > self.pitch * (1 + 1e-12):
            raise ValueError("crest and valley together are no wider than the pitch")
        if self.form is SheetForm.SINUSOIDAL and (self.crest or self.valley):
            raise ValueError("only a trapezoidal sheet has a flat crest and valley")


def corrugation_factor(sheet: Corrugation) -> float:
    """Surface of a sheet over the flat area it covers; 1 or more. [-]

    Parameters
    ----------
    sheet : Corrugation
        Its section.

    Notes
    -----
    The length of the section over its pitch. Of a wave y = (depth ÷ 2) sin(2π x ÷ pitch) it is
    (2 ÷ π) √(1 + k²) E(k² ÷ (1 + k²)) with k = π depth ÷ pitch and E of the parameter m. Of ribs
    it is the flats and two slopes. Laps, screws and the sheets' ends are not in it.

    Examples
    --------
    >>> sheet = Corrugation(form=SheetForm.TRAPEZOIDAL, pitch=0.2, depth=0.04, crest=0.07,
    ...                     valley=0.07)
    >>> round(corrugation_factor(sheet), 3)   # (70 + 70 + 2 × 50) ÷ 200
    1.2
    """
    if sheet.form is SheetForm.SINUSOIDAL:
        k = math.pi * sheet.depth / sheet.pitch
        return float(2 / math.pi * math.sqrt(1 + k * k) * ellipe(k * k / (1 + k * k)))
    slope = math.hypot((sheet.pitch - sheet.crest - sheet.valley) / 2, sheet.depth)
    return (sheet.crest + sheet.valley + 2 * slope) / sheet.pitch


def form_figure(sheet: Corrugation | None, stated: float | None) -> Figure | None:
    """What the wall's form makes of its flat area, as a figure; None for a flat wall. [-]

    Parameters
    ----------
    sheet : Corrugation or None
        Its section, where that was measured.
    stated : float or None
        A factor that was stated instead, as a sheet's maker prints it; 1 or more. [-]
    """
    if sheet is None:
        if stated is None:
            return None
        return given("form factor", stated, "-", source="survey, stated for the wall's face")
    reading = SHEET_READING.value
    value, tiny = corrugation_factor(sheet), 1e-6
    sizes = {"pitch": sheet.pitch, "depth": sheet.depth}
    if sheet.form is SheetForm.TRAPEZOIDAL:
        sizes |= {"crest": sheet.crest, "valley": sheet.valley}
    slopes = []
    for name, size in sizes.items():
        if size > 0:
            step = tiny * size * (1 if name == "pitch" else -1)  # flats may fill the whole pitch
            moved = sizes | {name: size + step}
            slopes.append(
                (corrugation_factor(Corrugation(form=sheet.form, **moved)) - value) / step
            )
    source = "with a rule, survey"
    formula = {
        SheetForm.SINUSOIDAL: "length of a sine wave of that pitch and depth ÷ pitch",
        SheetForm.TRAPEZOIDAL: "(crest + valley + 2 slopes) ÷ pitch",
    }[sheet.form]
    return derived(
        "form factor",
        value,
        "-",
        method="survey.corrugation_factor v1",
        formula=formula,
        parts=tuple(
            measured(name, size, "m", sigma=reading, source=source) for name, size in sizes.items()
        ),
        sigma=reading * math.hypot(*slopes),
    )


def rib_findings(factor: Figure | None, *, told: bool = False) -> tuple[Finding, ...]:
    """Edges are taken off flat: what a line across the ribs of a sheet has more.

    Parameters
    ----------
    factor : Figure or None
        The wall's form factor; None for a flat wall. [-]
    told : bool
        Whether it was said which way the ribs run.

    Notes
    -----
    A line square across the ribs goes up and down each of them, so it is longer by the form
    factor; one along them is not longer. Every other line lies between. A factor that was stated
    is taken to be one of ribs as well.
    """
    if factor is None or float(factor) < 1 + LONGER_LINES.value:
        return ()
    more = 100 * (float(factor) - 1)
    return (
        Finding(
            code="survey.edges_across_ribs",
            severity=Severity.WARN,
            subject="edges",
            message="Edges are measured and billed on the flat face. A line square across the ribs "
            f"is {more:.0f} % longer on the sheet, one along them is not; hours for edges hold "
            "that, but not the slower brush on ribs."
            + ("" if told else " The ribs are taken as upright."),
            remedy="Try a stretch across the ribs with a watch and set the rate for edges by it."
            + ("" if told else ' Ribs that lie level: ribs = "level" in [wall].'),
        ),
    )

"""Lines across the ribs of a sheet: how much longer they are on it than on the flat face."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.special import ellipe

from giornata.core.foundation import Assumption, Figure, Floats, given
from giornata.core.survey.corrugation import Corrugation, SheetForm

__all__ = ["RIBS_UPRIGHT", "RibbedFace", "Ribs", "lengthening", "ribs_figure"]

RIBS_UPRIGHT = Assumption(
    name="slope of a sheet's ribs",
    value=math.pi / 2,
    unit="rad",
    source="common practice, no source: sheet on walls is fixed to level rails with its ribs "
    "upright, so that water runs off",
    usual=(0.0, math.pi / 2),
)


class Ribs(StrEnum):
    """Which way the ribs of a sheet run."""

    UPRIGHT = "upright"
    LEVEL = "level"


@dataclass(frozen=True, slots=True, kw_only=True)
class RibbedFace:
    """A wall's corrugated or ribbed face.

    Parameters
    ----------
    factor : Figure
        Its surface over its flat area; 1 or more. [-]
    sheet : Corrugation or None
        Its section, where that was measured.
    ribs : Ribs or None
        Which way they run; None where nobody said: taken as upright.
    """

    factor: Figure
    sheet: Corrugation | None = None
    ribs: Ribs | None = None


def ribs_figure(face: RibbedFace) -> Figure:
    """Slope of the ribs, given or assumed. [rad]"""
    if face.ribs is None:
        return RIBS_UPRIGHT.figure()
    slope = 0.0 if face.ribs is Ribs.LEVEL else math.pi / 2
    return given("slope of the ribs", slope, "rad", source="survey")


def lengthening(face: RibbedFace, along: Floats, up: Floats) -> Floats:
    """Length on the sheet over the flat length of pieces of lines, shape (n,); 1 or more. [-]

    Parameters
    ----------
    along, up : array, shape (n,)
        Each piece on the flat face; a piece without a length gets 1. [m]

    Notes
    -----
    A piece at the angle a to the ribs climbs each slope of the section by sin a of what a line
    square across would: its length is the mean over the section of √(1 + slope² sin² a). That is
    the length of a section sin a as deep, so for a measured sheet it is exact where a piece runs
    over whole ribs. Of a stated factor k the section is not known, and √(cos² a + k² sin² a) is
    taken: exact where all of the sheet slopes alike, and along and square across; between those
    less than the truth where parts of it are flat (√ is convex in the slopes' own lengths: Jensen).

    Examples
    --------
    >>> from giornata.core.foundation import given
    >>> face = RibbedFace(factor=given("form factor", 1.2, "-", source="maker"))
    >>> lengthening(face, np.array([1.0, 0.0]), np.array([0.0, 1.0])).round(3).tolist()
    [1.2, 1.0]
    """
    across = np.abs(up if face.ribs is Ribs.LEVEL else along)
    length = np.hypot(along, up)
    sine = np.divide(across, length, out=np.zeros_like(length), where=length > 0)
    sheet = face.sheet
    if sheet is None:
        longer: Floats = np.sqrt(1.0 + (float(face.factor) ** 2 - 1.0) * sine**2)
        return longer
    if sheet.form is SheetForm.SINUSOIDAL:
        k = math.pi * sheet.depth * sine / sheet.pitch
        of_wave: Floats = 2 / math.pi * np.sqrt(1 + k * k) * ellipe(k * k / (1 + k * k))
        return of_wave
    flats = sheet.crest + sheet.valley
    slope = np.hypot((sheet.pitch - flats) / 2, sheet.depth * sine)
    of_ribs: Floats = (flats + 2 * slope) / sheet.pitch
    return of_ribs

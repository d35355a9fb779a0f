"""Lines across the ribs of a sheet, worked by hand and integrated along the section."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from giornata.core import survey
from giornata.core.foundation import Basis, given
from giornata.core.survey import Corrugation, RibbedFace, Ribs, SheetForm

# 70 + 30 + 70 + 30 mm, 40 mm deep: the slopes are 3-4-5 triangles of 50 mm.
TRAPEZOID = Corrugation(
    form=SheetForm.TRAPEZOIDAL, pitch=0.2, depth=0.04, crest=0.07, valley=0.07
)  # fmt: skip
WAVE = Corrugation(form=SheetForm.SINUSOIDAL, pitch=0.076, depth=0.018)
ZIGZAG = Corrugation(form=SheetForm.TRAPEZOIDAL, pitch=0.2, depth=0.08)


def face(sheet: Corrugation | None, ribs: Ribs | None = None, factor: float = 1.0) -> RibbedFace:
    value = factor if sheet is None else survey.corrugation_factor(sheet)
    return RibbedFace(
        factor=given("form factor", value, "-", source="test"), sheet=sheet, ribs=ribs
    )


def longer(one: RibbedFace, degrees: float) -> float:
    """Of a line at an angle to level."""
    at = math.radians(degrees)
    (found,) = survey.lengthening(one, np.array([math.cos(at)]), np.array([math.sin(at)]))
    return float(found)


def depth_at(sheet: Corrugation, x: float) -> float:
    """The section itself, from its own definition: how far out it is at a place across. [m]"""
    x %= sheet.pitch
    if sheet.form is SheetForm.SINUSOIDAL:
        return sheet.depth / 2 * math.sin(2 * math.pi * x / sheet.pitch)
    run = (sheet.pitch - sheet.crest - sheet.valley) / 2
    corners = (0.0, sheet.crest, sheet.crest + run, sheet.crest + run + sheet.valley, sheet.pitch)
    return float(np.interp(x, corners, (sheet.depth, sheet.depth, 0.0, 0.0, sheet.depth)))


def developed(sheet: Corrugation, degrees: float) -> float:
    """Length of a slanting line on the sheet over its flat length, by quadrature over one pitch."""
    sine = math.cos(math.radians(degrees))  # the ribs stand upright
    step = 1e-7

    def rate(x: float) -> float:
        slope = (depth_at(sheet, x + step) - depth_at(sheet, x - step)) / (2 * step)
        return math.sqrt(1 + (slope * sine) ** 2)

    run = (sheet.pitch - sheet.crest - sheet.valley) / 2
    bends = [0.0, sheet.crest, sheet.crest + run, sheet.crest + run + sheet.valley, sheet.pitch]
    kinks = bends if sheet.form is SheetForm.TRAPEZOIDAL else [0.0, sheet.pitch]
    parts = [quad(rate, a + 2 * step, b - 2 * step)[0] for a, b in pairwise(kinks) if b > a]
    return sum(parts) / sheet.pitch


def test_a_trapezoid_worked_by_hand() -> None:
    """Level: (70 + 70 + 2 × 50) ÷ 200 = 1.2. Upright: 1. At 45° each slope climbs 40 mm on
    30 × √2 mm: √(1800 + 1600) = 58.3095 mm, and flats of 70 √2 = 98.9949: twice their sum over
    200 √2 = 282.8427 is 314.6089 ÷ 282.8427 = 1.112311."""
    assert longer(face(TRAPEZOID), 0.0) == pytest.approx(1.2, abs=1e-12)
    assert longer(face(TRAPEZOID), 90.0) == pytest.approx(1.0, abs=1e-12)
    assert longer(face(TRAPEZOID), 45.0) == pytest.approx(1.112311, abs=1e-6)
    assert longer(face(TRAPEZOID), 135.0) == pytest.approx(1.112311, abs=1e-6)


@pytest.mark.parametrize("degrees", [0.0, 20.0, 45.0, 70.0])
@pytest.mark.parametrize("sheet", [TRAPEZOID, WAVE, ZIGZAG], ids=["ribs", "waves", "zigzag"])
def test_slanting_lines_against_the_integral_along_the_section(
    sheet: Corrugation, degrees: float
) -> None:
    assert longer(face(sheet), degrees) == pytest.approx(developed(sheet, degrees), abs=2e-5)


@pytest.mark.parametrize("degrees", [0.0, 30.0, 45.0, 60.0, 90.0])
def test_a_stated_factor_is_exact_for_one_slope_and_else_a_little_short(degrees: float) -> None:
    """Of a zigzag every piece slopes alike; flats make more of a slanting line, by Jensen.

    Of the trapezoid at 45° by hand √((1 + 1.44) ÷ 2) = 1.104536 for 1.112311: 0.70 % short.
    """
    for sheet, most in ((ZIGZAG, 1e-12), (TRAPEZOID, 0.008), (WAVE, 0.008)):
        stated = face(None, factor=survey.corrugation_factor(sheet))
        short = 1 - longer(stated, degrees) / longer(face(sheet), degrees)
        assert -1e-12 <= short <= most


def test_ribs_that_lie_level_lengthen_upright_lines() -> None:
    level = face(TRAPEZOID, Ribs.LEVEL)
    assert longer(level, 90.0) == pytest.approx(1.2, abs=1e-12)
    assert longer(level, 0.0) == pytest.approx(1.0, abs=1e-12)
    assert survey.ribs_figure(level).basis is Basis.GIVEN
    assumed = survey.ribs_figure(face(TRAPEZOID))
    assert (assumed.basis, "no source" in assumed.source) == (Basis.ASSUMED, True)


def test_a_piece_without_a_length_is_not_lengthened() -> None:
    assert survey.lengthening(face(TRAPEZOID), np.zeros(1), np.zeros(1)).tolist() == [1.0]

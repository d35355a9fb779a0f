"""Edges up and down the ribs of a sheet, beside their flat lengths."""

from __future__ import annotations

import pytest
import shapely

from giornata.core.foundation import given
from giornata.core.survey import Corrugation, RibbedFace, Ribs, SheetForm

SHEET = Corrugation(form=SheetForm.TRAPEZOIDAL, pitch=0.2, depth=0.04, crest=0.07, valley=0.07)
FACTOR = given("form factor", 1.2, "-", source="by hand: (70 + 70 + 2 × 50) ÷ 200")


@pytest.mark.parametrize(
    ("ribs", "tide", "ink"),
    [
        # Tide: 2 × 1 m in the ground; ink: a diamond of 4 sides of √0.5 m inside it, at 45°.
        (None, 2 * 2.0 * 1.2 + 2 * 1.0, 4 * 0.5**0.5 * 1.112311),
        (Ribs.UPRIGHT, 6.8, 4 * 0.5**0.5 * 1.112311),
        (Ribs.LEVEL, 2 * 2.0 + 2 * 1.0 * 1.2, 4 * 0.5**0.5 * 1.112311),
    ],
)  # fmt: skip
def test_each_paint_cuts_its_edges_over_the_ribs(taken_off, ribs, tide, ink) -> None:
    block = shapely.box(4, 0.5, 6, 1.5)
    diamond = shapely.Polygon([(5, 0.5 + 0.05), (5.45, 1.0), (5, 1.45), (4.55, 1.0)])
    ribbed = RibbedFace(factor=FACTOR, sheet=SHEET, ribs=ribs)
    off = taken_off((block, 2), (diamond, 3), ribbed=ribbed)
    assert float(off.paint(2).cut) == pytest.approx(6.0)
    assert float(off.paint(2).cut_on_face) == pytest.approx(tide)
    # The diamond is 0.9 m wide, 0.9 of the one worked above.
    assert float(off.paint(3).cut_on_face) == pytest.approx(0.9 * ink, abs=1e-5)
    assert float(off.paint(1).cut_on_face) == 0.0
    figure = off.paint(2).cut_over_ribs
    assert figure is not None
    assert [part.name for part in figure.parts][1:][:1] == ["form factor"]
    assert figure.parts[0] == off.paint(2).cut


def test_on_a_flat_wall_there_is_one_length(taken_off) -> None:
    off = taken_off((shapely.box(4, 0.5, 6, 1.5), 2))
    assert off.paint(2).cut_over_ribs is None
    assert off.paint(2).cut_on_face is off.paint(2).cut

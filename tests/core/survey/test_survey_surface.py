"""Surface to paint: corrugated and ribbed sheet, stated factors, painted sides of piers."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from giornata.core import survey
from giornata.core.foundation import Basis
from giornata.core.survey import Corrugation, Pier, SheetForm

WAVES, RIBS = SheetForm.SINUSOIDAL, SheetForm.TRAPEZOIDAL
INCH = 0.0254


def developed(made: survey.WallSurvey) -> survey.DevelopedWall:
    wall, _ = survey.develop(made)
    assert wall is not None
    return wall


@pytest.mark.parametrize(
    ("pitch", "depth"),
    [(0.0762, 0.018), (0.130, 0.055), (0.0678, 0.0127), (0.01, 0.2), (1.0, 1e-4)],
)
def test_waves_against_the_integral(pitch: float, depth: float) -> None:
    # Independent route: the arc length of y = (depth ÷ 2) sin(2π x ÷ pitch), integrated.
    rate = math.pi * depth / pitch

    def step(x: float) -> float:
        return math.sqrt(1 + (rate * math.cos(2 * math.pi * x)) ** 2)

    length, _ = quad(step, 0.0, 1.0, points=[0.25, 0.5, 0.75], epsabs=1e-12, epsrel=1e-12)
    sheet = Corrugation(form=WAVES, pitch=pitch, depth=depth)
    assert survey.corrugation_factor(sheet) == pytest.approx(length, rel=1e-11)


def test_the_trade_factor_of_2_1_2_inch_corrugated_sheet() -> None:
    # Handbook of the painting trade (estimator's article, inPAINT magazine): flat area times 1.08
    # for 2 1/2 in corrugated sheet, so 2,000 ft² are 2,160 ft². The sheet's section, 2.67 in by
    # 1/2 in, is from memory; the wave of that section must round to the trade's factor.
    sheet = Corrugation(form=WAVES, pitch=2.67 * INCH, depth=0.5 * INCH)
    factor = survey.corrugation_factor(sheet)
    assert round(factor, 2) == 1.08
    assert round(2000 * round(factor, 2)) == 2160


def test_ribs_by_hand() -> None:
    # By hand: (70 + 70 + 2 × √(30² + 40²)) ÷ 200 = 240 ÷ 200 = 1.2.
    sheet = Corrugation(form=RIBS, pitch=0.2, depth=0.04, crest=0.07, valley=0.07)
    assert survey.corrugation_factor(sheet) == pytest.approx(1.2)
    # Box ribs: the flats fill the pitch, the sides stand square: 1 + 2 × 40 ÷ 200 = 1.4.
    box = Corrugation(form=RIBS, pitch=0.2, depth=0.04, crest=0.12, valley=0.08)
    assert survey.corrugation_factor(box) == pytest.approx(1.4)
    # Zigzag, no flats: √(1 + (2 × 40 ÷ 200)²) = 1.07703.
    zigzag = Corrugation(form=RIBS, pitch=0.2, depth=0.04)
    assert survey.corrugation_factor(zigzag) == pytest.approx(1.07703, abs=1e-5)


@given(st.floats(0.02, 0.5), st.floats(0.0, 0.3))
def test_waves_lie_between_a_zigzag_and_a_box(pitch: float, depth: float) -> None:
    # Law: between its turning points a wave is longer than a straight line and shorter than the
    # square way round; a deeper sheet has more surface.
    wave = survey.corrugation_factor(Corrugation(form=WAVES, pitch=pitch, depth=depth))
    zigzag = survey.corrugation_factor(Corrugation(form=RIBS, pitch=pitch, depth=depth))
    assert zigzag - 1e-12 <= wave <= 1 + 2 * depth / pitch + 1e-12
    deeper = Corrugation(form=WAVES, pitch=pitch, depth=depth + 0.01)
    assert survey.corrugation_factor(deeper) > wave


def test_the_surface_to_paint_explains_itself(made_wall) -> None:
    # By hand: 60 m² × 1.2 = 72 m²; the flat net area stays 60 m².
    sheet = Corrugation(form=RIBS, pitch=0.2, depth=0.04, crest=0.07, valley=0.07)
    wall = developed(made_wall(corrugation=sheet))
    assert float(wall.net_area) == pytest.approx(60.0)
    surface = survey.painted_area(wall)
    assert float(surface) == pytest.approx(72.0)
    assert surface.formula == "net area × form factor"
    assert float(survey.surface_factor(wall)) == pytest.approx(1.2)
    form = surface.parts[1]
    assert [part.name for part in form.parts] == ["pitch", "depth", "crest", "valley"]
    # By hand, 1 mm on each reading, L = 240, p = 200, slope 50 = √(30² + 40²):
    # pitch: (30 ÷ 50 - 1.2) ÷ 200; depth: 2 × 40 ÷ 50 ÷ 200; flats: (1 - 30 ÷ 50) ÷ 200 each.
    per_mm = [(0.6 - 1.2) / 200, 1.6 / 200, 0.4 / 200, 0.4 / 200]
    assert form.sigma == pytest.approx(math.hypot(*per_mm), rel=1e-4)
    assert wall.net_area.sigma is not None
    by_hand = math.hypot(1.2 * wall.net_area.sigma, 60 * math.hypot(*per_mm))
    assert surface.sigma == pytest.approx(by_hand, rel=1e-4)


def test_a_stated_factor_is_given(made_wall) -> None:
    # Estimator's article, inPAINT magazine: deep ribbed deck times 2.42, 600 -> 1,452 ft².
    wall = developed(made_wall(form_factor=2.42))
    assert float(survey.painted_area(wall)) == pytest.approx(60 * 2.42)
    assert round(600 * float(survey.surface_factor(wall))) == 1452
    assert wall.form_factor is not None
    assert wall.form_factor.basis is Basis.GIVEN


def test_painted_returns_add_to_the_surface_and_skipped_ones_do_not(made_wall) -> None:
    # By hand: two sides of 0.12 m by 3 m are 0.72 m².
    piers = (
        Pier(name="P1", at=5, width=0.6, proud=0.12, returns_painted=True),
        Pier(name="P2", at=15, width=0.6, proud=0.12, returns_painted=False),
    )
    wall = developed(made_wall(piers=piers))
    surface = survey.painted_area(wall)
    assert float(surface) == pytest.approx(60.72)
    assert surface.formula == "net area + returns"
    assert float(wall.net_area) == pytest.approx(60.0)


def test_a_flat_wall_paints_its_net_area(made_wall) -> None:
    wall = developed(made_wall())
    assert survey.painted_area(wall) is wall.net_area
    assert float(survey.surface_factor(wall)) == 1.0


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        ({"pitch": 0.0}, "pitch is above 0"),
        ({"depth": -0.01}, "depth and flats 0 or more"),
        ({"crest": 0.15, "valley": 0.06}, "no wider than the pitch"),
        ({"form": WAVES, "crest": 0.01}, "only a trapezoidal"),
        ({"depth": math.inf}, "depth and flats"),
    ],
)
def test_sheets_that_cannot_be(fault, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Corrugation(**({"form": RIBS, "pitch": 0.2, "depth": 0.04} | fault))


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        ({"form_factor": 0.9}, "1 or more"),
        ({"form_factor": 1.1, "corrugation": Corrugation(form=WAVES, pitch=0.1, depth=0.01)},
         "not both"),
    ],
)  # fmt: skip
def test_form_factors_that_cannot_be(made_wall, fault, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        made_wall(**fault)


@pytest.mark.parametrize(
    ("wall", "said"),
    [
        # By hand: ribs of 70, 70 and two slopes of 50 on 200 mm are 240 mm: 20 % longer.
        ({"corrugation": Corrugation(form=RIBS, pitch=0.2, depth=0.04, crest=0.07, valley=0.07)},
         "20 % longer"),
        ({"form_factor": 2.42}, "142 % longer"),
        ({"form_factor": 1.01}, None),
        ({}, None),
    ],
)  # fmt: skip
def test_lines_across_ribs_are_said_to_be_longer(made_wall, wall, said) -> None:
    _, findings = survey.develop(made_wall(**wall))
    found = [one.message for one in findings if one.code == "survey.edges_across_ribs"]
    assert len(found) == (said is not None)
    assert said is None or said in found[0]

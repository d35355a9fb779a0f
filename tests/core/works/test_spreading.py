"""Spreading rates and paint volumes against printed formulas and worked examples."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from giornata.core import works
from giornata.core.foundation import SQUARE_FOOT, US_GALLON, Severity
from giornata.core.survey import Surface

LITRE = 1e-3
MICROMETRE = 1e-6
MIL = 25.4e-6
SQ_FT_PER_GAL = SQUARE_FOOT / US_GALLON
LABOUR = Path(__file__).parents[2] / "reference" / "labour_rates.csv"


def _cost_bank_kilograms(code: str) -> float:
    """Paint in kg/m² of an item of the Junta de Andalucía's cost bank."""
    with LABOUR.open(encoding="utf-8", newline="") as lines:
        row = next(row for row in csv.DictReader(lines) if row["code"] == code)
    return float(row["materials_per_m2_as_listed_kg_unless_stated"].split(";")[0].split()[-1])


def test_p1_spreading_rate_in_us_units() -> None:
    # A coatings maker's sheet, "Spreading rate, general information": 1604 × 0.65 / 5 = 208.52
    # ft²/gal at 65 % solids and 5 mils; its 1604 is 231 in³ / 0.001 in / 144 = 1604.17 rounded.
    rate = works.theoretical_spreading_rate(0.65, 5 * MIL) / SQ_FT_PER_GAL
    assert rate == pytest.approx(208.52, abs=0.05)


@pytest.mark.parametrize(
    ("solids", "film_um", "expected", "atol"),
    [
        (0.65, 125.0, 5.2, 0.01),  # P2: same sheet
        (0.28, 18.0, 15.55, 0.01),  # P3: a coatings supplier's blog, theoretical coverage
        (1.0, 10.0, 100.0, 1e-9),  # P4: Paints & Coatings Resource Center, Q&A July 2010
        (0.3, 10.0, 30.0, 1e-9),  # P4
    ],
)
def test_p2_p3_p4_spreading_rate_in_metric_units(
    solids: float, film_um: float, expected: float, atol: float
) -> None:
    rate = works.theoretical_spreading_rate(solids, film_um * MICROMETRE) * LITRE
    assert rate == pytest.approx(expected, abs=atol)


def test_p5_wet_film_of_a_gallon_on_a_hundred_square_feet() -> None:
    # Neogard coatings page: 16 mils; 231 in³ / 14,400 in² = 16.04 mils.
    assert works.wet_film_thickness(US_GALLON, 100 * SQUARE_FOOT) / MIL == pytest.approx(
        16.04, abs=0.01
    )


def test_p6_practical_rate_after_loss() -> None:
    # Corrosionpedia, practical coverage: 100 ft²/gal with 30 % loss is 70 ft²/gal.
    rate = works.practical_spreading_rate(100 * SQ_FT_PER_GAL, 0.30)
    assert rate / SQ_FT_PER_GAL == pytest.approx(70.0, rel=1e-12)


def test_p7_loss_divides_and_does_not_multiply() -> None:
    # Worked example of a calculation-guide page: 9.310489 L with 30 % loss is 13.30 L, not
    # 9.310489 × 1.3 = 12.10 L. An area of 9.310489 m² at 1 m²/L takes just that volume.
    volume = works.paint_volume(9.310489, 1, 1 / LITRE, loss=0.30)
    assert volume / LITRE == pytest.approx(13.30, abs=0.01)


def test_p8_two_coats() -> None:
    # How-to page's worked example: 42 m² at 11 m²/L, 2 coats: 7.6 L (7.636).
    assert works.paint_volume(42.0, 2, 11 / LITRE) / LITRE == pytest.approx(7.636, abs=0.001)


def test_waste_and_loss_are_two_decisions() -> None:
    # By hand: 60 m² × 1 ÷ 6 m²/L = 10 L; ÷ 0.8 = 12.5 L; × 1.1 = 13.75 L.
    volume = works.paint_volume(60.0, 1, 6 / LITRE, loss=0.20, waste=0.10)
    assert volume / LITRE == pytest.approx(13.75, rel=1e-12)


def test_p9_p10_p11_rough_walls_take_as_much_more_as_published() -> None:
    # P9: acrylic 1.1 against 0.6 kg/m² (1.83); P10: stone paint 1.2 against 0.9 (1.33) and 1.3 on
    # thrown-on render (1.44), Junta de Andalucía. P11: stucco 250, smooth board 300 ft²/gal
    # (1.20), an estimator's tip page.
    published = [
        _cost_bank_kilograms("21PEAA00010") / _cost_bank_kilograms("21PEAA00001"),
        _cost_bank_kilograms("21PEPP00010") / _cost_bank_kilograms("21PEPP00001"),
        _cost_bank_kilograms("21PEPP90011") / _cost_bank_kilograms("21PEPP00001"),
        300 / 250,
    ]
    assert published == pytest.approx([1.83, 1.33, 1.44, 1.20], abs=0.005)
    rates = {surface: each.value for surface, each in works.SPREADING_RATES.items()}
    ours = rates[Surface.SMOOTH] / rates[Surface.ROUGH_RENDER]
    assert min(published) <= ours <= max(published)


def test_surface_defaults_are_the_published_rates() -> None:
    # Maker's page: 300 to 400 ft²/gal smooth primed; estimator's tip page: 250 rough; painters'
    # forum: 3,000 ft² of raw stucco took 19 gal.
    rates = {s: each.value / SQ_FT_PER_GAL for s, each in works.SPREADING_RATES.items()}
    assert 300 <= rates[Surface.SMOOTH] <= 400
    assert rates[Surface.ROUGH_RENDER] == pytest.approx(250, rel=0.03)
    assert rates[Surface.ROUGHCAST] == pytest.approx(3000 / 19, rel=0.10)
    order = [Surface.SMOOTH, Surface.MASONRY, Surface.ROUGH_RENDER, Surface.ROUGHCAST]
    assert sorted(rates, key=lambda s: -rates[s]) == order
    for surface in order:
        low, high = works.SPREADING_RATES[surface].usual or (0.0, 0.0)
        assert low < works.surface_spreading_rate(surface).value < high


def test_p12_usual_waste_and_loss_hold_the_published_ranges() -> None:
    # Neogard page: 3 to 10 % left in containers and equipment; up to 30 % lost to wind in spraying.
    low, high = works.WASTE.usual or (0.0, 0.0)
    assert low == pytest.approx(0.03)
    assert high >= 0.10
    assert works.LOSS.usual == pytest.approx((0.0, 0.30))


def test_spreading_rate_far_from_the_surface_is_found() -> None:
    # A smooth wall's 8 m²/L on roughcast; common practice says about 3.5.
    (finding,) = works.spreading_rate_findings(
        Surface.ROUGHCAST, 8 / LITRE, subject="base coat"
    )  # fmt: skip
    assert finding.code == "works.spreading_rate"
    assert finding.severity is Severity.WARN
    assert "8 m²/L" in finding.message
    assert "test patch" in finding.remedy
    assert works.spreading_rate_findings(Surface.ROUGHCAST, 3.5 / LITRE, subject="base") == ()


@pytest.mark.parametrize(("solids", "film"), [(0.0, 1e-4), (1.01, 1e-4), (0.5, 0.0)])
def test_theoretical_rate_refuses_impossible_films(solids: float, film: float) -> None:
    with pytest.raises(ValueError, match="volume solids"):
        works.theoretical_spreading_rate(solids, film)


@pytest.mark.parametrize(("rate", "loss"), [(0.0, 0.1), (6000.0, 1.0), (6000.0, -0.1)])
def test_practical_rate_refuses_what_never_reaches_the_wall(rate: float, loss: float) -> None:
    with pytest.raises(ValueError, match="spreading rate is above 0"):
        works.practical_spreading_rate(rate, loss)


@pytest.mark.parametrize(
    ("area", "coats", "waste"), [(-1.0, 1, 0.0), (1.0, -1, 0.0), (1.0, 1, -0.1)]
)
def test_paint_volume_refuses_negatives(area: float, coats: int, waste: float) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        works.paint_volume(area, coats, 6000.0, waste=waste)


def test_wet_film_refuses_no_area() -> None:
    with pytest.raises(ValueError, match="area above 0"):
        works.wet_film_thickness(1e-3, 0.0)

"""The test patch: a thirsty wall found before the tins run out."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from giornata.core import works
from giornata.core.foundation import SQUARE_FOOT, US_GALLON, Basis, Money, Severity

LITRE = 1e-3


def _fifteen() -> works.Tin:
    return works.Tin(volume=0.015, price=Money(amount=Decimal(330), currency="EUR"))


def _reorder(**changes: object) -> tuple[works.Reorder, tuple]:
    terms = {
        "area": 280.0, "coats": 2, "planned_rate": 6 / LITRE, "tins": [_fifteen()],
        "waste": 0.10, "subject": "Haze",
    } | changes  # fmt: skip
    return works.patch_reorder(works.TestPatch(area=10.0, volume=2.7 * LITRE), **terms)


def test_n40_c6_a_patch_makes_twelve_tins_of_seven() -> None:
    # C6: 10 ÷ 2.7 = 3.70 m²/L; 280 × 2 ÷ 6 × 1.1 = 102.7 L (7 tins of 15);
    # 280 × 2 ÷ 3.7037 × 1.1 = 166.3 L (12 tins): 63.7 L and 5 tins more.
    reorder, (finding,) = _reorder()
    assert float(reorder.spreading_rate) * LITRE == pytest.approx(3.70, abs=0.005)
    assert reorder.planned / LITRE == pytest.approx(102.7, abs=0.05)
    assert reorder.needed / LITRE == pytest.approx(166.3, abs=0.05)
    assert reorder.more / LITRE == pytest.approx(63.7, abs=0.05)
    assert [
        tins.number for tins in (reorder.planned_tins, reorder.needed_tins, reorder.more_tins)
    ] == [7, 12, 5]
    assert finding.code == "works.test_patch"
    assert finding.severity is Severity.WARN
    assert "5 × 15 L more at once and of the same batch" in finding.remedy


def test_c6_if_only_the_first_coat_is_thirsty() -> None:
    # 280 ÷ 3.7037 + 280 ÷ 6 = 122.3 L, × 1.1 = 134.5 L (9 tins); the tool gives both.
    reorder, (finding,) = _reorder()
    assert reorder.first_coat_only / LITRE == pytest.approx(134.5, abs=0.05)
    assert reorder.first_coat_tins.number == 9
    assert "134.5 L (9 × 15 L)" in finding.message


def test_published_raw_stucco() -> None:
    # Painters' forum: 19 gal on 3,000 ft² where 250 ft²/gal were planned: about 158 ft²/gal.
    rate = works.patch_spreading_rate(3000 * SQUARE_FOOT, 1, 19 * US_GALLON)
    assert rate / (SQUARE_FOOT / US_GALLON) == pytest.approx(158, abs=0.5)


def test_a_wall_that_takes_less_needs_no_more() -> None:
    reorder, findings = _reorder(planned_rate=3.0 / LITRE)
    assert reorder.more < 0
    assert reorder.more_tins.number == 0
    assert findings == ()


def test_the_patch_carries_its_precision() -> None:
    # By hand: 1 % of area and 5 % of volume make sqrt(0.01² + 0.05²) = 5.10 % of the rate.
    patch = works.TestPatch(
        area=10.0, volume=2.0 * LITRE, area_sigma=0.1, volume_sigma=0.1 * LITRE
    )  # fmt: skip
    rate = works.patch_rate(patch)
    assert rate.sigma == pytest.approx(5000 * math.sqrt(0.01**2 + 0.05**2))
    assert {part.basis for part in rate.parts} == {Basis.MEASURED}
    assert works.patch_rate(works.TestPatch(area=10.0, volume=2.0 * LITRE)).sigma is None


def test_the_patch_counts_its_coats() -> None:
    # 2 coats of 5 m² with 2 L: 5 m²/L.
    assert works.patch_spreading_rate(5.0, 2, 0.002) * LITRE == pytest.approx(5.0)


def test_a_patch_used_some_paint() -> None:
    with pytest.raises(ValueError, match="above 0"):
        works.TestPatch(area=10.0, volume=0.0)


def test_a_precision_is_not_negative() -> None:
    with pytest.raises(ValueError, match="standard deviations"):
        works.TestPatch(area=10.0, volume=0.002, area_sigma=-0.1)


def test_a_reorder_is_for_an_area() -> None:
    with pytest.raises(ValueError, match="area is above 0"):
        _reorder(area=0.0)

"""What a small budget buys."""

from __future__ import annotations

from decimal import Decimal

import pytest

from giornata.core import pricing
from giornata.core.foundation import Money, Severity
from giornata.core.pricing import AreaUnit


def _usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


def _bought(budget: int, wall: int = 250):
    return pricing.area_for_budget(
        _usd(budget), fixed=_usd(5200), rate=_usd(240), wall=Decimal(wall),
        unit=AreaUnit.SQUARE_METRE,
    )  # fmt: skip


def test_n31_c8_what_14_000_buys() -> None:
    # (14,000 - 5,200) ÷ 240 = 36.67 m², 14.7 % of 250; by the average 65,200 ÷ 250 = 260.8 it
    # would be 53.7 m². Fixed costs take 5,200 ÷ 14,000 = 37 %.
    bought, (finding,) = _bought(14000)
    assert float(bought.area) == pytest.approx(36.7, abs=0.05)
    assert float(bought.share) == pytest.approx(0.147, abs=0.0005)
    assert float(bought.by_average) == pytest.approx(53.7, abs=0.05)
    assert float(bought.fixed_share) == pytest.approx(0.371, abs=0.0005)
    assert finding.code == "pricing.small_budget"
    assert finding.severity is Severity.NOTE
    assert "36.7 m² of 250 m² (14.7 %)" in finding.message
    assert "37 %" in finding.message
    assert "53.7 m²" in finding.remedy


def test_c8_inverse_from_two_quotes() -> None:
    # A newspaper case: 400 sq ft for 15,000, 2,720 for 67,500 (middle of 65,000 to 70,000):
    # 52,500 ÷ 2,320 = 22.63 a sq ft; 15,000 - 400 × 22.629 = 5,948 fixed.
    found = pricing.fixed_and_rate(
        (Decimal(400), _usd(15000)), (Decimal(2720), _usd(67500))
    )  # fmt: skip
    assert float(found.fixed.amount) == pytest.approx(5948, abs=0.5)
    assert float(found.rate.amount) == pytest.approx(22.63, abs=0.005)


def test_a_budget_under_the_fixed_costs_buys_nothing() -> None:
    bought, (finding,) = _bought(5000)
    assert (bought.area, bought.fixed_share) == (0, 1)
    assert finding.severity is Severity.WARN


def test_a_budget_for_the_whole_wall() -> None:
    bought, findings = _bought(70000)
    assert (bought.area, bought.share) == (250, 1)
    assert findings == ()


def test_a_ballpark() -> None:
    # By hand: 150 × 18 + 4,000 = 6,700; 170 × 22.63 + 5,948 = 9,795.10; 190 × 26 + 7,000 = 11,940.
    found = pricing.ballpark(
        areas=(Decimal(150), Decimal(170), Decimal(190)),
        rates=(_usd(18), _usd("22.63"), _usd(26)),
        fixed=(_usd(4000), _usd(5948), _usd(7000)),
    )
    assert [str(m.amount) for m in (found.low, found.likely, found.high)] == [
        "6700.00", "9795.10", "11940.00",
    ]  # fmt: skip


def test_a_ballpark_rises() -> None:
    with pytest.raises(ValueError, match="rise"):
        pricing.ballpark(
            areas=(Decimal(190), Decimal(170), Decimal(150)),
            rates=(_usd(1), _usd(1), _usd(1)),
            fixed=(_usd(0), _usd(0), _usd(0)),
        )


def test_two_quotes_differ_in_size() -> None:
    with pytest.raises(ValueError, match="one size"):
        pricing.fixed_and_rate((Decimal(400), _usd(1)), (Decimal(400), _usd(2)))


def test_a_budget_is_something() -> None:
    with pytest.raises(ValueError, match="above 0"):
        _bought(0)


def test_what_a_budget_buys_by_bands() -> None:
    # By hand, C10's bands: 240 up to 30, then 215, then 195 from 60. Marginal: 7,200 for 30 m²,
    # so 9,350 buys 30 + 2,150 ÷ 215 = 40; whole: 9,350 ÷ 215 = 43.5. 5 more for each m² by a
    # further line: 30 × 245 = 7,350, so 9,550 buys 30 + 2,200 ÷ 220 = 40.
    bands = tuple(
        pricing.RateBand(start=Decimal(start), rate=_usd(rate))
        for start, rate in ((30, 215), (60, 195))
    )  # fmt: skip

    def buys(budget: int, **more: object) -> float:
        bought, _ = pricing.area_for_budget(
            _usd(budget), fixed=_usd(0), rate=_usd(240), wall=Decimal(250),
            unit=AreaUnit.SQUARE_METRE, bands=bands, **more,
        )  # fmt: skip
        return float(bought.area)

    assert buys(9350) == pytest.approx(40.0)
    assert buys(9350, method=pricing.BandMethod.WHOLE) == pytest.approx(43.488, abs=0.001)
    assert buys(9550, each=(_usd(5),)) == pytest.approx(40.0)
    # 6,400 ÷ 240 = 26.7 m², but from 30 m² on it would take 6,450.
    assert buys(6400, method=pricing.BandMethod.WHOLE) == pytest.approx(26.667, abs=0.001)


@pytest.mark.parametrize("method", list(pricing.BandMethod))
@pytest.mark.parametrize("price", [1, 5000, 6449, 6450, 7200, 12000, 13650, 40000])
def test_no_larger_area_costs_as_little(method: pricing.BandMethod, price: int) -> None:
    # Known by construction: the area costs the price or less, and every larger one more.
    bands = pricing.all_bands(
        _usd(240),
        [pricing.RateBand(start=Decimal(s), rate=_usd(r)) for s, r in ((30, 215), (60, 195))],
    )
    cost = {
        pricing.BandMethod.WHOLE: pricing.whole_price,
        pricing.BandMethod.MARGINAL: pricing.marginal_price,
    }[method]
    area = pricing.area_for_price(_usd(price), bands, method)
    below = [cost(area - Decimal(step), bands).amount for step in ("0", "0.001")]
    assert min(below) <= price + Decimal("1e-9")
    for more in ("0.01", "0.5", "3", "20", "100"):
        assert cost(area + Decimal(more), bands).amount > price

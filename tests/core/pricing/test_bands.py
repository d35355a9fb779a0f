"""Rate bands both ways, and where a larger wall costs less."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import pricing
from giornata.core.foundation import Money, Severity
from giornata.core.pricing import AreaUnit, RateBand


def _usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


def _band(start: int | str, rate: int | str) -> RateBand:
    return RateBand(start=Decimal(str(start)), rate=_usd(rate))


C10 = pricing.all_bands(_usd(240), (_band(30, 215), _band(60, 195)))


@pytest.mark.parametrize(
    ("area", "whole", "marginal"),
    # C10: 28 × 240, 30 × 215, 58 × 215, 60 × 195; 30 × 240 + 28 × 215 = 13,220.
    [(28, 6720, 6720), (30, 6450, 7200), (58, 12470, 13220), (60, 11700, 13650)],
)
def test_n26_c10_both_methods(area: int, whole: int, marginal: int) -> None:
    assert pricing.whole_price(Decimal(area), C10).amount == whole
    assert pricing.marginal_price(Decimal(area), C10).amount == marginal


def test_n26_c10_inversions() -> None:
    # 30 × 215 ÷ 240 = 26.875 and 60 × 195 ÷ 215 = 54.42.
    spans = pricing.inversions(C10)
    ends = [float(end) for span in spans for end in (span.start, span.end)]
    assert ends == pytest.approx([26.875, 30.0, 54.4186, 60.0], abs=1e-4)


def test_n26_c10_warns_and_offers_marginal_bands() -> None:
    (finding,) = pricing.inversion_findings(Decimal(28), AreaUnit.SQUARE_METRE, C10)
    assert finding.code == "pricing.band_inversion"
    assert finding.severity is Severity.WARN
    assert "26.9 and 30 m²" in finding.message
    assert "54.4 and 60 m²" in finding.message
    assert "6,720.00 USD" in finding.message
    assert "marginal" in finding.remedy


def test_rising_bands_and_a_plain_rate_have_no_inversion() -> None:
    rising = pricing.all_bands(_usd(200), (_band(30, 220),))
    assert pricing.inversions(rising) == ()
    assert pricing.inversions(pricing.all_bands(_usd(200), ())) == ()
    assert pricing.inversion_findings(Decimal(28), AreaUnit.SQUARE_METRE, rising) == ()


def test_an_inversion_over_two_bands_is_one() -> None:
    # 100 to 10, then 90, then from 12 only 50: 12 × 50 = 600. All from 6 (600 ÷ 100) to 12 costs
    # more than 12 does.
    bands = pricing.all_bands(_usd(100), (_band(10, 90), _band(12, 50)))
    (span,) = pricing.inversions(bands)
    assert (span.start, span.end, span.cheaper) == (6, 12, 12)


def test_spans_that_meet_where_the_price_is_equal_stay_two() -> None:
    # 33 costs 33 × 2 = 66, and so does 6 × 11 = 66: 6 itself is not inverted. 5.5 × 12 = 66.
    bands = pricing.all_bands(_usd(12), (_band(6, 11), _band(33, 2)))
    assert [(span.start, span.end) for span in pricing.inversions(bands)] == [(5.5, 6), (6, 33)]


def test_a_first_band_at_nothing_replaces_the_rate() -> None:
    bands = pricing.all_bands(_usd(999), (_band(60, 195), _band(0, 240)))
    assert [(b.start, b.rate.amount) for b in bands] == [(0, 240), (60, 195)]


@given(
    starts=st.lists(st.integers(1, 40), min_size=1, max_size=4, unique=True),
    rates=st.lists(st.integers(1, 40), min_size=5, max_size=5),
)
def test_inversions_equal_a_fine_scan(starts: list[int], rates: list[int]) -> None:
    """An area is in a span exactly where some larger one costs less, on a grid of 1/8.

    The very start of a span is left out: there the prices may be equal.
    """
    bands = pricing.all_bands(
        _usd(rates[0]), [_band(s, r) for s, r in zip(starts, rates[1:], strict=False)]
    )
    grid = [Decimal(k) / 8 for k in range(8 * 45)]
    prices = [pricing.whole_price(x, bands).amount for x in grid]
    spans = pricing.inversions(bands)
    starts_of_spans = {span.start for span in spans}
    for k, x in enumerate(grid):
        if x in starts_of_spans:
            continue
        inside = any(span.start < x < span.end for span in spans)
        assert inside == (min(prices[k:]) < prices[k])


@given(first=st.integers(0, 800), more=st.integers(1, 800))
def test_marginal_bands_never_invert(first: int, more: int) -> None:
    small, large = Decimal(first) / 10, Decimal(first + more) / 10
    assert pricing.marginal_price(small, C10) < pricing.marginal_price(large, C10)


def test_two_bands_at_one_size() -> None:
    with pytest.raises(ValueError, match="two bands start"):
        pricing.all_bands(_usd(240), (_band(30, 215), _band(30, 200)))


def test_a_price_is_for_some_area() -> None:
    with pytest.raises(ValueError, match="billed area"):
        pricing.whole_price(Decimal(-1), C10)


def test_a_marginal_price_is_for_some_area() -> None:
    with pytest.raises(ValueError, match="billed area"):
        pricing.marginal_price(Decimal(-1), C10)


def test_a_band_starts_somewhere() -> None:
    with pytest.raises(ValueError, match="starts at 0 or more"):
        _band(-1, 200)

"""The quote to the cent."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from giornata.core import pricing
from giornata.core.foundation import Money, Severity, System, explain
from giornata.core.foundation import given as figure
from giornata.core.pricing import BandMethod, LineKind, PriceBasis, TaxRounding


def _usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


def test_n23_every_line_and_the_total(areas, terms, planned) -> None:
    # 1,803.2 × 18 = 32,457.60; × 0.90 = 1,622.88; × 1.60 = 2,885.12; 2 × 400 + 2 × 95 = 990.00:
    # 37,955.60; 5 % = 1,897.78: 39,853.38, 22.10 a square foot. 85.3 h book 10 days, 2 weeks.
    quote, findings = pricing.quote(areas=areas, terms=terms, lift=planned(0.31, 420.0).lift)
    assert [str(line.amount.value) for line in quote.lines] == [
        "32457.60", "1622.88", "2885.12", "990.00",
    ]  # fmt: skip
    assert str(quote.subtotal.value) == "37955.60"
    assert str(quote.contingency.value) == "1897.78"
    assert str(quote.total.value) == "39853.38"
    assert quote.total.unit == "USD"
    assert str(quote.per_square_foot.value) == "22.10"
    assert quote.area_charge.value == Decimal("32457.60")
    assert quote.lines[3].name == "Access lift: 2 weeks, delivery and collection"
    assert findings == ()


def test_n28_stages_sum_to_the_total(areas, terms, planned) -> None:
    quote, _ = pricing.quote(areas=areas, terms=terms, lift=planned(0.31, 420.0).lift)
    sums = [stage.amount.value for stage in quote.stages]
    assert [str(each) for each in sums] == ["7970.68", "11956.01", "19926.69"]
    assert sum(sums) == quote.total.value


def test_n57_no_lift_saves_990_before_and_1039_50_with_contingency(areas, terms, planned) -> None:
    with_lift, _ = pricing.quote(areas=areas, terms=terms, lift=planned(0.31, 420.0).lift)
    plan = planned(0.31, 420.0, lift_above=3.2)
    without, _ = pricing.quote(areas=areas, terms=terms, lift=plan.lift)
    assert with_lift.subtotal.value - without.subtotal.value == Decimal("990.00")
    assert with_lift.total.value - without.total.value == Decimal("1039.50")
    assert without.total.value == Decimal("38813.88")


def test_n25_figure_basis_bills_the_figure(areas, terms) -> None:
    # 0.31 × 167.52 = 51.9312 m² = 558.98 sq ft, billed 559.0 × 18 = 10,062.00.
    quote, _ = pricing.quote(areas=areas, terms=replace(terms, basis=PriceBasis.FIGURE), lift=None)
    assert quote.billed_area.value == Decimal("559.0")
    assert quote.area_charge.value == Decimal("10062.00")
    gross, _ = pricing.quote(
        areas=areas, terms=replace(terms, basis=PriceBasis.GROSS_WALL), lift=None
    )
    # 177.48 ÷ 0.09290304 = 1,910.38 sq ft.
    assert gross.billed_area.value == Decimal("1910.4")


def test_fixed_sums_and_tax(areas, terms) -> None:
    # By hand: 1,803.2 × 18 = 32,457.60 + 640.00 = 33,097.60; 20 % = 6,619.52: 39,717.12.
    plain = replace(
        terms,
        lines=(pricing.PriceLine(name="Projector hire", sum=_usd(640)),),
        contingency=Decimal(0),
        tax=Decimal("0.2"),
    )
    quote, _ = pricing.quote(areas=areas, terms=plain, lift=None)
    assert str(quote.before_tax.value) == "33097.60"
    assert str(quote.tax.value) == "6619.52"
    assert str(quote.total.value) == "39717.12"
    assert quote.sum_of(LineKind.SUM) == _usd("640.00")
    assert "to the nearest cent, halves up" in quote.tax.formula


def test_f6_f9_tax_down_and_to_the_nearest(areas, terms) -> None:
    # 32,457.60 × 0.0725 = 2,353.176: 2,353.18 to the nearest, 2,353.17 down (HMRC VATREC12010
    # lets an invoice trader round down).
    bare = replace(terms, lines=(), contingency=Decimal(0), tax=Decimal("0.0725"))
    near, _ = pricing.quote(areas=areas, terms=bare, lift=None)
    down, _ = pricing.quote(
        areas=areas, terms=replace(bare, tax_rounding=TaxRounding.DOWN), lift=None
    )
    assert (str(near.tax.value), str(down.tax.value)) == ("2353.18", "2353.17")
    assert "rounded down" in down.tax.formula


def test_n26_bands_in_a_quote(areas, terms) -> None:
    # By hand on 1,803.2 sq ft: 20 up to 1,000, then 18: whole 32,457.60; marginal 20,000 +
    # 803.2 × 18 = 34,457.60. Inverted from 1,000 × 18 ÷ 20 = 900 to 1,000.
    bands = (pricing.RateBand(start=Decimal(1000), rate=_usd(18)),)
    banded = replace(terms, rate=_usd(20), bands=bands, lines=(), contingency=Decimal(0))
    marginal, none = pricing.quote(areas=areas, terms=banded, lift=None)
    whole, (finding,) = pricing.quote(
        areas=areas, terms=replace(banded, band_method=BandMethod.WHOLE), lift=None
    )
    assert str(marginal.total.value) == "34457.60"
    assert str(whole.total.value) == "32457.60"
    assert none == ()
    assert finding.code == "pricing.band_inversion"
    assert "900.0 and 1000 sq ft" in finding.message
    assert "34,457.60 USD" in finding.remedy
    assert marginal.rates.per_square_foot == _usd("20.00")


def test_stages_that_do_not_make_a_whole(areas, terms) -> None:
    odd = replace(terms, stages=(*terms.stages, pricing.Stage(name="More", share=Decimal("0.1"))))
    quote, (finding,) = pricing.quote(areas=areas, terms=odd, lift=None)
    assert quote.stages == ()
    assert finding.code == "pricing.stages"
    assert finding.severity is Severity.STOP
    assert "add up to 110 %" in finding.message


def test_no_stages_no_finding(areas, terms) -> None:
    quote, findings = pricing.quote(areas=areas, terms=replace(terms, stages=()), lift=None)
    assert quote.stages == ()
    assert findings == ()


def test_the_design_within_the_total(areas, terms) -> None:
    # 20 % of 38,813.88 = 7,762.776, to the cent 7,762.78.
    quote, _ = pricing.quote(
        areas=areas, terms=replace(terms, design_share=Decimal("0.2")), lift=None
    )
    assert str(quote.design.value) == "7762.78"
    assert pricing.quote(areas=areas, terms=terms, lift=None)[0].design is None


def test_the_total_explains_itself(areas, terms, planned) -> None:
    quote, _ = pricing.quote(areas=areas, terms=terms, lift=planned(0.31, 420.0).lift)
    text = explain(quote.total, System.METRIC)
    for words in ("39,853.38 USD", "1,897.78 USD", "billed area", "167.52 m²", "2 weeks"):
        assert words in text


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    cents=st.integers(0, 10**9),
    shares=st.lists(st.integers(1, 99), min_size=1, max_size=6),
)
def test_stage_sums_are_exact(cents: int, shares: list[int]) -> None:
    """Whatever the shares, the stages sum to the total and are within a cent of their share."""
    whole = pricing.given_amount("total", _usd(Decimal(cents).scaleb(-2)), "price.lines")
    parts = [Decimal(share) / 1000 for share in shares]
    parts.append(1 - sum(parts))
    stages = [pricing.Stage(name=str(k), share=share) for k, share in enumerate(parts)]
    sums, findings = pricing.stage_sums(whole, stages)
    assert findings == ()
    assert sum(stage.amount.value for stage in sums) == whole.value
    for stage in sums[:-1]:
        assert abs(stage.amount.value - stage.share * whole.value) <= Decimal("0.005")


def test_hire_in_another_currency(areas, terms, planned) -> None:
    euro = replace(
        terms, currency="EUR", rate=Money(amount=Decimal(18), currency="EUR"), lines=()
    )  # fmt: skip
    lift = planned(0.31, 420.0).lift
    with pytest.raises(ValueError, match="hire is in USD, the price in EUR"):
        pricing.quote(areas=areas, terms=euro, lift=lift)


def test_a_priced_wall_has_an_area(areas, terms) -> None:
    none = replace(areas, net=figure("net area", 0.0, "m²", source="worked case"))
    with pytest.raises(ValueError, match="net area above 0"):
        pricing.quote(areas=none, terms=terms, lift=None)


def test_terms_in_one_currency(terms) -> None:
    with pytest.raises(ValueError, match="every sum of the price is in EUR"):
        replace(terms, currency="EUR")


def test_terms_name_each_band_once(terms) -> None:
    band = pricing.RateBand(start=Decimal(30), rate=_usd(17))
    with pytest.raises(ValueError, match="two bands"):
        replace(terms, bands=(band, band))


def test_shares_of_the_price(terms) -> None:
    with pytest.raises(ValueError, match="contingency, tax and design share"):
        replace(terms, tax=Decimal("-0.1"))


def test_a_stage_is_a_share() -> None:
    with pytest.raises(ValueError, match="0 to 1"):
        pricing.Stage(name="All and more", share=Decimal("1.1"))


def test_a_line_is_a_sum_or_a_rate() -> None:
    with pytest.raises(ValueError, match="not both"):
        pricing.PriceLine(name="Nothing")

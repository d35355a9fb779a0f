"""Options side by side."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from giornata.core import pricing
from giornata.core.artwork import Option
from giornata.core.foundation import Money, Severity, given
from giornata.core.pricing import AreaUnit, PriceBasis

HOUR = 3600.0


@pytest.fixture
def metric(terms: pricing.PriceTerms) -> pricing.PriceTerms:
    """N24: 193.75 for a square metre and nothing else."""
    return replace(
        terms,
        unit=AreaUnit.SQUARE_METRE,
        rate=Money(amount=Decimal("193.75"), currency="USD"),
        lines=(),
        contingency=Decimal(0),
    )


@pytest.fixture
def sheet(areas, metric, planned, colourway):
    """The sheet of N24's three options, without a lift."""

    def rows(terms: pricing.PriceTerms = metric):
        candidates = []
        for key, share, edge in (("A", 0.22, 260.0), ("B", 0.31, 420.0), ("C", 0.47, 910.0)):
            plan = planned(share, edge, lift_above=3.2)
            figure = given("figure area", share * 167.52, "m²", source="N24")
            quote, _ = pricing.quote(areas=replace(areas, figure=figure), terms=terms, lift=None)
            option = Option(key=key, name=f"Option {key}")
            candidates.append(
                pricing.Candidate(option=option, colourway=colourway, plan=plan, quote=quote)
            )
        return pricing.compare(candidates)

    return rows


def test_n24_earnings_in_an_hour(sheet) -> None:
    # 167.52 × 193.75 = 32,457.00 ÷ 61.9 / 85.3 / 154.2 h = 524 / 381 / 211.
    rows, findings = sheet()
    assert [round(float(r.area_charge_per_hour)) for r in rows] == [524, 381, 211]
    assert [round(float(r.hours) / HOUR, 1) for r in rows] == [61.9, 85.3, 154.2]
    uneven = [f for f in findings if f.code == "pricing.uneven_earnings"]
    # 211 is 40 % of 524 and warned of; 381 is 73 %, above the 70 % of the house default.
    assert [f.subject for f in uneven] == ["option C in Slack water"]
    assert uneven[0].severity is Severity.WARN
    assert "40 %" in uneven[0].message
    assert "910 m of edge against 260 m" in uneven[0].message


def test_the_row_of_an_option(sheet) -> None:
    # Option B: 0.31 × 167.52 = 51.93 m² of figure; base 61.4 and figure 19.0 L; N32's days.
    row = sheet()[0][1]
    assert dict(row.coats) == {"haze": 2, "tide": 2}
    assert row.primer_coats == 0
    assert float(dict(row.areas)["tide"]) == pytest.approx(51.93, abs=0.005)
    assert sum(float(area) for _, area in row.areas) == pytest.approx(167.52)
    assert float(row.edge) == 420.0
    assert 1000 * float(row.volume) == pytest.approx(61.4 + 19.0, abs=0.1)
    assert float(row.work_days) == pytest.approx(6.6, abs=0.05)
    assert float(row.calendar_days) == pytest.approx(9.4, abs=0.05)
    assert row.booked_days.value == 10
    assert row.lift_days is None
    assert str(row.price.value) == "32457.00"
    assert str(row.per_square_metre.value) == "193.75"
    assert str(row.per_square_foot.value) == "18.00"


def test_n25_figure_basis_shows_the_base_coats_share(sheet, metric) -> None:
    rows, findings = sheet(replace(metric, basis=PriceBasis.FIGURE))
    base = [f for f in findings if f.code == "pricing.base_unbilled"]
    assert len(base) == 3
    assert "22.3 of 85.3 h (26 %)" in base[1].message
    assert float(rows[1].base_share) == pytest.approx(22.3 / 85.3, abs=0.001)


def test_n22_a_colourway_keeps_areas_and_edge(areas, metric, planned, colourway, option) -> None:
    rows = []
    for coats in ({}, {"tide": 4}):
        plan = planned(0.31, 420.0, coats)
        quote, _ = pricing.quote(areas=areas, terms=metric, lift=plan.lift)
        rows.append(
            pricing.option_row(
                pricing.Candidate(option=option, colourway=colourway, plan=plan, quote=quote)
            )
        )
    slack, ember = rows
    assert (slack.areas, slack.edge) == (ember.areas, ember.edge)
    assert dict(ember.coats)["tide"] == 4
    assert float(ember.volume) > float(slack.volume)
    assert float(ember.hours) > float(slack.hours)
    # 148.2 h book 17 days: four weeks of hire at 900 instead of two at 400.
    assert ember.price.value - slack.price.value == 100


def test_nights_count_as_hours(areas, metric, planned, colourway, option) -> None:
    # 85.26 h of painting and 15 h of nights: 32,457.00 ÷ 100.26 = 323.72.
    plan = planned(0.31, 420.0, lift_above=3.2)
    quote, _ = pricing.quote(areas=areas, terms=metric, lift=None)
    row = pricing.option_row(
        pricing.Candidate(
            option=option, colourway=colourway, plan=plan, quote=quote,
            night_time=given("night hours", 15 * HOUR, "s", source="worked case"),
        )
    )  # fmt: skip
    assert float(row.hours) / HOUR == pytest.approx(100.26, abs=0.005)
    assert float(row.per_hour) == pytest.approx(323.73, abs=0.02)


def test_one_option_has_nothing_to_be_uneven_with(areas, metric, planned, colourway, option):
    plan = planned(0.47, 910.0)
    quote, _ = pricing.quote(areas=areas, terms=metric, lift=None)
    candidate = pricing.Candidate(option=option, colourway=colourway, plan=plan, quote=quote)
    assert pricing.compare([candidate])[1] == ()
    assert pricing.compare([]) == ((), ())

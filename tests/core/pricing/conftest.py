"""N1's wall with its areas, N23's price terms, and the three options of N24."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from giornata.core import pricing, works
from giornata.core.artwork import Colourway, Option, Role
from giornata.core.foundation import Figure, Money, given

HOUR = 3600.0
LITRE = 1e-3
NET = 167.52
GROSS = 177.48


def usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


def area(name: str, value: float) -> Figure:
    return given(name, value, "m²", source="N1")


@pytest.fixture
def areas() -> pricing.BillableAreas:
    """N1: 61.2 × 2.9 = 177.48 gross, 167.52 net; figure 31 % of net."""
    return pricing.BillableAreas(
        gross=area("gross area", GROSS),
        net=area("net area", NET),
        figure=area("figure area", 0.31 * NET),
    )


@pytest.fixture
def terms() -> pricing.PriceTerms:
    """N23: $18/sq ft, prep 0.90, coating 1.60, contingency 5 %; N28: stages 20/30/50."""
    return pricing.PriceTerms(
        currency="USD",
        basis=pricing.PriceBasis.NET_WALL,
        unit=pricing.AreaUnit.SQUARE_FOOT,
        rate=usd(18),
        lines=(
            pricing.PriceLine(name="Preparation", per_unit=usd("0.90")),
            pricing.PriceLine(name="Coating", per_unit=usd("1.60")),
        ),
        contingency=Decimal("0.05"),
        stages=tuple(
            pricing.Stage(name=name, share=Decimal(share))
            for name, share in (("On order", "0.2"), ("On start", "0.3"), ("At the end", "0.5"))
        ),
    )


@pytest.fixture
def lift_terms() -> works.AccessTerms:
    """N60's tariff, N23's delivery of 95 each way; a wall of 2.9 m is above the limit."""
    return works.AccessTerms(
        lift_above=2.0, day=usd(150), week=usd(400), four_weeks=usd(900), delivery=usd(95)
    )


@pytest.fixture
def labour_terms() -> works.LabourTerms:
    """N24 and N32: 15 m²/h, 15 m/h; two people, 6.5 h, 70 %."""
    rate = 15 / HOUR
    return works.LabourTerms(
        rates=works.LabourRates(primer=rate, base=rate, fill=rate, edge=rate),
        people=2,
        productive=6.5 * HOUR,
        usable_days=0.7,
    )


@pytest.fixture
def paint_terms() -> works.PaintTerms:
    """Base and figure 2 coats at 6 m²/L, no primer; N41's tins, here in dollars."""
    return works.PaintTerms(
        figure=works.Coating(coats=2, spreading_rate=6 / LITRE),
        base=works.Coating(coats=2, spreading_rate=6 / LITRE),
        primer=works.Coating(coats=0, spreading_rate=7 / LITRE),
        waste=0.10,
        loss=0.0,
        reserve=0.05,
        tins=tuple(
            works.Tin(volume=litres * LITRE, price=usd(price))
            for litres, price in ((15, 95), (5, 40), (1, 12))
        ),
    )


@pytest.fixture
def colourway() -> Colourway:
    return Colourway(
        key="slack", name="Slack water", colours={"haze": "#c9d6d5", "tide": "#5f9aa3"}, coats={}
    )


Planned = Callable[..., works.WorkPlan]


@pytest.fixture
def planned(
    labour_terms: works.LabourTerms,
    paint_terms: works.PaintTerms,
    lift_terms: works.AccessTerms,
    colourway: Colourway,
) -> Planned:
    """The works of an option on N1: share of figure, edge; coats of a colourway. [-], [m]"""

    def plan(
        share: float,
        edge: float,
        coats: dict[str, int] | None = None,
        *,
        lift_above: float = 2.0,
    ) -> works.WorkPlan:
        quantities = tuple(
            works.PaintQuantity(
                number=number, key=key, name=key.title(), role=role,
                area=area(f"area, {key}", part * NET),
                cut_edge=given(f"edge, {key}", length, "m", source="N24"),
            )
            for number, key, role, part, length in (
                (1, "haze", Role.GROUND, 1 - share, 0.0), (2, "tide", Role.FIGURE, share, edge),
            )
        )  # fmt: skip
        found, _ = works.work_plan(
            net_area=area("net area", NET),
            quantities=quantities,
            colourway=replace(colourway, coats=coats or {}),
            paint=paint_terms,
            rates=labour_terms,
            access=replace(lift_terms, lift_above=lift_above),
            wall_height=given("wall height", 2.9, "m", source="N1"),
        )
        return found

    return plan


@pytest.fixture
def option() -> Option:
    return Option(key="A", name="Full tide")

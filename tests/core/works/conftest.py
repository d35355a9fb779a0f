"""A wall, its terms and its paints, with figures invented for the worked cases."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from giornata.core import works
from giornata.core.artwork import Colourway, Role
from giornata.core.foundation import Figure, Money, given

HOUR = 3600.0
LITRE = 1e-3


def money(amount: str | int, currency: str = "EUR") -> Money:
    return Money(amount=Decimal(str(amount)), currency=currency)


def tin(litres: float, price: str | int) -> works.Tin:
    return works.Tin(volume=litres * LITRE, price=money(price))


def length(name: str, value: float) -> Figure:
    return given(name, value, "m", source="worked case")


def area(name: str, value: float) -> Figure:
    return given(name, value, "m²", source="worked case")


def two_paints(net: float, share: float, edge: float) -> tuple[works.PaintQuantity, ...]:
    """Ground and one figure paint: the figure's share of the net wall, and its edge. [m²], [m]"""
    return (
        works.PaintQuantity(
            number=1, key="haze", name="Haze", role=Role.GROUND,
            area=area("area, Haze", net * (1 - share)), cut_edge=length("edge, Haze", 0.0),
        ),
        works.PaintQuantity(
            number=2, key="tide", name="Tide", role=Role.FIGURE,
            area=area("area, Tide", net * share), cut_edge=length("edge, Tide", edge),
        ),
    )  # fmt: skip


@pytest.fixture
def colourway() -> Colourway:
    return Colourway(
        key="slack", name="Slack water", colours={"haze": "#c9d6d5", "tide": "#5f9aa3"}, coats={}
    )


@pytest.fixture
def three_tins() -> tuple[works.Tin, ...]:
    """N41's list: 15, 5 and 1 L at 95, 40 and 12."""
    return (tin(15, 95), tin(5, 40), tin(1, 12))


@pytest.fixture
def paint_terms(three_tins: tuple[works.Tin, ...]) -> works.PaintTerms:
    """N38's terms: primer 1 coat at 7 m²/L, base and figure 2 at 6, waste 10 %."""
    return works.PaintTerms(
        figure=works.Coating(coats=2, spreading_rate=6 / LITRE),
        base=works.Coating(coats=2, spreading_rate=6 / LITRE),
        primer=works.Coating(coats=1, spreading_rate=7 / LITRE),
        waste=0.10,
        loss=0.0,
        reserve=0.05,
        tins=three_tins,
    )


@pytest.fixture
def labour_terms() -> works.LabourTerms:
    """N24's and N32's terms: 15 m²/h, 15 m/h, two people at 6.5 h, 70 % usable days."""
    return works.LabourTerms(
        rates=works.LabourRates(
            primer=15 / HOUR, base=15 / HOUR, fill=15 / HOUR, edge=15 / HOUR
        ),
        people=2,
        productive=6.5 * HOUR,
        usable_days=0.7,
    )  # fmt: skip


@pytest.fixture
def access_terms() -> works.AccessTerms:
    """N60's tariff with N23's delivery: 150 a day, 400 a week, 900 for four, 95 each way."""
    return works.AccessTerms(
        lift_above=2.0,
        day=money(150, "USD"),
        week=money(400, "USD"),
        four_weeks=money(900, "USD"),
        delivery=money(95, "USD"),
    )


Wall = Callable[[float, float], tuple[works.PaintQuantity, ...]]


@pytest.fixture
def n1_quantities() -> Wall:
    """Paints on N1's wall of 167.52 m², by share of figure and edge. [-], [m]"""

    def quantities(share: float, edge: float) -> tuple[works.PaintQuantity, ...]:
        return two_paints(167.52, share, edge)

    return quantities


@pytest.fixture
def n1_net() -> Figure:
    """N1: 61.2 × 2.9 less 3.6 × 2.1 and 1.2 × 2.0 = 177.48 - 9.96 = 167.52 m²."""
    return area("net area", 167.52)

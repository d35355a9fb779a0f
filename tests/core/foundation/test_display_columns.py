"""Columns of one unit, and explanations fitted to a width."""

from __future__ import annotations

from decimal import Decimal

import pytest

from giornata.core.foundation import System, derived, explain, given, shown_column


@pytest.mark.parametrize(
    ("values", "unit", "system", "head", "texts"),
    [
        ([0.062, 1.5], "m", System.METRIC, "m", ("0.06", "1.50")),
        ([0.062, 0.0005], "m", System.METRIC, "mm", ("62", "0")),
        ([0.3048, 3.048], "m", System.US, "ft", ("1.00", "10.00")),  # the foot is 0.3048 m
        ([0.09290304], "m²", System.US, "sq ft", ("1.0",)),  # 0.3048 squared
        ([0.003785411784], "m³", System.US, "gal", ("1.00",)),  # 231 cubic inches
        ([5400.0], "s", System.METRIC, "h", ("1.5",)),
        ([3.0, 2.0], "-", System.METRIC, "", ("3", "2")),
        ([0.5, 2.0], "-", System.METRIC, "", ("0.50", "2.00")),
        ([Decimal("0.10"), Decimal("12345.60")], "EUR", System.US, "EUR", ("0.10", "12,345.60")),
        ([Decimal(1200)], "JPY", System.METRIC, "JPY", ("1,200",)),
        ([None, float("nan"), float("inf")], "m", System.METRIC, "m", ("", "", "")),
        ([], "m²", System.METRIC, "m²", ()),
    ],
)  # fmt: skip
def test_a_column_is_printed_in_one_unit(values, unit, system, head, texts):
    assert shown_column(values, unit, system) == (head, texts)


def test_money_keeps_every_cent():
    # 2**53 + 1 cents cannot be told from its neighbour as a binary fraction.
    assert shown_column([Decimal("90071992547409.93")], "EUR", System.METRIC)[1] == (
        "90,071,992,547,409.93",
    )


@pytest.fixture
def tree():
    area = given("area", 48.0, "m²", source="a wall that was taped twice and agreed on both times")
    coat = derived("one coat", 0.008, "m³", method="t v1", formula="area ÷ rate", parts=(area,))
    return derived(
        "two coats", 0.016, "m³", method="t v1", formula="first + second", parts=(coat, coat)
    )


def test_an_explanation_keeps_to_a_width(tree):
    lines = explain(tree, System.METRIC, width=50).splitlines()
    assert max(map(len, lines)) <= 50
    assert " ".join(" ".join(lines).split()).count("agreed on both times") == 2


def test_a_figure_is_explained_once_where_asked(tree):
    lines = [" ".join(line.split()) for line in explain(tree, System.METRIC, once=True).split("\n")]
    assert lines == [
        "two coats = 16.0 L first + second",
        "one coat = 8.0 L area ÷ rate",
        "area = 48.00 m² given: a wall that was taped twice and agreed on both times",
        "one coat = 8.0 L as above",
    ]

"""Figures, findings, money, digest and frames."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import pytest
import shapely
from hypothesis import given as having
from hypothesis import strategies as st

from giornata.core.foundation import (
    Assumption,
    Basis,
    Figure,
    Finding,
    Money,
    Severity,
    System,
    affine_applied,
    assumed,
    derived,
    digest,
    explain,
    given,
    measured,
    placement_matrix,
    readonly,
    shown_figure,
    split,
    total,
    worst,
)


def test_a_figure_without_its_basis_cannot_be_made():
    with pytest.raises(ValueError, match="needs its source"):
        Figure(name="coats", value=2, unit="-", basis=Basis.GIVEN)


def test_a_measured_figure_needs_its_precision():
    with pytest.raises(ValueError, match="precision"):
        Figure(name="length", value=61.2, unit="m", basis=Basis.MEASURED, source="tape")


def test_a_derived_figure_needs_method_and_parts():
    with pytest.raises(ValueError, match="method and its parts"):
        derived("area", 1.0, "m²", method="", formula="", parts=())


def test_an_assumption_needs_a_source():
    with pytest.raises(ValueError, match="needs its source"):
        Assumption(name="waste", value=0.1, unit="-", source="")


def paint_figure() -> Figure:
    return derived(
        "paint",
        0.0114,
        "m³",
        method="example v1",
        formula="area × coats ÷ spreading rate",
        parts=(
            measured("net area", 41.6, "m²", sigma=0.3, source="tape"),
            given("coats", 2, "-", source="painter"),
            assumed("spreading rate", 8000.0, "m²/m³", source="a sheet", usual=(6000.0, 10000.0)),
        ),
    )


def test_a_figure_explains_itself_in_the_readers_units():
    metric = explain(paint_figure(), System.METRIC).splitlines()
    assert metric[0].startswith("paint = 11.4 L")
    assert "net area = 41.60 m² ± 0.30 m²" in metric[1]
    assert "measured: tape" in metric[1]
    assert "coats = 2" in metric[2]
    assert "(usual 6.00 m²/L to 10.00 m²/L)" in metric[3]
    # 0.0114 m³ / 0.003785411784 = 3.01 US gal
    assert "paint = 3.01 gal" in explain(paint_figure(), System.US)


def test_money_is_printed_to_the_cent():
    figure = given("rate", Decimal("1234.5"), "EUR", source="painter")
    assert shown_figure(figure, System.METRIC) == "1,234.50 EUR"


def test_walk_finds_all_parts():
    assert [f.name for f in paint_figure().walk()] == [
        "paint",
        "net area",
        "coats",
        "spreading rate",
    ]


def test_worst_severity_comes_first():
    def finding(severity: Severity) -> Finding:
        return Finding(code="a.b", severity=severity, subject="s", message="m", remedy="r")

    assert worst([finding(Severity.NOTE), finding(Severity.STOP)]) is Severity.STOP
    assert worst([]) is None


def test_a_finding_without_a_remedy_cannot_be_made():
    with pytest.raises(ValueError, match="remedy"):
        Finding(code="a.b", severity=Severity.NOTE, subject="s", message="m", remedy=" ")


def test_currencies_do_not_mix():
    with pytest.raises(ValueError, match="cannot be added"):
        Money(amount=Decimal(1), currency="EUR") + Money(amount=Decimal(1), currency="USD")


def test_half_a_cent_goes_up():
    # CHECKS F10: 2.5 -> 3 (half-up), not 2 (half-even); boxes on a tax form round 0.50 up.
    assert Money(amount=Decimal("0.125"), currency="EUR").rounded().amount == Decimal("0.13")
    assert Money(amount=Decimal("2.5"), currency="JPY").rounded().amount == 3


def test_n28_stage_sums_add_to_the_cent():
    # NEEDS N28: 39,853.38 at 20/30/50.
    whole = Money(amount=Decimal("39853.38"), currency="USD")
    parts = split(whole, [Decimal("0.2"), Decimal("0.3"), Decimal("0.5")])
    assert [p.amount for p in parts] == [
        Decimal("7970.68"),
        Decimal("11956.01"),
        Decimal("19926.69"),
    ]


@having(
    st.integers(0, 10**9),
    st.lists(st.integers(0, 100), min_size=1, max_size=8).filter(lambda s: sum(s) > 0),
)
def test_parts_always_sum_to_the_whole(cents, weights):
    whole = Money(amount=Decimal(cents) / 100, currency="EUR")
    shares = [Decimal(w) / sum(weights) for w in weights[:-1]]
    shares.append(1 - sum(shares, Decimal(0)))
    assert total(split(whole, shares), "EUR") == whole


def test_shares_must_make_one():
    with pytest.raises(ValueError, match="sum to exactly 1"):
        split(Money(amount=Decimal(1), currency="EUR"), [Decimal("0.5")])


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    name: str
    points: np.ndarray
    area: shapely.Geometry


def test_equal_content_has_one_digest_and_other_content_another():
    def record(x: float) -> Record:
        return Record(name="a", points=readonly([[x, 1.0]]), area=shapely.box(0, 0, x, 1))

    assert digest(record(2.0)) == digest(record(2.0))
    assert digest(record(2.0)) != digest(record(2.0000001))
    assert digest((1, 2)) != digest((1, (2,)))
    assert digest("1") != digest(1)
    assert digest({"a": 1, "b": 2}) == digest({"b": 2, "a": 1})
    assert digest(None) != digest(False)


def test_a_thing_without_stable_form_is_refused():
    with pytest.raises(ValueError, match="no stable form"):
        digest(object())


def test_readonly_refuses_what_is_not_finite():
    with pytest.raises(ValueError, match="finite"):
        readonly([[0.0, float("nan")]])


def test_arrays_are_read_only():
    array = readonly([[0.0, 1.0]], columns=2)
    with pytest.raises(ValueError, match="read-only"):
        array[0, 0] = 5.0


def test_placement_turns_y_up_and_puts_the_lower_left_corner():
    # By hand: canvas 100 x 50 units at 2 m to a unit, left edge at 10 m, lower edge at -1 m:
    # (0, 50) is the lower left corner -> (10, -1); (100, 0) the upper right -> (210, 99).
    matrix = placement_matrix(2.0, 10.0, -1.0, 50.0)
    assert affine_applied(matrix, [[0, 50], [100, 0]]).tolist() == [[10, -1], [210, 99]]


def test_mirrored_placement_swaps_left_and_right_in_place():
    matrix = placement_matrix(2.0, 10.0, -1.0, 50.0, mirrored_width=100.0)
    assert affine_applied(matrix, [[100, 50], [0, 0]]).tolist() == [[10, -1], [210, 99]]

"""Tables in the reader's units: one unit a column, its digits, places to the millimetre."""

from __future__ import annotations

from decimal import Decimal

import pytest

from giornata.core.documents import Column, PrintedTable, Table, printed_table
from giornata.core.foundation import System, given


def made(system: System) -> PrintedTable:
    return printed_table(
        Table(
            name="made",
            title="Made",
            columns=(
                Column(head="Name"),
                Column(head="Pieces"),
                Column(head="Area", unit="m²"),
                Column(head="Edge", unit="m"),
                Column(head="Paint", unit="m³"),
                Column(head="Hours", unit="s", digits=2),
                Column(head="Place", unit="m", place=True),
                Column(head="Sum", unit="USD"),
            ),
            rows=(
                ("wall", 3, 167.52, 0.0254, given("paint", 0.0114, "m³", source="made"), 5400.0,
                 1.2345, Decimal("32457.60")),
                ("", None, None, None, None, None, None, None),
            ),
        ),
        system,
    )  # fmt: skip


def test_metric_units_stand_at_the_heads() -> None:
    table = made(System.METRIC)
    assert [column.head for column in table.columns] == [
        "Name", "Pieces", "Area [m²]", "Edge [m]", "Paint [L]", "Hours [h]", "Place [mm]",
        "Sum [USD]",
    ]  # fmt: skip
    assert [column.digits for column in table.columns] == [None, 0, 2, 2, 1, 2, 0, 2]
    # A short edge stays in metres; 5,400 s are 1.5 h; 1.2345 m is 1,234 mm (half to even).
    assert table.rows[0][:7] == ("wall", 3, 167.52, 0.0254, pytest.approx(11.4), 1.5, 1234)
    assert table.rows[0][7] == Decimal("32457.60")
    assert table.rows[1] == ("", *[None] * 7)


def test_us_units_by_their_definitions() -> None:
    """1 ft = 0.3048 m, 1 in = 25.4 mm (1959); 1 US gal = 231 in³ = 3.785411784 L."""
    table = made(System.US)
    heads = [column.head for column in table.columns]
    assert heads == [
        "Name", "Pieces", "Area [sq ft]", "Edge [ft]", "Paint [gal]", "Hours [h]", "Place [ft]",
        "Place [ft, in]", "Sum [USD]",
    ]  # fmt: skip
    row = dict(zip(heads, table.rows[0], strict=True))
    assert row["Area [sq ft]"] == pytest.approx(167.52 / 0.3048**2)
    assert row["Edge [ft]"] == pytest.approx(1 / 12)
    assert row["Paint [gal]"] == pytest.approx(11.4 / 3.785411784)
    assert row["Place [ft]"] == pytest.approx(1.2345 / 0.3048)
    # By hand: 1,234.5 mm = 48.602 in = 4 ft 0.602 in, to 1/8 in: 5/8.
    assert row["Place [ft, in]"] == "4 ft 5/8 in"
    assert table.rows[1] == ("", *[None] * 8)


def test_a_row_of_another_length_is_refused() -> None:
    with pytest.raises(ValueError, match="made: a row has 1 cells"):
        Table(name="made", title="Made", columns=(Column(head="A"), Column(head="B")), rows=((1,),))


def test_a_place_in_another_unit_is_refused() -> None:
    with pytest.raises(ValueError, match="a place on the wall is in metres"):
        Column(head="Place", unit="m²", place=True)

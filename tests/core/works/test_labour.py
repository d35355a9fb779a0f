"""Hours from areas and edges, and working rates against published ones."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from giornata.core import works
from giornata.core.foundation import Severity, System, explain

HOUR = 3600.0
LABOUR = Path(__file__).parents[2] / "reference" / "labour_rates.csv"


@pytest.fixture
def no_primer(paint_terms: works.PaintTerms) -> works.PaintTerms:
    """N24 counts base, fill and edges only."""
    return replace(paint_terms, primer=replace(paint_terms.primer, coats=0))


def _hours(net, quantities, colourway, paint, labour) -> works.Labour:
    coats = works.coat_counts(quantities, colourway, paint)
    return works.labour_hours(net_area=net, quantities=quantities, coats=coats, terms=labour)


@pytest.mark.parametrize(
    ("share", "edge", "expected"),
    # 167.52 × 2 ÷ 15 = 22.34 h of base; + share × 22.34 h of fill; + edge × 2 ÷ 15.
    [(0.22, 260.0, 61.9), (0.31, 420.0, 85.3), (0.47, 910.0, 154.2)],
)
def test_n24_hours_of_three_options(
    n1_net, n1_quantities, colourway, no_primer, labour_terms, share, edge, expected
) -> None:
    done = _hours(n1_net, n1_quantities(share, edge), colourway, no_primer, labour_terms)
    assert float(done.total) / HOUR == pytest.approx(expected, abs=0.05)


def test_n24_edges_take_56_to_79_per_cent(
    n1_net, n1_quantities, colourway, no_primer, labour_terms
) -> None:
    # Shares stated with the case: 34.7 of 61.9 h and 121.3 of 154.2 h.
    shares = [
        float(_hours(n1_net, n1_quantities(s, e), colourway, no_primer, labour_terms).edge_share)
        for s, e in ((0.22, 260.0), (0.47, 910.0))
    ]
    assert shares == pytest.approx([0.56, 0.79], abs=0.005)


def test_n25_base_coats_are_22_3_of_85_3_hours(
    n1_net, n1_quantities, colourway, no_primer, labour_terms
) -> None:
    done = _hours(n1_net, n1_quantities(0.31, 420.0), colourway, no_primer, labour_terms)
    assert done.of(works.Task.BASE) / HOUR == pytest.approx(22.3, abs=0.05)
    assert float(done.base_share) == pytest.approx(22.3 / 85.3, abs=0.001)


def test_every_line_of_the_formula(
    n1_net, n1_quantities, colourway, paint_terms, labour_terms
) -> None:
    # By hand on 167.52 m², figure 50 % = 83.76 m², edge 300 m, tide in 3 coats: set-up 14 h;
    # primer 167.52 ÷ 20 = 8.376; base 167.52 × 2 ÷ 15 = 22.336; fill 83.76 × 3 ÷ 12 = 20.94;
    # edge 300 × 3 ÷ 10 = 90 h: 155.652 h.
    terms = replace(
        labour_terms,
        rates=works.LabourRates(primer=20 / HOUR, base=15 / HOUR, fill=12 / HOUR, edge=10 / HOUR),
        set_up=14 * HOUR,
    )
    thick = replace(colourway, coats={"tide": 3})
    done = _hours(n1_net, n1_quantities(0.5, 300.0), thick, paint_terms, terms)
    by_task = [done.of(task) / HOUR for task in works.Task]
    assert by_task == pytest.approx([14.0, 8.376, 22.336, 20.94, 90.0])
    assert float(done.total) / HOUR == pytest.approx(155.652)
    assert done.of(works.Task.EDGE, "tide") == done.of(works.Task.EDGE)
    assert done.of(works.Task.EDGE, "haze") == 0


def test_more_edge_at_the_same_area_is_more_hours(
    n1_net, n1_quantities, colourway, no_primer, labour_terms
) -> None:
    # 1 m of edge in 2 coats at 15 m/h is 8 min.
    less, more = (
        _hours(n1_net, n1_quantities(0.31, edge), colourway, no_primer, labour_terms)
        for edge in (420.0, 421.0)
    )
    assert float(more.total) - float(less.total) == pytest.approx(8 * 60)


def test_hours_explain_themselves(
    n1_net, n1_quantities, colourway, no_primer, labour_terms
) -> None:  # fmt: skip
    done = _hours(n1_net, n1_quantities(0.31, 420.0), colourway, no_primer, labour_terms)
    text = explain(done.total, System.METRIC)
    for words in ("85.3 h", "22.3 h", "15.0 m/h", "420.00 m", "edge × coats ÷ rate"):
        assert words in text


def test_nothing_to_do_takes_no_time(
    n1_net, n1_quantities, colourway, no_primer, labour_terms
) -> None:
    bare = replace(colourway, coats={"haze": 0, "tide": 0})
    done = _hours(n1_net, n1_quantities(0.31, 420.0), bare, no_primer, labour_terms)
    assert (float(done.total), float(done.base_share), done.lines) == (0.0, 0.0, ())


def test_rates_of_published_tables_are_not_called_unusual() -> None:
    # Every row read at its source, per coat; a rate is one over hours per m² and coat.
    with LABOUR.open(encoding="utf-8", newline="") as lines:
        rows = [
            row
            for row in csv.DictReader(lines)
            if row["status"] == "read" and row["painter_h_per_m2"]
        ]
    assert len(rows) == 15
    for row in rows:
        rate = int(row["coats_in_item"]) / float(row["painter_h_per_m2"]) / HOUR
        rates = works.LabourRates(primer=rate, base=rate, fill=rate, edge=15 / HOUR)
        assert works.rate_findings(rates) == (), row["task"]


def test_a_mistaken_unit_is_found() -> None:
    # 150 m²/h (ft²/h typed as m²/h would be ten times too much) and 2 m/h.
    rates = works.LabourRates(primer=20 / HOUR, base=15 / HOUR, fill=150 / HOUR, edge=2 / HOUR)
    findings = works.rate_findings(rates)
    assert [(f.code, f.subject) for f in findings] == [
        ("works.rate_unusual", "labour, fill"),
        ("works.rate_unusual", "labour, edge"),
    ]
    assert findings[0].severity is Severity.WARN
    assert "150 m²/h" in findings[0].message


def test_a_rate_is_above_nothing() -> None:
    with pytest.raises(ValueError, match="rate above 0"):
        works.working_time(10.0, 1, 0.0)


def test_people_are_at_least_one(labour_terms) -> None:
    with pytest.raises(ValueError, match="people are 1 or more"):
        replace(labour_terms, people=0)


def test_a_day_has_24_hours(labour_terms) -> None:
    with pytest.raises(ValueError, match="at most 24 h"):
        replace(labour_terms, productive=25 * HOUR)


def test_usable_days_are_a_share(labour_terms) -> None:
    with pytest.raises(ValueError, match="share of usable days"):
        replace(labour_terms, usable_days=0.0)

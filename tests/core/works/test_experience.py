"""Own rates by least squares: certified data sets, the worked case, and a made world."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from giornata.core import works
from giornata.core.foundation import given

HOUR = 3600.0


def _job(name: str, area: float, edge: float, hours: float) -> works.PastJob:
    return works.PastJob(name=name, area=area, edge=edge, duration=hours * HOUR)


THREE = (_job("a", 62, 180, 58.6), _job("b", 110, 140, 80.1), _job("c", 45, 260, 62.0))
AREA = given("figure area", 52.0, "m²", source="C9")
EDGE = given("edge", 420.0, "m", source="C9")


def test_n68_c9_own_rates() -> None:
    # C9: 0.5438 h/m² and 0.1428 h/m; actual minus fitted -0.8, +0.3, +0.4 h.
    rates, _ = works.personal_rates(THREE)
    assert float(rates.per_area) / HOUR == pytest.approx(0.5438, abs=5e-5)
    assert float(rates.per_edge) / HOUR == pytest.approx(0.1428, abs=5e-5)
    assert rates.fit.residuals / HOUR == pytest.approx([-0.8, 0.3, 0.4], abs=0.05)


def test_n68_c9_a_new_job_with_its_range() -> None:
    # C9: 88.2 h; area alone (200.7 h ÷ 217 m² = 0.925 h/m²) would say 48.1 h. The range by hand:
    # one degree of freedom, t(0.9) = 3.0777; residual sum of squares 0.9166 h², so sigma
    # 0.9574 h; x(X'X)⁻¹x with X'X = [17969 38260; 38260 119600], determinant 685,264,800:
    # (119600 × 52² - 2 × 38260 × 52 × 420 + 17969 × 420²) / det = 2.6587;
    # half width 3.0777 × 0.9574 × sqrt(3.6587) = 5.636 h.
    rates, findings = works.personal_rates(THREE)
    estimate = works.past_estimate(rates, area=AREA, edge=EDGE)
    assert float(estimate.duration) / HOUR == pytest.approx(88.2, abs=0.05)
    assert float(estimate.by_area_alone) / HOUR == pytest.approx(48.1, abs=0.1)
    half = (float(estimate.high) - float(estimate.low)) / 2 / HOUR
    assert half == pytest.approx(5.636, abs=0.002)
    middle = (float(estimate.high) + float(estimate.low)) / 2
    assert middle == pytest.approx(float(estimate.duration))
    assert [f.code for f in findings] == ["works.past_range"]
    assert "one is left over" in findings[0].message


def test_nist_noint1_certified() -> None:
    # NIST StRD, linear regression, NoInt1 (through the origin); from memory: x 60..70,
    # y 130..140, B1 2.07438016528926, its standard deviation 0.0165289256198347, residual
    # standard deviation 3.56753034006338.
    x = np.arange(60.0, 71.0)
    fit = works.fitted(x[:, np.newaxis], np.arange(130.0, 141.0))
    assert fit.coefficients[0] == pytest.approx(2.07438016528926, rel=1e-13)
    assert fit.sigma == pytest.approx(3.56753034006338, rel=1e-12)
    assert fit.sigma * np.sqrt(fit.cofactors[0, 0]) == pytest.approx(0.0165289256198347, rel=1e-12)


def test_nist_longley_certified() -> None:
    # NIST StRD, Longley (data from memory); certified B0 -3482258.63459582, B1 15.0618722714,
    # residual standard deviation 304.854073561965. A column of ones makes the constant.
    rows = np.array(
        [
            [60323, 83.0, 234289, 2356, 1590, 107608, 1947],
            [61122, 88.5, 259426, 2325, 1456, 108632, 1948],
            [60171, 88.2, 258054, 3682, 1616, 109773, 1949],
            [61187, 89.5, 284599, 3351, 1650, 110929, 1950],
            [63221, 96.2, 328975, 2099, 3099, 112075, 1951],
            [63639, 98.1, 346999, 1932, 3594, 113270, 1952],
            [64989, 99.0, 365385, 1870, 3547, 115094, 1953],
            [63761, 100.0, 363112, 3578, 3350, 116219, 1954],
            [66019, 101.2, 397469, 2904, 3048, 117388, 1955],
            [67857, 104.6, 419180, 2822, 2857, 118734, 1956],
            [68169, 108.4, 442769, 2936, 2798, 120445, 1957],
            [66513, 110.8, 444546, 4681, 2637, 121950, 1958],
            [68655, 112.6, 482704, 3813, 2552, 123366, 1959],
            [69564, 114.2, 502601, 3931, 2514, 125368, 1960],
            [69331, 115.7, 518173, 4806, 2572, 127852, 1961],
            [70551, 116.9, 554894, 4007, 2827, 130081, 1962],
        ]
    )
    design = np.column_stack([np.ones(len(rows)), rows[:, 1:]])
    fit = works.fitted(design, rows[:, 0])
    assert fit.coefficients[0] == pytest.approx(-3482258.63459582, rel=1e-8)
    assert fit.coefficients[1] == pytest.approx(15.0618722714, rel=1e-8)
    assert fit.sigma == pytest.approx(304.854073561965, rel=1e-8)


def test_a_made_world_gives_back_its_rates_and_its_scatter() -> None:
    # 0.55 h/m², 0.14 h/m and 4 h of scatter put in; 600 painters with six jobs each. The mean of
    # sigma² must be 16 h² (its own error 16 × sqrt(2 / (4 × 600)) = 0.46), and the 80 % range
    # must hold a seventh job in 80 % of cases (its error sqrt(0.8 × 0.2 / 600) = 1.6 %).
    rng = np.random.default_rng(20270208)
    variances, held, rates = [], 0, []
    for _ in range(600):
        design = np.column_stack([rng.uniform(20, 150, 7), rng.uniform(50, 900, 7)])
        hours = design @ [0.55, 0.14] + rng.normal(0, 4.0, 7)
        fit = works.fitted(design[:6], hours[:6])
        variances.append(fit.sigma**2)
        rates.append(fit.coefficients)
        half = works.prediction_half_width(fit, design[6], 0.80)
        held += abs(design[6] @ fit.coefficients - hours[6]) <= half
    assert np.mean(variances) == pytest.approx(16.0, abs=1.4)
    assert held / 600 == pytest.approx(0.80, abs=0.05)
    assert np.mean(rates, axis=0) == pytest.approx([0.55, 0.14], abs=0.005)


def test_the_range_is_students_against_scipy() -> None:
    # One regressor: the half width equals scipy's t quantile times the textbook expression
    # s sqrt(1 + x² / Σx²).
    x = np.array([1.0, 2.0, 3.0, 4.0])
    y = np.array([1.1, 1.9, 3.2, 3.9])
    fit = works.fitted(x[:, np.newaxis], y)
    slope = x @ y / (x @ x)
    s = np.sqrt(((y - slope * x) ** 2).sum() / 3)
    by_hand = stats.t(3).ppf(0.975) * s * np.sqrt(1 + 25 / (x @ x))
    assert works.prediction_half_width(fit, np.array([5.0]), 0.95) == pytest.approx(by_hand)


def test_two_jobs_give_rates_and_no_range() -> None:
    # Exact by construction: 0.5 h/m² and 0.2 h/m.
    jobs = (_job("a", 10, 20, 9.0), _job("b", 20, 10, 12.0))
    rates, findings = works.personal_rates(jobs)
    estimate = works.past_estimate(rates, area=AREA, edge=EDGE)
    assert float(rates.per_area) / HOUR == pytest.approx(0.5)
    assert float(rates.per_edge) / HOUR == pytest.approx(0.2)
    assert estimate.low is None
    assert estimate.high is None
    assert rates.per_area.sigma is None
    assert works.disagreement(estimate, AREA) == ()
    assert [f.code for f in findings] == ["works.past_range"]
    assert "no range can be given" in findings[0].message


@pytest.mark.parametrize(
    "jobs", [(_job("a", 10, 20, 9.0),), (_job("a", 10, 20, 9.0), _job("b", 20, 40, 19.0))]
)
def test_jobs_that_do_not_tell_area_from_edge(jobs: tuple[works.PastJob, ...]) -> None:
    rates, findings = works.personal_rates(jobs)
    assert rates is None
    assert [f.code for f in findings] == ["works.past_too_few"]


def test_no_past_jobs_no_rates() -> None:
    assert works.personal_rates(()) == (None, ())


def test_a_negative_rate_is_found() -> None:
    # By construction: the job with more edge took fewer hours at one area.
    jobs = (_job("a", 50, 100, 40.0), _job("b", 50, 300, 30.0))
    rates, findings = works.personal_rates(jobs)
    assert float(rates.per_edge) < 0
    assert "works.past_negative" in {f.code for f in findings}


def test_working_rates_that_past_jobs_contradict() -> None:
    rates, _ = works.personal_rates(THREE)
    estimate = works.past_estimate(rates, area=AREA, edge=EDGE)
    inside = given("hours", 85.3 * HOUR, "s", source="N24")
    outside = given("hours", 48.1 * HOUR, "s", source="C9")
    assert works.disagreement(estimate, inside) == ()
    (finding,) = works.disagreement(estimate, outside)
    assert finding.code == "works.past_hours"
    assert "48.1 h" in finding.message
    assert "88.2 h" in finding.message


def test_rows_fewer_than_columns() -> None:
    with pytest.raises(ValueError, match="do not tell the rates apart"):
        works.fitted(np.ones((1, 2)), np.ones(1))


def test_a_confidence_is_a_share() -> None:
    fit = works.fitted(np.ones((2, 1)), np.array([1.0, 2.0]))
    with pytest.raises(ValueError, match="confidence"):
        works.prediction_half_width(fit, np.ones(1), 1.0)


def test_a_past_job_took_time() -> None:
    with pytest.raises(ValueError, match="duration above 0"):
        _job("a", 10, 20, 0.0)

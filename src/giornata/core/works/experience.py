"""The painter's own rates, from finished jobs by least squares, and what they say of a new one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.foundation import (
    Assumption,
    Figure,
    Finding,
    Floats,
    Severity,
    derived,
    given,
    number_of,
    readonly,
)
from giornata.core.works.terms import PastJob

__all__ = [
    "CONFIDENCE", "Fit", "PastEstimate", "PersonalRates", "disagreement", "fitted",
    "past_estimate", "personal_rates", "prediction_half_width",
]  # fmt: skip

CONFIDENCE = Assumption(
    name="chance that the range holds the true hours",
    value=0.80,
    unit="-",
    source="common practice, no source: four in five",
    usual=(0.5, 0.95),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A least-squares fit without constant.

    Parameters
    ----------
    coefficients : array (k,)
        One for each column of the design.
    residuals : array (n,)
        Observed minus fitted.
    degrees : int
        n - k. [-]
    sigma : float or None
        Residual standard deviation; None where no degree of freedom is left. [as observed]
    cofactors : array (k, k)
        Inverse of the normal matrix; times sigma² the coefficients' covariance.
    """

    coefficients: Floats
    residuals: Floats
    degrees: int
    sigma: float | None
    cofactors: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonalRates:
    """Person-time for a square metre of figure and for a metre of edge, all coats together.

    Parameters
    ----------
    per_area, per_edge : Figure
        [s/m²], [s/m]
    fit : Fit
        The least-squares fit they come from.
    jobs : tuple of PastJob
        In the order of the fit's residuals.
    """

    per_area: Figure
    per_edge: Figure
    fit: Fit
    jobs: tuple[PastJob, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PastEstimate:
    """Hours of a new job by the painter's own jobs.

    Parameters
    ----------
    duration : Figure
        Most likely person-time. [s]
    low, high : Figure or None
        Range that holds it with `CONFIDENCE`; None where as many rates as jobs were fitted. [s]
    by_area_alone : Figure
        What the average per square metre would say. [s]
    """

    duration: Figure
    low: Figure | None
    high: Figure | None
    by_area_alone: Figure


def fitted(design: NDArray[np.float64], observed: NDArray[np.float64]) -> Fit:
    """Ordinary least squares without constant.

    Parameters
    ----------
    design : array (n, k)
        n at least k, columns independent.
    observed : array (n,)
        What was observed.

    Raises
    ------
    ValueError
        If the columns are not independent, or there are fewer rows than columns.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, section 4.4.3.1, least squares.
    """
    rows, columns = design.shape
    scale = np.linalg.norm(design, axis=0)
    if rows < columns or not np.all(scale > 0):
        raise ValueError("the observations do not tell the rates apart")
    orthogonal, triangle = np.linalg.qr(design / scale)
    if np.min(np.abs(np.diag(triangle))) < 1e-8:
        raise ValueError("the observations do not tell the rates apart")
    coefficients = np.linalg.solve(triangle, orthogonal.T @ observed) / scale
    residuals = observed - design @ coefficients
    degrees = rows - columns
    inverse = np.linalg.inv(triangle)
    return Fit(
        coefficients=readonly(coefficients),
        residuals=readonly(residuals),
        degrees=degrees,
        sigma=float(np.sqrt(residuals @ residuals / degrees)) if degrees else None,
        cofactors=readonly((inverse @ inverse.T) / np.outer(scale, scale)),
    )


def prediction_half_width(fit: Fit, at: NDArray[np.float64], confidence: float) -> float | None:
    """Half the range in which one new observation falls; None without a degree of freedom.

    Parameters
    ----------
    fit : Fit
        The fit.
    at : array (k,)
        Row of the design for the new observation.
    confidence : float
        Above 0 and below 1. [-]

    Raises
    ------
    ValueError
        If the confidence is outside its range.

    Notes
    -----
    Student's t with the fit's degrees of freedom, times sigma × √(1 + xᵀ(XᵀX)⁻¹x). The new job
    is taken to scatter like the old ones.
    """
    if not 0 < confidence < 1:
        raise ValueError("a confidence is above 0 and below 1")
    if fit.sigma is None:
        return None
    spread = fit.sigma * float(np.sqrt(1 + at @ fit.cofactors @ at))
    from scipy import stats  # takes longer to load than all else: only where it is used

    return float(stats.t.ppf(0.5 + confidence / 2, fit.degrees)) * spread


def personal_rates(
    past: Sequence[PastJob],
) -> tuple[PersonalRates | None, tuple[Finding, ...]]:
    """Own rates per area and per edge from finished jobs. [s/m²], [s/m]

    Parameters
    ----------
    past : sequence of PastJob
        At least two, whose edge is not in one proportion to their area.
    """
    if not past:
        return None, ()
    design = np.array([[job.area, job.edge] for job in past])
    observed = np.array([job.duration for job in past])
    try:
        fit = fitted(design, observed)
    except ValueError:
        return None, (_too_few(len(past)),)
    parts = tuple(figure for job in past for figure in _job_figures(job))
    sigmas = (
        None
        if fit.sigma is None
        else tuple(fit.sigma * float(np.sqrt(fit.cofactors[k, k])) for k in range(2))
    )
    rates = tuple(
        derived(
            name,
            float(fit.coefficients[k]),
            unit,
            method="works.personal_rates v1",
            formula="least squares: hours = area × rate + edge × rate, no constant",
            parts=parts,
            sigma=None if sigmas is None else sigmas[k],
        )
        for k, (name, unit) in enumerate((("own rate, area", "s/m²"), ("own rate, edge", "s/m")))
    )
    own = PersonalRates(per_area=rates[0], per_edge=rates[1], fit=fit, jobs=tuple(past))
    return own, _fit_findings(own)


def past_estimate(rates: PersonalRates, *, area: Figure, edge: Figure) -> PastEstimate:
    """Hours of a new job by own rates, with a range and with the area-only figure beside. [s]

    Parameters
    ----------
    rates : PersonalRates
        Of finished jobs.
    area, edge : Figure
        Of the new job, reckoned as those of the past jobs were. [m²], [m]
    """
    at = np.array([float(area), float(edge)])
    likely = float(at @ rates.fit.coefficients)
    method = "works.past_estimate v1"
    duration = derived(
        "hours by own past jobs", likely, "s", method=method,
        formula="area × own area rate + edge × own edge rate",
        parts=(area, rates.per_area, edge, rates.per_edge),
    )  # fmt: skip
    half = prediction_half_width(rates.fit, at, CONFIDENCE.value)
    low = high = None
    if half is not None and rates.fit.sigma is not None:
        degrees = given(
            "degrees of freedom", float(rates.fit.degrees), "-",
            source=f"{len(rates.jobs)} jobs less two rates",
        )  # fmt: skip
        low, high = (
            derived(
                f"hours by own past jobs, {word}",
                max(likely + sign * half, 0.0),
                "s",
                method=method,
                formula=f"hours {'−' if sign < 0 else '+'} Student's t × scatter of a new job",
                parts=(duration, degrees, CONFIDENCE.figure()),
            )
            for word, sign in (("low", -1), ("high", 1))
        )
    whole_area = sum(job.area for job in rates.jobs)
    average = sum(job.duration for job in rates.jobs) / whole_area
    alone = derived(
        "hours by area alone", average * float(area), "s", method=method,
        formula="area × average of all past jobs per m²; misleading, edges are left out",
        parts=(area, *(figure for job in rates.jobs for figure in _job_figures(job))),
    )  # fmt: skip
    return PastEstimate(duration=duration, low=low, high=high, by_area_alone=alone)


def disagreement(estimate: PastEstimate, reckoned: Figure) -> tuple[Finding, ...]:
    """Whether hours reckoned from working rates fall outside the range of own past jobs.

    Parameters
    ----------
    estimate : PastEstimate
        By own past jobs.
    reckoned : Figure
        By the rates of the job file. [s]
    """
    if estimate.low is None or estimate.high is None:
        return ()
    low, high = float(estimate.low), float(estimate.high)
    if low <= float(reckoned) <= high:
        return ()
    return (
        Finding(
            code="works.past_hours",
            severity=Severity.WARN,
            subject="hours",
            message=f"The working rates give {_hours(float(reckoned))}; your past jobs give "
            f"{_hours(float(estimate.duration))}, four times in five between {_hours(low)} and "
            f"{_hours(high)}.",
            remedy="Change the working rates under [labour], or say why this job differs.",
        ),
    )


def _job_figures(job: PastJob) -> tuple[Figure, Figure, Figure]:
    source = f"past job {job.name}"
    return (
        given(f"area, {job.name}", job.area, "m²", source=source),
        given(f"edge, {job.name}", job.edge, "m", source=source),
        given(f"hours, {job.name}", job.duration, "s", source=source),
    )


def _too_few(number: int) -> Finding:
    return Finding(
        code="works.past_too_few",
        severity=Severity.NOTE,
        subject="past jobs",
        message=f"{number_of(number, 'past job does', 'past jobs do')} not tell the hours for "
        "area from those for edges; two that differ in edge per m² are the least.",
        remedy="Enter another finished job, best one with much more or much less edge.",
    )


def _fit_findings(own: PersonalRates) -> tuple[Finding, ...]:
    findings = []
    if min(float(own.per_area), float(own.per_edge)) < 0:
        findings.append(
            Finding(
                code="works.past_negative",
                severity=Severity.WARN,
                subject="past jobs",
                message="Your past jobs give a rate below 0 "
                f"({float(own.per_area) / 3600:.3f} h/m², {float(own.per_edge) / 3600:.3f} h/m): "
                "something other than area and edge decided their hours.",
                remedy="Check the hours entered, and leave out jobs that were unlike this one.",
            )
        )
    if own.fit.degrees < 2:
        none = own.fit.degrees == 0
        findings.append(
            Finding(
                code="works.past_range",
                severity=Severity.NOTE,
                subject="past jobs",
                message=f"{len(own.jobs)} jobs fix two rates, and {'none' if none else 'one'} is "
                "left over to say how far they scatter: "
                f"{'no range can be given' if none else 'the range is wide'}.",
                remedy="Keep hours, area and edge of every job; four or five make a useful range.",
            )
        )
    return tuple(findings)


def _hours(duration: float) -> str:
    return f"{duration / 3600:.1f} h"

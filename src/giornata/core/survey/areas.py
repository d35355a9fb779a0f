"""Length and areas of the flat wall as figures, each with its parts and its precision."""

from __future__ import annotations

from math import fsum
from typing import Any

import numpy as np

from giornata.core.foundation import Figure, Finding, Floats, derived, measured, number_of
from giornata.core.survey.closure import Closure
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.profile import Profile
from giornata.core.survey.tape import Precision, bay_error, length_error, precision

__all__ = ["gross_area", "net_area", "wall_length"]

_MOST_PARTS = 12
_METHOD = "survey.develop v1"


def _stated(survey: WallSurvey) -> str:
    return f"class {survey.tape} tape" if survey.length_sigma is None else "precision as stated"


def wall_length(
    survey: WallSurvey, closed: Closure | None, findings: tuple[Finding, ...]
) -> tuple[Figure, Precision]:
    """Length of the wall and its precision: the overall where there is one, else the bays. [m]

    Parameters
    ----------
    survey : WallSurvey
        Bays, overall, and the tape or stated precision.
    closed : Closure or None
        Of the bays on the overall.
    findings : tuple of Finding
        Doubts about the length.
    """
    lengths = [bay.length for bay in survey.bays]
    errors = [bay_error(survey, bay) for bay in survey.bays]
    of_bays = precision(errors)
    source = f"taped, {_stated(survey)}"
    if len(lengths) <= _MOST_PARTS:
        bays = tuple(
            measured(
                f"bay {bay.name}",
                bay.length,
                "m",
                sigma=error,
                source=source if bay.sigma is None else "from its diameter or girth and its turn",
            )
            for bay, error in zip(survey.bays, errors, strict=True)
        )
    else:
        span = f"{len(lengths)} bays of {min(lengths):.2f} to {max(lengths):.2f} m"
        bays = (measured(span, fsum(lengths), "m", sigma=of_bays.root_sum, source=source),)

    def chained(name: str) -> Figure:
        return derived(
            name,
            fsum(lengths),
            "m",
            method=_METHOD,
            formula="sum of the bays",
            parts=bays,
            sigma=of_bays.root_sum,
            findings=findings if closed is None else (),
        )

    if closed is None:
        return chained("wall length"), of_bays
    error = length_error(survey, closed.overall)
    overall = measured(
        "overall", closed.overall, "m", sigma=error, source=f"apart from the bays, {source}"
    )
    misclosure = derived(
        "misclosure",
        closed.misclosure,
        "m",
        method="survey.closure v1",
        formula="overall - chain of bays",
        parts=(overall, chained("chain of bays")),
        sigma=closed.expected.root_sum,
    )
    whole = derived(
        "wall length",
        closed.overall,
        "m",
        method=_METHOD,
        formula=f"the overall; the bays against it: {closed.verdict}",
        parts=(overall, misclosure),
        sigma=error,
        findings=findings,
    )
    return whole, precision([error])


def gross_area(
    made: Profile,
    whole: Figure,
    of_length: Precision,
    area: float,
    findings: tuple[Finding, ...],
) -> tuple[Figure, Precision]:
    """Gross area and its precision: wall length × mean height. [m²]

    Parameters
    ----------
    made : Profile
        Lines and readings.
    whole : Figure
        Wall length. [m]
    of_length : Precision
        Of the wall length. [m]
    area : float
        Of the outline; above 0. [m²]
    findings : tuple of Finding
        Doubts about the outline.

    Notes
    -----
    First order. An error of the length stretches all chainages alike, so it counts with the mean
    height; each reading counts with the length of wall it stands for. Readings are taken as
    independent. Unevenness between readings is not in it.
    """
    length = float(whole)
    shares = made.mean_height_shares()
    sigmas = np.array([reading.sigma for reading in made.readings])
    of_height = precision((shares * sigmas).tolist())
    mean = area / length
    mean_height = derived(
        "mean height",
        mean,
        "m",
        method=_METHOD,
        formula="top less ground by trapezoids ÷ length",
        parts=_reading_figures(made, shares) + made.guesses,
        sigma=of_height.root_sum,
    )
    root_sum = precision([mean * of_length.root_sum, length * of_height.root_sum]).root_sum
    worst = mean * of_length.worst + length * of_height.worst
    figure = derived(
        "gross area",
        area,
        "m²",
        method=_METHOD,
        formula="wall length × mean height",
        parts=(whole, mean_height),
        sigma=root_sum,
        findings=findings,
    )
    return figure, Precision(root_sum=root_sum, worst=worst)


def _reading_figures(made: Profile, shares: Floats) -> tuple[Figure, ...]:
    if len(made.readings) <= _MOST_PARTS:
        return tuple(
            measured(
                f"{reading.kind} at {reading.at:.2f} m",
                reading.value,
                "m",
                sigma=reading.sigma,
                source="read at the wall",
            )
            for reading in made.readings
        )
    figures = []
    for kind in dict.fromkeys(reading.kind for reading in made.readings):
        of_kind = np.array([reading.kind == kind for reading in made.readings])
        values = np.array([reading.value for reading in made.readings])[of_kind]
        sigmas = np.array([reading.sigma for reading in made.readings])[of_kind]
        weights = np.abs(shares[of_kind])
        weights = (
            weights / weights.sum() if weights.sum() > 0 else np.ones(len(values)) / len(values)
        )
        figures.append(
            measured(
                f"{kind}, mean of {number_of(len(values), 'reading')}, {values.min():.2f} to "
                f"{values.max():.2f} m",
                float(weights @ values),
                "m",
                sigma=float(np.hypot.reduce(weights * sigmas)),
                source="read at the wall, each weighted by the length it stands for",
            )
        )
    return tuple(figures)


def net_area(
    gross: tuple[Figure, Precision], openings: tuple[Figure, Precision], net: Any
) -> tuple[Figure, Precision]:
    """Net area and its precision: gross less openings, taken as independent. [m²]

    Parameters
    ----------
    gross, openings : tuple of Figure and Precision
        The two areas. [m²]
    net : shapely geometry
        Outline less openings. [m]
    """
    found = Precision(
        root_sum=precision([gross[1].root_sum, openings[1].root_sum]).root_sum,
        worst=gross[1].worst + openings[1].worst,
    )
    figure = derived(
        "net area",
        float(net.area),
        "m²",
        method=_METHOD,
        formula="gross area - openings",
        parts=(gross[0], openings[0]),
        sigma=found.root_sum,
    )
    return figure, found

"""Length and areas of the wall as figures, each with its parts and its precision."""

from __future__ import annotations

from math import fsum
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Figure, Finding, Floats, derived, given, measured
from giornata.core.survey.closure import Closure
from giornata.core.survey.line import level_at
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.opening_outlines import OpeningShape
from giornata.core.survey.profile import Profile
from giornata.core.survey.tape import Precision, bay_error, height_error, length_error, precision
from giornata.core.survey.wall import DevelopedWall, PierSpan, WallOpening

__all__ = [
    "gross_area", "hidden_area", "net_area", "openings_area", "returns_area", "surface_factor",
    "wall_length",
]  # fmt: skip

_MOST_PARTS = 12
_METHOD = "survey.develop v1"
_FOOT_TO_HEAD = "foot to head, or to the wall's own lines"


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
                f"{kind}, mean of {len(values)} readings, {values.min():.2f} to "
                f"{values.max():.2f} m",
                float(weights @ values),
                "m",
                sigma=float(np.hypot.reduce(weights * sigmas)),
                source="read at the wall, each weighted by the length it stands for",
            )
        )
    return tuple(figures)


def openings_area(
    survey: WallSurvey, openings: tuple[WallOpening, ...]
) -> tuple[Figure, Precision]:
    """Area of the openings and its precision; what two of them share counts once. [m²]

    Parameters
    ----------
    survey : WallSurvey
        For the tape or the stated precision.
    openings : tuple of WallOpening
        Cut to the wall.
    """
    if not openings:
        none = measured("openings", 0.0, "m²", sigma=0.0, source="none in the survey")
        return none, Precision(root_sum=0.0, worst=0.0)
    figures, errors = [], []
    for opening in openings:
        if opening.shape is OpeningShape.OUTLINE:
            figure, of_corners = _outlined_area(survey, opening)
            errors.extend(of_corners)
            figures.append(figure)
            continue
        width, area = opening.length, float(opening.polygon.area)
        mean = area / width
        of_width, of_height = length_error(survey, width), height_error(survey, mean)
        pair = [mean * of_width, width * of_height]
        errors.extend(pair)
        figures.append(
            derived(
                f"opening {opening.name}",
                area,
                "m²",
                method=_METHOD,
                formula="width × mean height on the wall",
                parts=(
                    measured("width", width, "m", sigma=of_width, source="read at the wall"),
                    measured("mean height", mean, "m", sigma=of_height, source=_FOOT_TO_HEAD),
                ),
                sigma=precision(pair).root_sum,
            )
        )
    found = precision(errors)
    whole = derived(
        "openings",
        float(shapely.union_all([opening.polygon for opening in openings]).area),
        "m²",
        method=_METHOD,
        formula="sum of the openings, what two share counted once",
        parts=tuple(figures),
        sigma=found.root_sum,
    )
    return whole, found


def _outlined_area(survey: WallSurvey, opening: WallOpening) -> tuple[Figure, list[float]]:
    """Area of an opening given by its corners, and what each corner's error does to it.

    Of a polygon by its corners (half the sum of x × (next y - last y)) the area changes with a
    corner's chainage by half the difference of its neighbours' levels, and the other way about.
    """
    errors = []
    for part in shapely.get_parts(shapely.simplify(opening.polygon, 1e-9)):
        ring = shapely.get_coordinates(part.exterior)[:-1]
        reach = (np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)) / 2
        for (at, level), (along, up) in zip(ring.tolist(), reach.tolist(), strict=True):
            errors.append(abs(up) * length_error(survey, abs(at)))
            errors.append(abs(along) * height_error(survey, abs(level)))
    width, area = opening.length, float(opening.polygon.area)
    of_area = precision(errors).root_sum
    source = "from its corners on the wall, each read apart"
    figure = derived(
        f"opening {opening.name}",
        area,
        "m²",
        method=_METHOD,
        formula="width × mean height on the wall, from its corners",
        parts=(
            measured("width", width, "m", sigma=length_error(survey, width), source=source),
            measured("mean height", area / width, "m", sigma=of_area / width, source=source),
        ),
        sigma=of_area,
    )
    return figure, errors


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


def returns_area(
    survey: WallSurvey, piers: tuple[PierSpan, ...], top: Floats, ground: Floats
) -> Figure | None:
    """Area of the painted sides of piers; None where no pier's sides are painted. [m²]

    Parameters
    ----------
    survey : WallSurvey
        For the tape or the stated precision.
    piers : tuple of PierSpan
        Cut to the wall.
    top, ground : ndarray, shape (n, 2)
        The wall's lines. [m]

    Notes
    -----
    2 × proud × height where the wall is level; else proud × the height at either side. An
    opening under the pier is not looked at.
    """
    figures = []
    for pier in piers:
        if not (pier.returns_painted and pier.proud > 0):
            continue
        left = level_at(top, pier.start) - level_at(ground, pier.start)
        right = level_at(top, pier.end, before=True) - level_at(ground, pier.end, before=True)
        both = max(left, 0.0) + max(right, 0.0)
        of_proud = length_error(survey, pier.proud)
        of_both = precision([height_error(survey, both / 2)] * 2).root_sum
        figures.append(
            derived(
                f"returns of pier {pier.name}",
                pier.proud * both,
                "m²",
                method=_METHOD,
                formula="proud × (height at its left + height at its right)",
                parts=(
                    measured("proud", pier.proud, "m", sigma=of_proud, source="read at the wall"),
                    measured("both heights", both, "m", sigma=of_both, source="from the lines"),
                ),
                sigma=precision([both * of_proud, pier.proud * of_both]).root_sum,
            )
        )
    if not figures:
        return None
    return derived(
        "pier returns",
        fsum(float(figure) for figure in figures),
        "m²",
        method=_METHOD,
        formula="sum over the piers whose sides are painted",
        parts=tuple(figures),
        sigma=precision([figure.sigma or 0.0 for figure in figures]).root_sum,
    )


def surface_factor(wall: DevelopedWall) -> Figure:
    """True area over flat area: 1 where no pier's sides are painted. [-]"""
    net = float(wall.net_area)
    extra = float(wall.returns_area) if wall.returns_area else 0.0
    returns = (wall.returns_area,) if wall.returns_area else ()
    return derived(
        "surface factor",
        (net + extra) / net,
        "-",
        method="survey.surface_factor v1",
        formula="(net area + pier returns) ÷ net area",
        parts=(wall.net_area, *returns),
    )


def hidden_area(wall: DevelopedWall) -> Figure:
    """Net area that obstacles hide, seen square on; bands that overlap count once. [m²]"""
    if not wall.hidden:
        return measured("hidden area", 0.0, "m²", sigma=0.0, source="no obstacle in the survey")
    parts = tuple(
        derived(
            f"hidden by {band.name}",
            float(shapely.intersection(wall.net, band.polygon).area),
            "m²",
            method="survey.hidden_area v1",
            formula="net wall up to the obstacle's height above the ground",
            parts=(
                given("length", band.length, "m", source="survey, obstacles"),
                given("height", band.height, "m", source="survey, obstacles"),
            ),
        )
        for band in wall.hidden
    )
    joined = shapely.union_all([band.polygon for band in wall.hidden])
    return derived(
        "hidden area",
        float(shapely.intersection(wall.net, joined).area),
        "m²",
        method="survey.hidden_area v1",
        formula="sum over the obstacles, what two hide counted once",
        parts=parts,
    )

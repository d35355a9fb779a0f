"""Length and areas of an adjusted wall, each with the uncertainty that all readings leave it."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import replace
from math import fsum

import numpy as np

from giornata.core.foundation import Figure, Finding, Floats, derived, measured, number_of
from giornata.core.survey.adjusted_wall import AdjustedWall
from giornata.core.survey.closure import taped_length
from giornata.core.survey.line import to_nanometre
from giornata.core.survey.network import Axis
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.openings import openings_on_wall
from giornata.core.survey.outline import outline
from giornata.core.survey.profile import Profile, profile
from giornata.core.survey.tape import Precision, precision

__all__ = ["Uncertain", "adjusted_length", "restated", "restated_openings", "uncertain"]

_METHOD = "survey.adjustment v1"
_MOST_PARTS = 12

Uncertain = Mapping[str, Precision]
"""Root-sum and worst case of each quantity of an adjusted wall, by its name."""


def _areas(survey: WallSurvey, reach: float) -> dict[str, float]:
    """Areas of a survey and of its openings, by name. [m²]"""
    length = taped_length(survey)
    made, _ = profile(survey, length, reach)
    if made is None:
        return {}
    gross, _ = outline(made.top.points, made.ground.points)
    openings, net, _ = openings_on_wall(survey, gross, length, reach)
    found = {f"area {opening.name}": float(opening.polygon.area) for opening in openings}
    found |= {f"width {opening.name}": opening.length for opening in openings}
    return {**found, "gross": float(gross.area), "net": float(net.area)}


def _lengths(adjusted: AdjustedWall) -> dict[str, Floats]:
    """Change of the length and of each bay for a unit change of each unknown. [-]"""
    unknowns = adjusted.adjustment.unknowns
    unit = np.eye(len(unknowns))
    ends: list[Floats] = [np.zeros(len(unknowns))]
    ends += [unit[unknowns.index((Axis.CHAINAGE, end))] for end in adjusted.network.ends]
    bays = {f"bay {index}": b - a for index, (a, b) in enumerate(itertools.pairwise(ends))}
    return {"length": ends[-1], **bays}


def _readings(adjusted: AdjustedWall) -> dict[str, Floats]:
    """Change of each level and height as adjusted for a unit change of each unknown. [-]"""
    network, survey = adjusted.network, adjusted.survey
    column = {unknown: place for place, unknown in enumerate(adjusted.adjustment.unknowns)}

    def level(point: str) -> Floats:
        row = np.zeros(len(column))
        row[column[(Axis.LEVEL, point)]] = 1.0
        return row

    found = {}
    for kind, rows, points in (
        ("top", survey.top, network.top),
        ("ground", survey.ground, network.ground),
    ):
        for reading, (_, point) in zip(rows, points, strict=True):
            found[_key(kind, reading.at, reading.level)] = level(point)
    for height, (_, foot, head) in zip(survey.heights, network.heights, strict=True):
        found[_key("height", height.at, height.height)] = level(head) - level(foot)
    return found


def _key(kind: str, at: float, value: float) -> str:
    """A reading as the wall's lines know it."""
    return f"{kind} {to_nanometre(at)} {to_nanometre(value)}"


def uncertain(adjusted: AdjustedWall, reach: float) -> Uncertain:
    """How well each length and area of an adjusted wall is known. [m], [m²]

    Parameters
    ----------
    adjusted : AdjustedWall
        One whose adjustment is used.
    reach : float
        How far beyond an end a reading may stand and still be used; 0 or more. [m]

    Notes
    -----
    First order: each unknown is moved a little either way and the part of the wall that it changes
    drawn again by the same functions, so what is shared (an end, a level) counts once and with its
    sign. The root-sum takes the readings as independent; the worst case has every one of them out
    by its full deviation the bad way.
    """
    named = replace(
        adjusted.survey,
        openings=tuple(
            replace(opening, name=called)
            for opening, called in zip(
                adjusted.survey.openings, adjusted.network.openings, strict=True
            )
        ),
    )
    whole = _areas(named, reach)
    slopes = {name: np.zeros(len(adjusted.adjustment.unknowns)) for name in whole}
    for column, low, high in adjusted.moved():
        less, more = _areas(low, reach), _areas(high, reach)
        for name in more.keys() & less.keys():
            slopes[name][column] = adjusted.slope(np.array(more[name] - less[name]))
    slopes |= _lengths(adjusted) | _readings(adjusted)
    slopes["openings"] = slopes["gross"] - slopes["net"]
    length = taped_length(adjusted.survey)
    slopes["mean height"] = (slopes["gross"] - whole["gross"] / length * slopes["length"]) / length
    for name in [key.removeprefix("area ") for key in whole if key.startswith("area ")]:
        width, area = whole[f"width {name}"], whole[f"area {name}"]
        of_area = slopes[f"area {name}"]
        slopes[f"height {name}"] = (of_area - area / width * slopes[f"width {name}"]) / width
    errors = adjusted.errors(np.array(list(slopes.values())))
    return {name: precision(row.tolist()) for name, row in zip(slopes, errors, strict=True)}


def adjusted_length(
    adjusted: AdjustedWall, known: Uncertain, findings: tuple[Finding, ...]
) -> tuple[Figure, Precision]:
    """Length of an adjusted wall: its bays as adjusted, each with what was taped. [m]

    Parameters
    ----------
    adjusted : AdjustedWall
        One whose adjustment is used.
    known : Uncertain
        How well its lengths are known. [m]
    findings : tuple of Finding
        Doubts about the length.
    """
    found = adjusted.adjustment
    bays = []
    for index, bay in enumerate(adjusted.survey.bays):
        taken = found.readings[index]
        taped = measured(
            f"bay {bay.name} as taped",
            taken.reading.value,
            "m",
            sigma=taken.sigma,
            source="read at the wall",
        )
        bays.append(
            derived(
                f"bay {bay.name}",
                bay.length,
                "m",
                method=_METHOD,
                formula="as taped, corrected by all readings together",
                parts=(taped,),
                sigma=known[f"bay {index}"].root_sum,
            )
        )
    whole = fsum(float(bay) for bay in bays)
    if len(bays) > _MOST_PARTS:
        lengths = [float(bay) for bay in bays]
        span = f"{len(bays)} bays of {min(lengths):.2f} to {max(lengths):.2f} m, adjusted"
        deviation = known["length"].root_sum
        bays = [measured(span, whole, "m", sigma=deviation, source="read at the wall")]
    figure = derived(
        "wall length",
        whole,
        "m",
        method=_METHOD,
        formula=f"sum of the bays; {number_of(len(found.readings), 'reading')} adjusted together, "
        f"{found.freedom} beyond those needed",
        parts=tuple(bays),
        sigma=known["length"].root_sum,
        findings=findings,
    )
    return figure, known["length"]


def restated(
    found: tuple[Figure, Precision], made: Profile, known: Uncertain, name: str
) -> tuple[Figure, Precision]:
    """An area with the uncertainty that the adjustment leaves it, and so its mean height. [m²]

    Parameters
    ----------
    found : tuple of Figure and Precision
        As for readings taken one by one. [m²]
    made : Profile
        The lines, with the readings that they were made from.
    known : Uncertain
        How well each quantity is known.
    name : str
        "gross" or "net".
    """
    figure, _ = found
    parts = tuple(
        _mean_height(part, made, known) if part.name == "mean height" else part
        for part in figure.parts
    )
    return replace(figure, parts=parts, sigma=known[name].root_sum), known[name]


def _mean_height(figure: Figure, made: Profile, known: Uncertain) -> Figure:
    """The mean height with its readings as adjusted, where they are listed one by one."""
    parts = figure.parts
    count = len(made.readings)
    if count + len(made.guesses) == len(parts):
        keys = [_key(reading.kind, reading.at, reading.value) for reading in made.readings]
        source = "read at the wall, adjusted with all readings"
        parts = tuple(
            replace(part, sigma=known[key].root_sum, source=source)
            for part, key in zip(parts, keys, strict=False)
        )
        parts += figure.parts[count:]
    return replace(figure, parts=parts, sigma=known["mean height"].root_sum)


def restated_openings(
    found: tuple[Figure, Precision], known: Uncertain
) -> tuple[Figure, Precision]:
    """The openings with the uncertainty that the adjustment leaves each. [m²]

    Parameters
    ----------
    found : tuple of Figure and Precision
        As for readings taken one by one. [m²]
    known : Uncertain
        How well each quantity is known.
    """
    figure, _ = found
    if not figure.parts:
        return found
    parts = []
    names = [key.removeprefix("area ") for key in known if key.startswith("area ")]
    for part, name in zip(figure.parts, names, strict=True):
        width, height = part.parts
        parts.append(
            replace(
                part,
                sigma=known[f"area {name}"].root_sum,
                parts=(
                    replace(width, sigma=known[f"width {name}"].root_sum),
                    replace(height, sigma=known[f"height {name}"].root_sum),
                ),
            )
        )
    return replace(figure, parts=tuple(parts), sigma=known["openings"].root_sum), known["openings"]

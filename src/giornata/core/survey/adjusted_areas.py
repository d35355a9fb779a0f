"""Length and areas of an adjusted wall, each with the uncertainty that all readings leave it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import fsum

import numpy as np

from giornata.core.foundation import Figure, Finding, Floats, derived, measured
from giornata.core.survey.adjusted_wall import AdjustedWall
from giornata.core.survey.closure import taped_length
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.openings import openings_on_wall
from giornata.core.survey.outline import outline
from giornata.core.survey.profile import profile
from giornata.core.survey.tape import Precision, precision
from giornata.core.survey.wall import WallOpening

__all__ = ["Uncertain", "adjusted_length", "restated", "restated_openings", "uncertain"]

_METHOD = "survey.adjustment v1"
_MOST_PARTS = 12

Uncertain = Mapping[str, Precision]
"""Root-sum and worst case of each quantity of an adjusted wall, by its name."""


def _named(openings: tuple[WallOpening, ...]) -> dict[str, WallOpening]:
    """The openings by name; one that bears a name used before by name and number."""
    named: dict[str, WallOpening] = {}
    for number, opening in enumerate(openings):
        key = opening.name if opening.name not in named else f"{opening.name} {number}"
        named[key] = opening
    return named


def _quantities(survey: WallSurvey, reach: float) -> dict[str, float]:
    """Lengths and areas of a survey, by name. [m], [m²]"""
    lengths = [bay.length for bay in survey.bays]
    length = taped_length(survey)
    found = {"length": length}
    found |= {f"bay {index}": value for index, value in enumerate(lengths)}
    made, _ = profile(survey, length, reach)
    if made is None:
        return found
    found |= {f"reading {index}": r.value for index, r in enumerate(made.readings)}
    gross, _ = outline(made.top.points, made.ground.points)
    openings, net, _ = openings_on_wall(survey, gross, length, reach)
    for name, opening in _named(openings).items():
        area = float(opening.polygon.area)
        found[f"area {name}"] = area
        found[f"width {name}"] = opening.length
        found[f"height {name}"] = area / opening.length
    found["gross"] = float(gross.area)
    found["mean height"] = float(gross.area) / length
    found["net"] = float(net.area)
    found["openings"] = found["gross"] - found["net"]
    return found


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
    First order: each unknown is moved a little either way and the wall drawn again by the same
    functions, so what is shared (an end, a level) counts once and with its sign. The root-sum
    takes the readings as independent; the worst case has every one of them out by its full
    deviation the bad way.
    """
    names = list(_quantities(adjusted.survey, reach))
    change: Floats = np.zeros((len(names), len(adjusted.adjustment.unknowns)))
    for column, (low, high) in enumerate(adjusted.moved()):
        if low == high:
            continue
        less, more = _quantities(low, reach), _quantities(high, reach)
        change[:, column] = [more.get(name, 0.0) - less.get(name, 0.0) for name in names]
    errors = adjusted.errors(change)
    return {name: precision(row.tolist()) for name, row in zip(names, errors, strict=True)}


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
        formula=f"sum of the bays; {len(found.readings)} readings adjusted together, "
        f"{found.freedom} beyond those needed",
        parts=tuple(bays),
        sigma=known["length"].root_sum,
        findings=findings,
    )
    return figure, known["length"]


def restated(
    found: tuple[Figure, Precision], known: Uncertain, name: str
) -> tuple[Figure, Precision]:
    """An area with the uncertainty that the adjustment leaves it, and so its mean height. [m²]

    Parameters
    ----------
    found : tuple of Figure and Precision
        As for readings taken one by one. [m²]
    known : Uncertain
        How well each quantity is known.
    name : str
        "gross" or "net".
    """
    figure, _ = found
    parts = tuple(
        _mean_height(part, known) if part.name == "mean height" else part for part in figure.parts
    )
    return replace(figure, parts=parts, sigma=known[name].root_sum), known[name]


def _mean_height(figure: Figure, known: Uncertain) -> Figure:
    """The mean height with its readings as adjusted, where they are listed one by one."""
    listed = sum(key.startswith("reading ") for key in known)
    readings = figure.parts
    if listed <= _MOST_PARTS:
        readings = tuple(
            replace(
                part,
                sigma=known[f"reading {index}"].root_sum,
                source="read at the wall, adjusted with all readings",
            )
            if index < listed
            else part
            for index, part in enumerate(figure.parts)
        )
    return replace(figure, parts=readings, sigma=known["mean height"].root_sum)


def restated_openings(
    found: tuple[Figure, Precision], openings: tuple[WallOpening, ...], known: Uncertain
) -> tuple[Figure, Precision]:
    """The openings with the uncertainty that the adjustment leaves each. [m²]

    Parameters
    ----------
    found : tuple of Figure and Precision
        As for readings taken one by one. [m²]
    openings : tuple of WallOpening
        Cut to the wall, in the figure's order.
    known : Uncertain
        How well each quantity is known.
    """
    figure, _ = found
    if not openings:
        return found
    parts = []
    for part, name in zip(figure.parts, _named(openings), strict=True):
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

"""What is more than the flat wall: painted sides of piers, and the surface factor."""

from __future__ import annotations

from math import fsum

from giornata.core.foundation import Figure, Floats, derived, measured
from giornata.core.survey.line import level_at
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.tape import height_error, length_error, precision
from giornata.core.survey.wall import DevelopedWall, PierSpan

__all__ = ["returns_area", "surface_factor"]

_METHOD = "survey.develop v1"


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

"""What is more than the flat wall: painted sides of piers, and the surface factor."""

from __future__ import annotations

from math import fsum

from giornata.core.foundation import Figure, Floats, derived, measured
from giornata.core.survey.line import level_at
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.tape import height_error, length_error, precision
from giornata.core.survey.wall import DevelopedWall, PierSpan

__all__ = ["painted_area", "returns_area", "surface_factor"]

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


def painted_area(wall: DevelopedWall) -> Figure:
    """Surface there is to paint: net area with its corrugations, and painted returns. [m²]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.

    Notes
    -----
    For paint and hours. What is billed is the flat net area, unless the job bills this one. The
    texture of a face is not in it: spreading rates and working rates are for a flat metre of
    such a face.
    """
    net, form, returns = wall.net_area, wall.form_factor, wall.returns_area
    factor = 1.0 if form is None else float(form)
    extra = 0.0 if returns is None else float(returns)
    if form is None and returns is None:
        return net
    formula = "net area" + (" × form factor" if form else "") + (" + returns" if returns else "")
    errors = [
        factor * (net.sigma or 0.0),
        0.0 if form is None else float(net) * (form.sigma or 0.0),
        0.0 if returns is None else returns.sigma or 0.0,
    ]
    return derived(
        "surface to paint",
        float(net) * factor + extra,
        "m²",
        method="survey.painted_area v1",
        formula=formula,
        parts=tuple(part for part in (net, form, returns) if part is not None),
        sigma=precision(errors).root_sum,
    )


def surface_factor(wall: DevelopedWall) -> Figure:
    """Surface to paint over net area: 1 on a flat wall without painted returns. [-]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    """
    painted, net = painted_area(wall), wall.net_area
    parts = (net,) if painted is net else (painted, net)
    return derived(
        "surface factor",
        float(painted) / float(net),
        "-",
        method="survey.surface_factor v2",
        formula="surface to paint ÷ net area",
        parts=parts,
    )

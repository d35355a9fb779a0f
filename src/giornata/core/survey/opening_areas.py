"""Area of the openings as a figure, with its parts and its precision."""

from __future__ import annotations

import numpy as np
import shapely

from giornata.core.foundation import Figure, derived, measured
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.opening_outlines import OpeningShape
from giornata.core.survey.tape import Precision, height_error, length_error, precision
from giornata.core.survey.wall import WallOpening

__all__ = ["openings_area"]

_METHOD = "survey.develop v1"
_FOOT_TO_HEAD = "foot to head, or to the wall's own lines"


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

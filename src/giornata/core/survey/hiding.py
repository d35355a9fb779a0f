"""What obstacles hide of the wall."""

from __future__ import annotations

import shapely

from giornata.core.foundation import Figure, derived, given, measured
from giornata.core.survey.wall import DevelopedWall

__all__ = ["hidden_area"]


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

"""Figures of what a design costs to make: by roller, by bend, by height, at the ground."""

from __future__ import annotations

from collections.abc import Iterator

from giornata.core.foundation import Figure, derived, given
from giornata.core.takeoff.edge_bends import LONG_STRAIGHT, TIGHT_RADIUS, Bend
from giornata.core.takeoff.making import BANDS, Making
from giornata.core.takeoff.narrow_list import NarrowKind, narrowest_line
from giornata.core.takeoff.quantities import TakeOff
from giornata.core.takeoff.tools import BrushAndRoller
from giornata.core.takeoff.zones import GROUND_STRIP, HAND, STEP

__all__ = ["making_figures"]

_METHOD = "takeoff.making v1"
_HEIGHTS = {"hand": "standing", "step": "from steps", "lift": "from a lift"}


def making_figures(
    made: Making, off: TakeOff, tools: BrushAndRoller
) -> Iterator[tuple[str, Figure]]:
    """Each with its dotted name below the option ("ink.rolled_100_mm", "edge.straight").

    Parameters
    ----------
    made : Making
        Of the same design as ``off``.
    tools : BrushAndRoller
        Brush, roller and texture of the job.
    """
    own = {paint.number: paint for paint in off.paints}
    for share in made.rollers:
        paint = own[share.paint]
        roller = given("roller width", share.width, "m", source="tools of the job, or usual")
        yield f"{paint.key}.rolled_{1000 * share.width:.0f}_mm", derived(
            f"{paint.name}, area for a roller of {1000 * share.width:.0f} mm", share.rolled, "m²",
            method=_METHOD, parts=(paint.area, roller),
            formula="area that a disc of the roller's width reaches inside the paint",
        )  # fmt: skip
    for paint in off.paints:
        low = sum(one.area for one in made.at_ground if one.paint == paint.number)
        yield f"{paint.key}.at_ground", derived(
            f"{paint.name}, area at the ground", low, "m²", method=_METHOD,
            formula="area below a height above the ground line",
            parts=(paint.area, GROUND_STRIP.figure(made.strip)),
        )  # fmt: skip
        yield from _narrowest(paint.key, paint.name, paint.number, off, tools)
    for bend in Bend:
        length = sum(one.length for one in made.edges if one.bend is bend)
        yield f"edge.{bend.value}", derived(
            f"edge, {bend.value}", length, "m", method=_METHOD,
            formula="length of the edges that bend so: straight over a long stretch, tight below "
            "a radius, gentle between",
            parts=(off.edge, LONG_STRAIGHT.figure(), TIGHT_RADIUS.figure()),
        )  # fmt: skip
    for band in BANDS:
        length = sum(one.length for one in made.edges if one.band == band)
        yield f"edge.{band}", derived(
            f"edge to cut {_HEIGHTS[band]}", length, "m", method=_METHOD,
            formula="length of the edges between two heights above the ground",
            parts=(off.edge, HAND.figure(), STEP.figure()),
        )  # fmt: skip


def _narrowest(
    key: str, name: str, number: int, off: TakeOff, tools: BrushAndRoller
) -> Iterator[tuple[str, Figure]]:
    """The narrowest line and gap of a paint, where one is too narrow."""
    limit = given("narrowest line", narrowest_line(tools), "m", source="tools of the job")
    for kind in (NarrowKind.LINE, NarrowKind.GAP):
        widths = [one.width for one in off.narrow if one.paint == number and one.kind is kind]
        if widths:
            yield f"{key}.narrowest_{kind.value}", derived(
                f"{name}, narrowest {kind.value}", min(widths), "m", method=_METHOD,
                formula="least width among the places narrower than can be painted",
                parts=(limit,),
            )  # fmt: skip

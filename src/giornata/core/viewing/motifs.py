"""Motifs: the named parts of an artwork as they lie on the wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.artwork import Drawing, Option, Paint, Role, shown_shapes
from giornata.core.foundation import affine_applied
from giornata.core.setting_out import PlacedArtwork

__all__ = ["Motif", "motifs_near"]

_NO_AREA = 1e-6  # m²


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Motif:
    """Shapes of one named group that stand together: a bird, a boat, a plant.

    Parameters
    ----------
    name : str
        The group's names, outermost first ("boats/lugger"); of shapes in no group, the paint's.
    area : shapely.Polygon or MultiPolygon
        In the wall frame, cut to the net wall. [m]
    """

    name: str
    area: Any


def motifs_near(
    drawing: Drawing,
    option: Option,
    paints: Sequence[Paint],
    placed: PlacedArtwork,
    net: Any,
    places: Any,
) -> tuple[Motif, ...]:
    """Motifs that share a chainage with given places and begin below their top, in order. [m]

    Parameters
    ----------
    drawing : Drawing
        The artwork with its groups.
    option : Option
        Which groups are shown.
    paints : sequence of Paint
        Shapes in a colour of the ground are no motifs.
    placed : PlacedArtwork
        Where the artwork lies.
    net : shapely geometry
        Net wall. [m]
    places : shapely geometry
        Only motifs that share a chainage with it, and begin below its top, are made. [m]

    Notes
    -----
    Shapes of one group that share a chainage are one motif, so two plants side by side in one
    group are two; a shape in no group is one by itself. What other shapes paint over is not taken
    off. A fit of the artwork to the wall moves a motif as it moves the shapes there.
    """
    if shapely.is_empty(places):
        return ()
    names = {colour: paint for paint in paints for colour in paint.artwork}
    groups: dict[str, list[Any]] = {}
    loose: dict[str, list[Any]] = {}
    for shape in shown_shapes(drawing, hide=option.hide, show=option.show)[0]:
        paint = names.get(shape.colour)
        if paint is not None and paint.role is Role.GROUND:
            continue
        if shape.group:
            groups.setdefault(shape.group, []).append(shape.area)
        else:
            hue = shape.colour if paint is None else paint.name
            loose.setdefault(f"shape in {hue}", []).append(shape.area)
    near = [
        (name, shapely.union_all(cluster))
        for name, areas in groups.items()
        for cluster in _clusters(_on_wall(areas, placed))
        if _meets(shapely.total_bounds(cluster), places)
    ]
    for name, areas in loose.items():
        laid = _on_wall(shapely.get_parts(np.array(areas)), placed)
        near += [(name, area) for area in laid[_meets(shapely.bounds(laid).T, places)]]
    cut = shapely.intersection(np.array([area for _, area in near], dtype=object), net)
    found = [
        Motif(name=name, area=area)
        for (name, _), area in zip(near, cut, strict=True)
        if area.area > _NO_AREA
    ]
    return tuple(sorted(found, key=lambda motif: (motif.area.bounds[0], motif.name)))


def _meets(bounds: Any, places: Any) -> Any:
    """Whether something shares a chainage with the places and begins below their top."""
    low, _, high, top = places.bounds
    start, foot, end, _ = bounds
    return (end > low) & (start < high) & (foot < top)


def _on_wall(areas: Sequence[Any], placed: PlacedArtwork) -> Any:
    """Shapes in the wall frame, moved as the fit moves what lies there."""
    matrix = placed.wall_from_artwork
    laid = shapely.transform(np.array(areas), lambda points: affine_applied(matrix, points))
    if placed.fit is None:
        return laid
    bounds = shapely.bounds(laid)
    middles = (bounds[:, 0] + bounds[:, 2]) / 2
    shifts = np.zeros(len(laid))
    for move in placed.fit.moves:
        shifts[(middles >= move.start) & (middles <= move.end)] = move.shift
    along = np.repeat(shifts, shapely.get_num_coordinates(laid))
    return shapely.transform(laid, lambda points: points + np.column_stack([along, 0.0 * along]))


def _clusters(areas: Any) -> list[Any]:
    """Shapes that share chainages, from left to right."""
    bounds = shapely.bounds(areas)
    order = np.argsort(bounds[:, 0], kind="stable")
    reach = np.maximum.accumulate(bounds[order, 2])
    cuts = np.flatnonzero(bounds[order[1:], 0] > reach[:-1]) + 1
    return [areas[part] for part in np.split(order, cuts)]

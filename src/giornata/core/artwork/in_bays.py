"""In bays: the visible regions of a large drawing, made bay by bay and joined."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Protocol

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core import geometry
from giornata.core.artwork.compositing import BARE, flat_colour
from giornata.core.artwork.shape import Look, Shape
from giornata.core.foundation import Assumption
from giornata.core.geometry import OUTSIDE, Bay, Coverage, Cut, Geometries, Labels, Overlay

__all__ = [
    "BAY_VERTICES",
    "BayTask",
    "Mapped",
    "bay_regions",
    "face_labels",
    "opaque_ones",
    "regions_in_bays",
]

BAY_VERTICES = Assumption(
    name="vertices of a drawing in one bay",
    value=30_000.0,
    unit="-",
    source="measured, bench/partition.py: fewer make more joins, more leave the processor's cache",
    usual=(10_000.0, 150_000.0),
)


class Mapped(Protocol):
    """A function like ``map``: it may share the calls out to several processes."""

    def __call__(self, function: Callable[[Any], Any], items: Iterable[Any], /) -> Iterable[Any]:
        """The function's result for each item, in the order of the items."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BayTask:
    """What one bay's regions follow from.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        Parts in the bay, the canvas's first. They travel to another process in one array.
    cut : geometry.Cut
        What is known of those that are cut.
    looks : tuple of Look
        Of the other areas, in painting order.
    ends : tuple of float
        Abscissae at which the bay ends. [artwork unit]
    sliver : float
        As in `geometry.dissolved`. [artwork unit]
    near : float
        As in `geometry.overlaid`. [artwork unit]
    """

    areas: Geometries
    cut: Cut
    looks: tuple[Look, ...]
    ends: tuple[float, float]
    sliver: float
    near: float

    def __getstate__(self) -> tuple[Any, ...]:
        others = (self.cut, self.looks, self.ends, self.sliver, self.near)
        return shapely.to_wkb(self.areas), *others

    def __setstate__(self, state: tuple[Any, ...]) -> None:
        areas = np.asarray(shapely.from_wkb(state[0]))
        for name, value in zip(self.__slots__, (areas, *state[1:]), strict=True):
            object.__setattr__(self, name, value)


def face_labels(laid: Overlay, looks: Sequence[Look | Shape]) -> tuple[Labels, tuple[str, ...]]:
    """Colour each face shows, as an index, and the colours; the first is BARE.

    Parameters
    ----------
    laid : geometry.Overlay
        Of the canvas and one area to each look; faces outside the canvas are OUTSIDE.
    """
    codes: dict[str, int] = {BARE: 0}
    labels: Labels = np.full(len(laid.faces), OUTSIDE, dtype=np.intp)
    held = np.flatnonzero(np.diff(laid.start))
    held = held[laid.cover[laid.start[held]] == 0]
    opaque = opaque_ones(looks)
    top = laid.cover[laid.start[held + 1] - 1]

    def code(stack: Sequence[int]) -> int:
        return codes.setdefault(flat_colour([looks[at - 1] for at in stack]), len(codes))

    plain: Labels = np.full(len(opaque), OUTSIDE, dtype=np.intp)
    for at in np.unique(top[opaque[top]]).tolist():
        plain[at] = code((at,) if at else ())
    labels[held] = plain[top]
    known: dict[tuple[int, ...], int] = {}
    for face in held[~opaque[top]].tolist():
        stack = laid.cover[laid.start[face] : laid.start[face + 1]].tolist()
        low = len(stack) - 1  # nothing shows below the highest opaque shape
        while low > 1 and not opaque[stack[low]]:
            low -= 1
        seen = tuple(stack[max(low, 1) :])
        if seen not in known:
            known[seen] = code(seen)
        labels[face] = known[seen]
    names = (BARE, *sorted(codes.keys() - {BARE}))
    place = {name: index for index, name in enumerate(names)}
    rank = np.array([*(place[name] for name in codes), OUTSIDE], dtype=np.intp)
    return rank[labels], names


def opaque_ones(looks: Sequence[Look | Shape]) -> NDArray[np.bool_]:
    """Whether the canvas, and then each look, hides what lies below it."""
    return np.array([True, *(one.opacity == 1.0 and not one.veils for one in looks)])


def bay_regions(task: BayTask) -> tuple[Bay, tuple[str, ...]]:
    """Regions of one bay by colour, as an index, and the colours; the first is BARE."""
    opaque = opaque_ones(task.looks)
    laid = geometry.overlaid(task.areas, task.ends, opaque=opaque, cut=task.cut, near=task.near)
    labels, names = face_labels(laid, task.looks)
    return geometry.bay_of(laid, labels, np.array(task.ends), sliver=task.sliver), names


def regions_in_bays(
    areas: Geometries,
    looks: Sequence[Look],
    *,
    sliver: float,
    near: float,
    mapped: Mapped,
) -> tuple[Coverage, tuple[str, ...]]:
    """Regions by colour, as an index, and the colours; the first is BARE.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        The canvas, then one to each look.
    sliver : float
        As in `geometry.dissolved`. [artwork unit]
    near : float
        As in `geometry.overlaid`. [artwork unit]
    mapped : callable
        Like ``map``.

    Raises
    ------
    ValueError
        If an area is not a valid polygon with finite coordinates.

    Notes
    -----
    The bays are the same however the work is shared out, and of the outlines the same stretches
    are left out as in one piece: those of areas that a line cuts are looked up beforehand.
    Where rounding has moved a node, so that the two sides of a bay line do not match, that line
    is left out and its two bays are made again as one.
    """
    geometry.check_areas(areas)
    canvas = areas[0].bounds
    lines = geometry.bay_lines(areas, int(BAY_VERTICES.value), clear=2 * near)
    lines = lines[(lines > canvas[0]) & (lines < canvas[2])]
    start, _, end, _ = shapely.bounds(areas).T
    across = np.flatnonzero(np.searchsorted(lines, start) < np.searchsorted(lines, end))
    found = geometry.hidden_segments(areas, opaque_ones(looks), across)
    hidden = dict(zip(across.tolist(), found, strict=True))
    made: dict[tuple[float, float], tuple[Bay, tuple[str, ...]]] = {}
    while True:
        spans = list(pairwise((-np.inf, *lines.tolist(), np.inf)))
        missing = [span for span in spans if span not in made]
        tasks = (
            BayTask(
                areas=parts,
                cut=cut,
                looks=tuple(looks[at - 1] for at in of[1:].tolist()),
                ends=span,
                sliver=sliver,
                near=near,
            )
            for span, (parts, of, cut) in zip(
                missing, geometry.in_bays(areas, missing, hidden), strict=True
            )
        )
        made.update(zip(missing, mapped(bay_regions, tasks), strict=True))
        bays = [made[span][0] for span in spans]
        wrong = geometry.unmatched_lines(bays, lines)
        if not len(wrong):
            break
        lines = np.setdiff1d(lines, wrong)
    names = (BARE, *sorted({name for span in spans for name in made[span][1]} - {BARE}))
    place = {name: index for index, name in enumerate(names)}
    bays = [
        geometry.renamed(bay, np.array([place[name] for name in own], dtype=np.intp))
        for bay, own in (made[span] for span in spans)
    ]
    return geometry.joined_bays(bays, sliver=sliver), names

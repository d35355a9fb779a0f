"""Seams: where one set-up stops drawing and the next begins, off straight lines where it can be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.foundation import Assumption, Finding, Floats, Severity, number_of
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection.seam_rooms import seam_rooms
from giornata.core.projection.setups import SetUp

__all__ = ["Seam", "StraightEdge", "seam_findings", "seams"]

STEP_SEEN = Assumption(
    name="step in a straight line that is seen",
    value=0.002,
    unit="m",
    source="common practice, no source: 1 to 2 mm; the eye sees steps far below 1 arc minute",
    usual=(0.001, 0.003),
)
BOW = Assumption(
    name="bow up to which an edge counts as straight",
    value=0.0005,
    unit="m",
    source="common practice, no source: no brush follows it; over 1 m a bend of 250 m radius",
    usual=(0.0002, 0.001),
)
STRAIGHT = Assumption(
    name="length from which an edge counts as a straight line",
    value=1.0,
    unit="m",
    source="common practice, no source",
    usual=(0.5, 1.5),
)
LEVEL = Assumption(
    name="slope up to which a line counts as level",
    value=0.25,
    unit="-",
    source="common practice, no source: about 14 degrees",
    usual=(0.1, 0.4),
)

_GRID = 0.01  # m: how finely an overlap is looked through
_INSET = 0.05  # m: a seam keeps off the rim of both images
_LISTED = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightEdge:
    """A straight, nearly level edge between two paints.

    Parameters
    ----------
    start, end : float
        Chainages; it ends after it starts. [m]
    start_level, end_level : float
        Levels there. [m]
    """

    start: float
    end: float
    start_level: float
    end_level: float

    def level_at(self, chainage: float) -> float:
        """Level at a chainage. [m]"""
        part = (chainage - self.start) / (self.end - self.start)
        return self.start_level + part * (self.end_level - self.start_level)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Where two neighbouring columns of set-ups meet.

    Parameters
    ----------
    column : int
        The column to its left, counted from 1. [-]
    chainage : float
        Where it lies. [m]
    crossed : tuple of StraightEdge
        Straight edges it has to cross, from below.
    """

    column: int
    chainage: float
    crossed: tuple[StraightEdge, ...]


def seams(coverage: Coverage, set_ups: Sequence[SetUp]) -> tuple[Seam, ...]:
    """A seam in each overlap of two columns: across the fewest straight edges, then edges.

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    set_ups : sequence of SetUp
        In order of number.

    Notes
    -----
    None where nothing lights the wall between two columns. Among places that are as good the one
    nearest to the middle of the overlap is taken; no seam lies beyond the next one. An edge is
    straight where it keeps within `BOW` of a line over the length of `STRAIGHT` (lines as by
    Douglas and Peucker 1973).
    """
    between = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    edges = coverage.edges[between]
    tree = shapely.STRtree(edges)
    columns = {one.column: one for one in sorted(set_ups, key=lambda one: -one.row)}
    made = []
    joined = [
        column
        for column in sorted(columns)
        if column + 1 in columns and columns[column].overlap_next is not None
    ]
    ends = [sorted((columns[c + 1].lit_start, columns[c].lit_end)) for c in joined]
    rooms = seam_rooms([(low, high) for low, high in ends])
    for column, (low, high) in zip(joined, rooms, strict=True):
        left = columns[column]
        reach = STRAIGHT.value
        box = shapely.box(low - reach, left.foot, high + reach, left.head)
        near = np.sort(tree.query(box, predicate="intersects"))
        lines = _segments(shapely.simplify(edges[near], BOW.value))
        at = _best(lines, low, high)
        crossed = tuple(
            StraightEdge(start=x0, start_level=y0, end=x1, end_level=y1)
            for x0, y0, x1, y1 in _straight_at(lines, at)[0].tolist()
        )
        crossed = tuple(sorted(crossed, key=lambda edge: edge.level_at(at)))
        made.append(Seam(column=column, chainage=at, crossed=crossed))
    return tuple(made)


def _segments(lines: np.ndarray) -> Floats:
    """Segments of lines, left end first; shape (n, 4). [m]"""
    xy, owner = shapely.get_coordinates(lines, return_index=True)
    pairs = np.hstack([xy[:-1], xy[1:]])[owner[:-1] == owner[1:]]
    backwards = pairs[:, 0] > pairs[:, 2]
    pairs[backwards] = pairs[backwards][:, [2, 3, 0, 1]]
    return np.asarray(pairs, dtype=np.float64)


def _straight_at(lines: Floats, at: float) -> tuple[Floats, int]:
    """Straight, nearly level segments that a chainage crosses, and how many it crosses at all."""
    crossed = lines[(lines[:, 0] < at) & (lines[:, 2] > at)]
    along, up = crossed[:, 2] - crossed[:, 0], crossed[:, 3] - crossed[:, 1]
    straight = (along >= STRAIGHT.value) & (np.abs(up) <= LEVEL.value * along)
    return crossed[straight], len(crossed)


def _best(lines: Floats, low: float, high: float) -> float:
    """Chainage between two others that crosses the fewest straight edges, then edges. [m]"""
    middle = (low + high) / 2
    room = max((high - low) / 2 - _INSET, 0.0)
    steps = np.arange(0, int(room / _GRID) + 1) * _GRID
    places = [middle] if len(steps) == 1 else [middle, *(middle + steps[1:]), *(middle - steps[1:])]

    def cost(at: float) -> tuple[int, int, float, float]:
        straight, every = _straight_at(lines, at)
        return len(straight), every, round(abs(at - middle), 6), at

    return float(min(places, key=cost))


def seam_findings(made: Sequence[Seam], set_ups: Sequence[SetUp]) -> tuple[Finding, ...]:
    """One finding for each seam that crosses straight edges: snap them by line.

    Parameters
    ----------
    made : sequence of Seam
    set_ups : sequence of SetUp
        In order of number.
    """
    findings = []
    for seam in made:
        if not seam.crossed:
            continue
        numbers = {
            c: [o.number for o in set_ups if o.column == c] for c in (seam.column, seam.column + 1)
        }
        beside = " and ".join(str(min(numbers[c])) for c in sorted(numbers))
        places = ", ".join(
            f"at level {edge.level_at(seam.chainage):.2f} m (straight from {edge.start:.2f} to "
            f"{edge.end:.2f} m)"
            for edge in seam.crossed[:_LISTED]
        )
        more = len(seam.crossed) - _LISTED
        count = number_of(len(seam.crossed), "straight edge")
        findings.append(
            Finding(
                code="projection.straight_seam",
                severity=Severity.NOTE,
                subject=f"seam of set-ups {beside}",
                message=f"At {seam.chainage:.2f} m it cannot but cross {count}, {places}"
                f"{f', and {more} more' if more > 0 else ''}; a step of "
                f"{1000 * STEP_SEEN.value:.0f} mm in a straight line is seen.",
                remedy="Snap each of them with a chalk line across both images; do not trace it "
                "twice.",
            )
        )
    return tuple(findings)

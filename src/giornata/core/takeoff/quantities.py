"""Quantities: what of each paint there is on the wall, and by which edges paints meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core import geometry
from giornata.core.artwork import Paint, Role, ground_paint
from giornata.core.foundation import (
    Assumption,
    Figure,
    Finding,
    Floats,
    Severity,
    derived,
    given,
    readonly,
)
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.setting_out import PlacedArtwork
from giornata.core.survey import RibbedFace
from giornata.core.takeoff.narrow_list import NarrowPlace, narrow_findings, narrow_list
from giornata.core.takeoff.over_ribs import cut_over_ribs
from giornata.core.takeoff.tools import BrushAndRoller

__all__ = ["EdgeBetween", "PaintQuantities", "TakeOff", "take_off"]

_METHOD = "takeoff.take_off v1"

AREA_AGREEMENT = Assumption(
    name="greatest difference between the regions' sum and the net wall, share of the wall",
    value=1e-6,
    unit="-",
    source="house default: both come from one outline, so only rounding may lie between them",
    usual=(1e-9, 1e-4),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeBetween:
    """All edges by which two paints meet, each counted once.

    Parameters
    ----------
    first, second : int
        Paint numbers, the lower first. [-]
    length : Figure
        [m]
    cut_by : int
        The paint that cuts the edge: the one that goes on later. [-]
    """

    first: int
    second: int
    length: Figure
    cut_by: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintQuantities:
    """What there is of one paint.

    Parameters
    ----------
    number, key, name, role
        As in the job's paint.
    area : Figure
        Visible on the wall. [m²]
    edge : Figure
        By which it meets other paints. [m]
    cut : Figure
        Part of ``edge`` that this paint cuts in, since it goes on later. [m]
    border : Figure
        Along the wall's outline and its openings; not in ``edge``. [m]
    rolled, brushed : Figure
        Area that the roller reaches, and area that only a brush reaches. [m²]
    shapes : int
        Connected regions. [-]
    cut_over_ribs : Figure or None
        ``cut`` up and down the ribs of the wall's sheet; None on a flat wall. [m]
    """

    number: int
    key: str
    name: str
    role: Role
    area: Figure
    edge: Figure
    cut: Figure
    border: Figure
    rolled: Figure
    brushed: Figure
    shapes: int
    cut_over_ribs: Figure | None = None

    @property
    def cut_on_face(self) -> Figure:
        """Length that is cut in on the wall's own face: what hours are reckoned from. [m]"""
        return self.cut if self.cut_over_ribs is None else self.cut_over_ribs


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """Quantities of one design on one wall.

    Parameters
    ----------
    net_area : Figure
        The net wall. [m²]
    base : Figure
        Base coat: the whole net wall. [m²]
    ground : Figure
        Visible ground. [m²]
    figure : Figure
        All other paints; with the ground it makes the net wall. [m²]
    edge : Figure
        All edges between paints, each once. [m]
    paints : tuple of PaintQuantities
        In order of number.
    pairs : tuple of EdgeBetween
        Pairs that meet, in order of numbers.
    narrow : tuple of NarrowPlace
        Narrower than can be painted.
    findings : tuple of Finding
    """

    net_area: Figure
    base: Figure
    ground: Figure
    figure: Figure
    edge: Figure
    paints: tuple[PaintQuantities, ...]
    pairs: tuple[EdgeBetween, ...]
    narrow: tuple[NarrowPlace, ...]
    findings: tuple[Finding, ...]

    def paint(self, number: int) -> PaintQuantities:
        """Quantities of the paint with this number.

        Raises
        ------
        ValueError
            If there is none.
        """
        for one in self.paints:
            if one.number == number:
                return one
        raise ValueError(f"no paint has the number {number}")

    def edge_matrix(self) -> Floats:
        """Edge lengths between paints, shape (n, n), symmetric, in the order of ``paints``. [m]"""
        at = {one.number: index for index, one in enumerate(self.paints)}
        matrix = np.zeros((len(at), len(at)))
        for pair in self.pairs:
            i, j = at[pair.first], at[pair.second]
            matrix[i, j] = matrix[j, i] = float(pair.length)
        return readonly(matrix)


def take_off(
    placed: PlacedArtwork,
    *,
    net_area: Figure,
    paints: Sequence[Paint],
    tools: BrushAndRoller,
    ribbed: RibbedFace | None = None,
) -> TakeOff:
    """Areas, edges, shapes and narrow places of a design on the wall, by paint.

    Parameters
    ----------
    placed : setting_out.PlacedArtwork
        Its regions tile the net wall.
    net_area : Figure
        The net wall, as surveyed. [m²]
    paints : sequence of Paint
        Exactly one is the ground.
    tools : BrushAndRoller
        Widths of roller and brush, depth of the texture.
    ribbed : survey.RibbedFace or None
        The wall's corrugated or ribbed face; None where it is flat.

    Raises
    ------
    ValueError
        If a region's paint is not among the paints, or not exactly one paint is the ground.

    Notes
    -----
    The roller is taken as a disc of its width that never leaves the paint (morphological
    opening), so corners and necks narrower than the roller are the brush's. An edge between two
    paints is cut in by the one that goes on later, the one with the higher number.
    """
    ground = ground_paint(paints)
    ordered = sorted(paints, key=lambda paint: paint.number)
    coverage = placed.coverage
    unknown = set(np.unique(coverage.labels).tolist()) - {paint.number for paint in paints}
    if unknown:
        raise ValueError(f"regions are labelled with unknown paint numbers {sorted(unknown)}")
    scale = given("artwork scale", placed.scale, "m", source="placement: wall to one artwork unit")
    pairs = _pairs(coverage, ordered, scale)
    quantities = tuple(
        _quantities(coverage, paint, pairs, net_area, scale, tools, ribbed) for paint in ordered
    )
    areas = {one.number: one.area for one in quantities}
    figure_areas = tuple(area for number, area in areas.items() if number != ground.number)
    narrow = narrow_list(coverage, tools)
    return TakeOff(
        net_area=net_area,
        base=_sum("base coat", (net_area,), "m²", "the whole net wall", net_area),
        ground=areas[ground.number],
        figure=_sum("figure", figure_areas, "m²", "sum of the figure paints' areas", net_area),
        edge=_sum("edge length", _lengths(pairs), "m", "sum over pairs of paints", scale),
        paints=quantities,
        pairs=pairs,
        narrow=narrow,
        findings=(*_area_findings(placed, net_area), *narrow_findings(narrow, ordered, tools)),
    )


def _sum(name: str, parts: tuple[Figure, ...], unit: str, formula: str, without: Figure) -> Figure:
    """Sum of figures; where there are none, zero on the figure it would come from."""
    return derived(
        name,
        sum(float(part) for part in parts),
        unit,
        method=_METHOD,
        formula=formula,
        parts=parts or (without,),
    )


def _lengths(pairs: Sequence[EdgeBetween]) -> tuple[Figure, ...]:
    return tuple(pair.length for pair in pairs)


def _pairs(coverage: Coverage, paints: Sequence[Paint], scale: Figure) -> tuple[EdgeBetween, ...]:
    names = {paint.number: paint.name for paint in paints}
    inner = coverage.left != OUTSIDE
    length = shapely.length(coverage.edges[inner])
    sides = np.stack([coverage.left[inner], coverage.right[inner]], axis=1)
    both, pair_of = np.unique(sides, axis=0, return_inverse=True)
    totals = np.bincount(pair_of.ravel(), weights=length, minlength=len(both))
    return tuple(
        EdgeBetween(
            first=int(first),
            second=int(second),
            length=derived(
                f"edge of {names[int(first)]} and {names[int(second)]}",
                float(total),
                "m",
                method=_METHOD,
                formula="length in the artwork × scale, cut to the net wall, each edge once",
                parts=(scale,),
            ),
            cut_by=int(second),
        )
        for (first, second), total in zip(both, totals, strict=True)
    )


def _quantities(
    coverage: Coverage,
    paint: Paint,
    pairs: Sequence[EdgeBetween],
    net_area: Figure,
    scale: Figure,
    tools: BrushAndRoller,
    ribbed: RibbedFace | None,
) -> PaintQuantities:
    faces = coverage.faces[coverage.labels == paint.number]
    area = derived(
        f"{paint.name}, area",
        float(shapely.area(faces).sum()),
        "m²",
        method=_METHOD,
        formula="area in the artwork × scale², cut to the net wall",
        parts=(net_area, scale),
    )
    roller = given("roller width", tools.roller, "m", source="tools of the job")
    reach = min(float(shapely.area(geometry.opened(faces, tools.roller / 2)).sum()), float(area))
    rolled = derived(
        f"{paint.name}, area for the roller",
        reach,
        "m²",
        method=_METHOD,
        formula="area that a disc of the roller's width reaches inside the paint",
        parts=(area, roller),
    )
    rim = (coverage.left == OUTSIDE) & (coverage.right == paint.number)
    touching = tuple(p.length for p in pairs if paint.number in (p.first, p.second))
    cutting = tuple(p.length for p in pairs if p.cut_by == paint.number)
    cut = _sum(f"{paint.name}, cutting-in length", cutting, "m", "edges with earlier paints", scale)
    return PaintQuantities(
        number=paint.number,
        key=paint.key,
        name=paint.name,
        role=paint.role,
        area=area,
        edge=_sum(f"{paint.name}, edge", touching, "m", "sum of its edges", scale),
        cut=cut,
        cut_over_ribs=None
        if ribbed is None
        else cut_over_ribs(coverage, ribbed, paint.name, paint.number, cut),
        border=derived(
            f"{paint.name}, along the wall's outline and openings",
            float(shapely.length(coverage.edges[rim]).sum()),
            "m",
            method=_METHOD,
            formula="length of its boundary that meets no other paint",
            parts=(net_area, scale),
        ),
        rolled=rolled,
        brushed=derived(
            f"{paint.name}, area for the brush",
            float(area) - reach,
            "m²",
            method=_METHOD,
            formula="area − area for the roller",
            parts=(area, rolled),
        ),
        shapes=len(faces),
    )


def _area_findings(placed: PlacedArtwork, net_area: Figure) -> tuple[Finding, ...]:
    off = placed.net_area - float(net_area)
    if abs(off) <= AREA_AGREEMENT.value * float(net_area):
        return ()
    return (
        Finding(
            code="takeoff.net_differs",
            severity=Severity.WARN,
            subject="net wall",
            message=(
                f"The paints' areas sum to {placed.net_area:.3f} m², the net wall as surveyed is "
                f"{float(net_area):.3f} m²: {off:+.3f} m²."
            ),
            remedy="Look for painted returns of piers or openings that overlap one another; areas "
            "by paint leave these out.",
        ),
    )

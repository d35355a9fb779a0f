"""Regions: what of a drawing is visible, by colour, and the paint of each region."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core import geometry
from giornata.core.artwork.compositing import BARE
from giornata.core.artwork.drawing import Drawing
from giornata.core.artwork.groups import shown_shapes
from giornata.core.artwork.in_bays import Mapped, face_labels, opaque_ones, regions_in_bays
from giornata.core.artwork.shape import Look, Shape
from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.geometry import Coverage

__all__ = ["FlatArtwork", "flattened"]

SLIVER = Assumption(
    name="mean width of a sliver, share of the canvas's shorter side",
    value=1e-5,
    unit="-",
    source="house default, no source: 0.03 mm on a wall 3 m high, thinner than a coat is even",
    usual=(1e-6, 1e-4),
)
TOUCHING = Assumption(
    name="gap between outlines that is closed, share of the canvas's longer side",
    value=1e-12,
    unit="-",
    source=(
        "house default: some thousand times the rounding of a coordinate, far below the digits "
        "that files are written with; 0.2 nm on a wall of 200 m"
    ),
    usual=(1e-13, 1e-10),
)
ONE_PIECE = Assumption(
    name="most vertices of a drawing that is overlaid in one piece",
    value=150_000.0,
    unit="-",
    source="house default: within 3 s and 200 MB on one processor (bench/partition.py)",
    usual=(50_000.0, 500_000.0),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FlatArtwork:
    """The visible regions of a drawing, each of one flat colour.

    Parameters
    ----------
    name : str
        File name, for findings.
    width, height : float
        Canvas in artwork units; above 0. [-]
    coverage : geometry.Coverage
        Regions tile the canvas (artwork frame, y down); a label is an index into ``colours``.
    colours : tuple of str
        ``#rrggbb``; the first is "" and stands for bare canvas.
    findings : tuple of Finding
    """

    name: str
    width: float
    height: float
    coverage: Coverage
    colours: tuple[str, ...]
    findings: tuple[Finding, ...] = ()

    def __post_init__(self) -> None:
        if not self.colours or self.colours[0] != BARE:
            raise ValueError("the first colour stands for bare canvas")
        if len(self.coverage.labels) and self.coverage.labels.max() >= len(self.colours):
            raise ValueError("a region's label is an index into the colours")

    def areas(self) -> dict[str, float]:
        """Area of each visible colour in square artwork units; "" is bare canvas. [-]"""
        total = np.bincount(
            self.coverage.labels,
            weights=shapely.area(self.coverage.faces),
            minlength=len(self.colours),
        )
        return {c: float(a) for c, a in zip(self.colours, total, strict=True) if a > 0}


def flattened(
    drawing: Drawing,
    *,
    hide: Iterable[str] = (),
    show: Iterable[str] = (),
    mapped: Mapped = map,
) -> FlatArtwork:
    """The visible regions of a drawing by flat colour; they tile its canvas.

    Parameters
    ----------
    hide, show : iterable of str
        Names of groups an option leaves out or brings in; groups that the file hides stay
        hidden unless shown.
    mapped : callable
        Like ``map``: it may share the bays of a large drawing out to several processes, which
        changes nothing in the result.

    Notes
    -----
    A drawing of more than ``ONE_PIECE`` vertices is cut into bays along its length.
    Shapes are laid over one another in painting order, translucent ones and veiled groups
    blended on white. Regions whose mean width is below ``SLIVER`` go to the neighbour with the
    longest common edge: they come from shapes that abut in the mind but not in the numbers.
    """
    shapes, findings = shown_shapes(drawing, hide=hide, show=show)
    areas, mended = _mended(shapes)
    canvas = shapely.box(0, 0, drawing.width, drawing.height)
    whole = np.array([canvas, *areas], dtype=object)
    sliver = SLIVER.value * min(drawing.width, drawing.height)
    near = TOUCHING.value * max(drawing.width, drawing.height)
    if shapely.get_num_coordinates(whole).sum() > ONE_PIECE.value:
        coverage, names = regions_in_bays(
            whole, _looks(shapes), sliver=sliver, near=near, mapped=mapped
        )
    else:
        geometry.check_areas(whole)
        laid = geometry.overlaid(whole, opaque=opaque_ones(shapes), near=near)
        labels, names = face_labels(laid, shapes)
        coverage = geometry.dissolved(
            laid.faces, labels, laid.edges, laid.left, laid.right, sliver=sliver
        )
    return FlatArtwork(
        name=drawing.name,
        width=drawing.width,
        height=drawing.height,
        coverage=coverage,
        colours=names,
        findings=(*findings, *_mended_finding(drawing, mended)),
    )


def _looks(shapes: Sequence[Shape]) -> list[Look]:
    """How the shapes look; those that look alike share one record."""
    known: dict[Look, Look] = {}
    looks = (Look(colour=s.colour, opacity=s.opacity, veils=s.veils) for s in shapes)
    return [known.setdefault(look, look) for look in looks]


def _mended(shapes: Sequence[Shape]) -> tuple[list[shapely.Geometry], int]:
    """Areas of the shapes, those that cross themselves made valid, and how many those are."""
    areas = np.array([shape.area for shape in shapes], dtype=object)
    bad = np.flatnonzero(~shapely.is_valid(areas))
    for at in bad:
        whole = shapely.make_valid(areas[at], method="structure", keep_collapsed=False)
        areas[at] = whole if shapely.area(whole) > 0 else shapely.MultiPolygon()
    return list(areas), len(bad)


def _mended_finding(drawing: Drawing, count: int) -> tuple[Finding, ...]:
    if not count:
        return ()
    return (
        Finding(
            code="artwork.mended",
            severity=Severity.WARN,
            subject=drawing.name,
            message=(
                f"{count} of {number_of(len(drawing.shapes), 'shape')} "
                f"{'crosses itself' if count == 1 else 'cross themselves'}; each is taken as the "
                "area its outline encloses."
            ),
            remedy="Compare the picture with your own; unite the crossing parts in the drawing.",
        ),
    )

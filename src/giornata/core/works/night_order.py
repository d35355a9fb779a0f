"""Order of the nights: from both ends of the wall to the seam that forgives a left-over gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.foundation import Assumption, Figure, derived, given
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection import Seam, SetUp

__all__ = [
    "CLOSING_STRIP", "LEAST_SKY", "ClosingPlace", "closing_place", "runs_from_ends", "sky_limit",
]  # fmt: skip

CLOSING_STRIP = Assumption(
    name="half the width of the strip in which a left-over gap is taken up",
    value=0.15,
    unit="m",
    source="common practice, no source: a few inches are left over on a long wall",
    usual=(0.05, 0.3),
)
LEAST_SKY = Assumption(
    name="light of the sky that every image is taken to stand",
    value=1.0,
    unit="lx",
    source="no published source: less than lamps and passing cars change from minute to minute",
    usual=(0.3, 3.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosingPlace:
    """The seam at which the drawing closes, and why there.

    Parameters
    ----------
    column : int
        The column of set-ups to its left. [-]
    chainage : float
        Of the seam. [m]
    straight : int
        Straight, level edges that cross it. [-]
    edge : Figure
        Edge between paints within the strip about it. [m]
    """

    column: int
    chainage: float
    straight: int
    edge: Figure

    @property
    def empty(self) -> bool:
        """Whether the strip is ground without any edge."""
        return float(self.edge) < 1e-6


def closing_place(
    coverage: Coverage, seams: Sequence[Seam], away: Sequence[tuple[float, float]] = ()
) -> ClosingPlace | None:
    """The seam that forgives most: across the fewest straight edges, then with least edge about it.

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    seams : sequence of Seam
        Between neighbouring columns.
    away : sequence of (float, float)
        Chainages of the stretches that are not projected. [m]

    Notes
    -----
    None where there is one column, which closes on itself. Among seams that are as good, the one
    nearest to the middle of them all, so that neither run is long. A seam whose strip touches a
    stretch that is not projected is left out: there no drawing meets another. None too where no
    other seam is left.
    """
    meet = [seam for seam in seams if not _touches(seam, away)]
    if not meet:
        return None
    between = coverage.edges[(coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)]
    tree = shapely.STRtree(between)
    places = [_place(between, tree, seam) for seam in meet]
    middle = (places[0].chainage + places[-1].chainage) / 2
    return min(
        places,
        key=lambda one: (one.straight, round(float(one.edge), 3), abs(one.chainage - middle)),
    )


def _touches(seam: Seam, away: Sequence[tuple[float, float]]) -> bool:
    """Whether the strip about a seam reaches into a stretch that is not projected, or its rim."""
    half = CLOSING_STRIP.value
    return any(start - half <= seam.chainage <= end + half for start, end in away)


def _place(edges: np.ndarray, tree: shapely.STRtree, seam: Seam) -> ClosingPlace:
    half = CLOSING_STRIP.value
    strip = shapely.box(seam.chainage - half, -1e4, seam.chainage + half, 1e4)
    near = edges[tree.query(strip, predicate="intersects")]
    length = float(shapely.length(shapely.intersection(near, strip)).sum()) if len(near) else 0.0
    at = given(f"seam {seam.column}", seam.chainage, "m", source="plan of the set-ups")
    return ClosingPlace(
        column=seam.column,
        chainage=seam.chainage,
        straight=len(seam.crossed),
        edge=derived(
            f"edge about seam {seam.column}", length, "m", method="works.closing_place v2",
            formula="edge between paints within the strip about the seam",
            parts=(at, CLOSING_STRIP.figure()),
        ),
    )  # fmt: skip


def runs_from_ends(
    set_ups: Sequence[SetUp], closing: ClosingPlace | None
) -> tuple[tuple[int, ...], ...]:
    """Numbers of the set-ups in two runs, from the left end and from the right end to the gap. [-]

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number.
    closing : ClosingPlace or None
        Where the two runs meet; None is one run from the left.

    Notes
    -----
    The rows of one column are drawn one after the other, the lower first, before the projector
    moves on. Every set-up is aimed at marks from the datum; the order only says where what the
    marks leave over ends up.
    """
    by_column = sorted(set_ups, key=lambda one: (one.column, one.row))
    if closing is None:
        return (tuple(one.number for one in by_column),)
    left = [one for one in by_column if one.column <= closing.column]
    right = sorted(
        (one for one in by_column if one.column > closing.column),
        key=lambda one: (-one.column, one.row),
    )
    return tuple(one.number for one in left), tuple(one.number for one in right)


def sky_limit(set_ups: Sequence[SetUp], decided: float | None) -> Figure:
    """Light of sky and moon on the wall up to which one projects. [lx]

    Parameters
    ----------
    set_ups : sequence of SetUp
        Of the plan.
    decided : float or None
        By the painter; None reckons what the faintest image that passes still stands. [lx]

    Notes
    -----
    An image that is too faint without any sky has a finding of its own and is left out here.
    """
    if decided is not None:
        return given(
            "light of the sky up to which one projects", decided, "lx",
            source="job file, nights.usable_from",
        )  # fmt: skip
    stands = [
        (one.light.illuminance / one.light.limit - one.light.ambient, one)
        for one in set_ups
        if one.light.passes
    ]
    floor = LEAST_SKY.figure()
    if not stands:
        return floor
    least, one = min(stands, key=lambda pair: pair[0])
    return derived(
        "light of the sky up to which one projects", max(least, float(floor)), "lx",
        method="works.sky_limit v1",
        formula="light of the image ÷ least contrast - light on the wall, of the faintest image "
        "that passes; never under what every image stands",
        parts=(
            given(f"light of image {one.number}", one.light.illuminance, "lx",
                  source="plan of the set-ups"),
            given("least contrast", one.light.limit, "-", source="job file, stand.contrast"),
            given(f"light on the wall at set-up {one.number}", one.light.ambient, "lx",
                  source="survey and job file, site.ambient"),
            floor,
        ),
    )  # fmt: skip

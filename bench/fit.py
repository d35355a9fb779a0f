"""The fit of gaps for 20,000 shapes against a general solver, in one run.

A chain of 20,000 rigid shapes with log-normal gaps has anchors at both ends and at twelve places
between; all spans are to grow or shrink by a share of their gaps. The same quadratic programme goes
to Clarabel, an interior-point solver of cone programmes, in sparse form at its usual tolerance.
Printed: kernel time of one fit and of the solver (least of several runs, processor not idle), their
ratio, the residual of the optimum's conditions, and how far the solver's answer is off. Then the
growth of the time with the number of shapes, and the whole road on a drawing: shapes taken from the
partition, fitted, and the partition stretched.

    python bench/fit.py [shapes]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import Any

import clarabel
import numpy as np
import shapely
from scipy import sparse

from giornata.core import artwork, setting_out
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.setting_out import Anchor, ArtworkPlacement, FitTerms, fit_gaps

SPANS, LEAST = 13, 0.02
TARGET = 0.001  # s for 20,000 shapes
PAINTS = (
    Paint(number=1, key="haze", name="Haze", role=Role.GROUND, artwork=("#c9d6d5",)),
    Paint(number=2, key="ink", name="Ink", artwork=("#101418",)),
)


def chain(shapes: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Gaps, the first gap of each span, and what the gaps of each span sum to."""
    gaps = np.random.default_rng(1).lognormal(-3, 1, shapes + 1)
    first = np.linspace(0, shapes + 1, SPANS + 1).astype(int)[:-1]
    return gaps, first, np.add.reduceat(gaps, first)


def least_time(work: Callable[[], Any], runs: int) -> tuple[float, Any]:
    best, made = np.inf, None
    for _ in range(runs):
        start = time.perf_counter()
        made = work()
        best = min(best, time.perf_counter() - start)
    return best, made


def general(gaps: np.ndarray, first: np.ndarray, wanted: np.ndarray) -> np.ndarray:
    count = len(gaps)
    span = np.searchsorted(first, np.arange(count), side="right") - 1
    sums = sparse.csc_matrix((np.ones(count), (span, np.arange(count))))
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    solver = clarabel.DefaultSolver(
        sparse.diags(2 / gaps).tocsc(),
        np.zeros(count),
        sparse.vstack([sums, -sparse.eye(count)]).tocsc(),
        np.concatenate([wanted, np.maximum(gaps - LEAST, 0)]),
        [clarabel.ZeroConeT(len(first)), clarabel.NonnegativeConeT(count)],
        settings,
    )
    return np.array(solver.solve().x)


def road(shapes: int) -> None:
    """From the partition of a drawing to the fitted one, on the wall."""
    rng = np.random.default_rng(2)
    wide, gap = rng.uniform(0.002, 0.006, shapes), rng.lognormal(-6.2, 0.6, shapes + 1)
    left = np.cumsum(gap[:-1]) + np.append(0.0, np.cumsum(wide[:-1]))
    length = float(left[-1] + wide[-1] + gap[-1])
    level = rng.uniform(0.2, 2.5, shapes)
    boxes = shapely.box(left, level, left + wide, level + 0.3)
    drawing = Drawing(
        name="chain", width=length, height=3.0,
        shapes=tuple(Shape(area=box, colour="#101418") for box in boxes),
    )  # fmt: skip
    coverage, _ = artwork.painted(artwork.flattened(drawing), PAINTS)

    def placed(fit: FitTerms | None) -> setting_out.PlacedArtwork:
        return setting_out.place(
            coverage, canvas=(length, 3.0), placement=ArtworkPlacement(scale=1.0, fit=fit),
            net=shapely.box(0, 0, length - 0.5, 3.0), paints=PAINTS,
            anchors=[Anchor(name="left", at=0.0, to=0.0),
                     Anchor(name="right", at=length, to=length - 0.5)],
        )  # fmt: skip

    plain, _ = least_time(lambda: placed(None), 1)
    whole, made = least_time(lambda: placed(FitTerms(least_gap=0.0005)), 1)
    faces = made.coverage.faces[made.coverage.labels == 2]
    off = np.abs(np.sort(shapely.area(faces)) - np.sort(shapely.area(boxes))).max()
    print(
        f"{shapes} shapes from partition to wall: {whole:.2f} s fitted, {plain:.2f} s unfitted; "
        f"worst area of a shape off by {off:.1e} m²"
    )


def main(shapes: int) -> None:
    gaps, first, total = chain(shapes)
    for share in (0.01, -0.05, -0.3, -0.6):
        own, fit = least_time(lambda: fit_gaps(gaps, LEAST, first, share * total), 30)  # noqa: B023
        other, found = least_time(lambda: general(gaps, first, share * total), 3)  # noqa: B023
        off = np.abs(found - fit.changes).max()
        print(
            f"{shapes} shapes, {100 * share:+.0f} %: {1000 * own:.2f} ms, general solver "
            f"{1000 * other:.0f} ms, {other / own:.0f} times; residual {fit.residual:.1e}, "
            f"the solver is {1e9 * off:.0f} nm off"
        )
        assert fit.residual < 1e-9
        if own > TARGET * max(shapes / 20_000, 1):
            print(f"  over the aim of {1000 * TARGET:.0f} ms")
    for count in (2_000, 20_000, 200_000):
        more, starts, sums = chain(count)
        spent, _ = least_time(lambda: fit_gaps(more, LEAST, starts, -0.3 * sums), 10)  # noqa: B023
        print(f"{count} shapes, -30 %: {1000 * spent:.2f} ms")
    road(shapes)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000)

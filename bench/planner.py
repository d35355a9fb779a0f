"""The planner of set-ups against a shortest path by scipy and a linear programme by HiGHS.

In one run, on one made wall: the whole plan (places, true light, seams, walk along the wall), then
the walk alone beside the same graph given to scipy's `dijkstra` and to HiGHS through `linprog`.
Times are processor seconds; ratios are theirs over ours. Edge crossed is compared with equal
spacing.

    python bench/planner.py            183 m, 2 km, and 183 m of a wall that bends every 12 m
    python bench/planner.py 500        one length in metres
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from scipy.optimize import linprog
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from giornata.core import projection
from giornata.core.geometry import Coverage
from giornata.core.projection import best_plan
from giornata.core.projection.covering import Cover, Offer, best_cover, dual_excess
from giornata.core.projection.faces import straight
from giornata.core.site import Carrier

HEIGHT = 3.0
MACHINE = projection.Projector(
    name="made",
    columns=1920,
    rows=1200,
    throw_min=1.4,
    throw_max=2.2,
    lumens=5000.0,
    mode="full",
    modes={"full": 1.0},
    zoom_loss=0.2,
    shift_up=0.5,
    shift_side=0.1,
)
STAND = projection.Stand(distance=15.0, height=1.5, overlap=0.5, contrast=5.0, ambient=2.0)
MOST_EDGES = 1_000_000  # of the graph for HiGHS


def art(length: float) -> Coverage:
    """Eight blobs to a metre, of log-normal size; seed 5."""
    rng = np.random.default_rng(5)
    count = int(8 * length)
    x, z = rng.uniform(0, length, count), rng.uniform(0.2, HEIGHT - 0.2, count)
    size = rng.lognormal(-1.2, 0.6, count)
    edges = [
        shapely.Point(a, b).buffer(min(r, 1.5)).exterior for a, b, r in zip(x, z, size, strict=True)
    ]
    return Coverage(
        faces=np.array([shapely.box(0, 0, length, HEIGHT)], dtype=object),
        labels=np.array([1]),
        edges=np.array(edges, dtype=object),
        left=np.full(count, 1),
        right=np.full(count, 2),
    )


def bent(chainage: Any, offset: Any) -> np.ndarray:
    """Places in plan before a wall of straight bays of 12 m that turn by 6 degrees, to and fro."""
    s, o = np.broadcast_arrays(chainage, offset)
    bay = np.floor(s / 12.0).astype(int)
    turn = np.where(bay % 2 == 0, -0.0524, 0.0524)
    beyond = s - 12.0 * bay
    east = bay * 12.0 * np.cos(0.0524) + beyond * np.cos(turn) + o * np.sin(turn)
    north = 12.0 * np.sin(-0.0524) * (bay % 2) + beyond * np.sin(turn) - o * np.cos(turn)
    return np.stack([east, north], axis=-1)


def bench_bent(length: float) -> None:
    """Print one length of a bent wall, by one height of the lens and by several."""
    print(f"{length:,.0f} m by {HEIGHT:g} m, bent by 6 degrees every 12 m")
    tower = projection.Mount(carrier=Carrier.TOWER, lowest=2.0, highest=3.0)
    for name, stand in (
        ("one height", STAND),
        ("a tripod or a tower of 2 to 3 m", replace(STAND, mounts=(tower,))),
    ):
        wall = (length, [(0, HEIGHT)], [(0, 0.0)], [], MACHINE, stand)
        coverage = art(length)
        (plan, _), spent = timed(
            lambda wall=wall, coverage=coverage: projection.plan_setups(
                *wall, coverage=coverage, space=bent
            )
        )
        print(
            f"  {name}: whole plan {spent:.2f} s: {len(plan.set_ups)} set-ups, bound {plan.bound}, "
            f"{len(plan.unreachable)} stretches out of reach"
        )


def timed(work: Callable[[], Any]) -> tuple[Any, float]:
    """Result and processor seconds."""
    start = time.process_time()
    result = work()
    return result, time.process_time() - start


def graph(offer: Offer, step: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Every image between two seams, as an edge with its price."""
    (first,) = offer.windows().values()
    ends = np.arange(len(first))
    spans = np.maximum(ends - first, 0)
    head = np.repeat(ends, spans)
    tail = np.concatenate([np.arange(a, b) for a, b in zip(first, ends, strict=True)] or [[]])
    return tail.astype(int), head, step + offer.prices[head]


def bench(length: float) -> None:
    """Print one length."""
    print(f"{length:,.0f} m by {HEIGHT:g} m, seams every 5 cm, places every 10 cm")
    coverage = art(length)
    offers: list[Offer] = []

    def kept(offer: Offer) -> Cover | None:
        offers.append(offer)
        return best_cover(offer)

    best_plan.best_cover = kept  # type: ignore[attr-defined]
    wall = (length, [(0, HEIGHT)], [(0, 0.0)], [], MACHINE, STAND)
    (plan, _), spent = timed(
        lambda: projection.plan_setups(*wall, coverage=coverage, space=straight)
    )
    even, _ = projection.plan_setups(*wall)
    offer = offers[0]
    places = np.array([(a.end + b.start) / 2 for a, b in pairwise(even.set_ups)])
    at = np.abs(offer.seams[:, None] - places).argmin(axis=0)
    spaced = float(offer.costs[at].sum())
    cover, walk = timed(lambda: best_cover(offer))
    best = float(offer.costs[np.searchsorted(offer.seams, cover.seams)].sum())
    print(
        f"  whole plan {spent:.2f} s: {len(plan.set_ups)} set-ups, bound {plan.bound}; edge "
        f"crossed {best:.2f} m at the least, {spaced:.2f} m by {len(even.set_ups)} evenly spaced"
    )
    tail, head, price = graph(offer, cover.step)
    print(
        f"  walk {walk:.3f} s over {len(offer.seams):,} seams, {len(price):,} images; "
        f"dual excess {dual_excess(cover, offer):.1e}"
    )
    count = len(offer.prices)
    matrix = csr_array((price, (tail, head)), shape=(count, count))
    least, theirs = timed(lambda: dijkstra(matrix, indices=0)[-1])
    total = cover.step * cover.count + best
    print(
        f"  scipy dijkstra {theirs:.3f} s, ratio {theirs / walk:.1f}; "
        f"differs by {abs(least - total):.1e}"
    )
    if len(price) > MOST_EDGES:
        print(f"  HiGHS not run: more than {MOST_EDGES:,} edges")
        return
    arcs = np.arange(len(price))
    flow = csr_array(
        (np.r_[-np.ones(len(price)), np.ones(len(price))], (np.r_[tail, head], np.r_[arcs, arcs])),
        shape=(count, len(price)),
    )
    supply = np.zeros(count)
    supply[0], supply[-1] = -1.0, 1.0
    solved, theirs = timed(lambda: linprog(price, A_eq=flow, b_eq=supply, method="highs"))
    print(
        f"  HiGHS {theirs:.2f} s, ratio {theirs / walk:.0f}; "
        f"differs by {abs(solved.fun - total):.1e}"
    )


if __name__ == "__main__":
    for metres in [float(text) for text in sys.argv[1:]] or [183.0, 2000.0]:
        bench(metres)
    if not sys.argv[1:]:
        bench_bent(183.0)

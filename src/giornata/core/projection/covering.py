"""Covering a wall with stretches lit: the fewest of them, then the least trouble at the seams.

Every place where a projector may stand lights one stretch of the wall. Neighbouring stretches
overlap, and in the overlap lies a seam. What is asked for is the fewest images whose stretches
follow one another from end to end, and among those the seams that cost least. Both are answered
exactly, for the seams and the stretches offered, by going along the wall once: part of a stretch
lit is lit as well, so that of two stretches the one that reaches farther is never worse.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats, readonly

__all__ = [
    "Cover",
    "Offer",
    "Reach",
    "TradeOff",
    "best_cover",
    "dual_excess",
    "furthest_ends",
    "trade_offs",
]

_TOUCH = 1e-7  # m: rounding; a tenth of a micron of wall is not missed


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reach:
    """How far along the wall a stretch that begins at or before a chainage can reach.

    Parameters
    ----------
    starts, ends : ndarray, shape (n,)
        Ends of the stretches lit, starts ascending. [m]
    best : ndarray, shape (n,)
        Greatest end among the stretches up to each. [m]
    which : ndarray of int, shape (n,)
        Number, in the order they were given, of the stretch that reaches there. [-]
    """

    starts: Floats
    ends: Floats
    best: Floats
    which: np.ndarray

    @classmethod
    def of(cls, starts: ArrayLike, ends: ArrayLike) -> Reach:
        """The reach of stretches.

        Parameters
        ----------
        starts, ends : array_like, shape (n,)
            Chainages; stretches that do not end after they start are left out. [m]
        """
        left, right = np.asarray(starts, dtype=float), np.asarray(ends, dtype=float)
        order = np.flatnonzero(right > left)
        order = order[np.argsort(left[order], kind="stable")]
        best = np.maximum.accumulate(right[order])
        new = np.ones(len(order), dtype=bool)
        new[1:] = best[1:] > best[:-1]
        at = np.maximum.accumulate(np.where(new, np.arange(len(order)), 0))
        which = order[at]
        which.setflags(write=False)
        return cls(
            starts=readonly(left[order]),
            ends=readonly(right[order]),
            best=readonly(best),
            which=which,
        )

    def at(self, chainages: ArrayLike) -> Floats:
        """Farthest end of a stretch that begins at or before each chainage. [m]

        Parameters
        ----------
        chainages : array_like
            Where; minus infinity comes back where none begins so early. [m]
        """
        place = np.searchsorted(self.starts, np.asarray(chainages) + _TOUCH, side="right") - 1
        best = self.best if len(self.best) else np.array([-math.inf])
        return np.where(place >= 0, best[np.maximum(place, 0)], -math.inf)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Offer:
    """Stretches and seams that a wall may be covered with.

    Parameters
    ----------
    reaches : mapping of int to Reach
        Set-ups at one place (rows of images) to the stretches lit by so many.
    seams : ndarray, shape (n,)
        Chainages where neighbours may meet, ascending, each half an overlap or more inside. [m]
    costs : ndarray, shape (n,)
        What each seam costs; 0 or more. [m]
    length : float
        Of the wall; above 0. [m]
    overlap : float
        Least overlap of neighbours; 0 or more: the image before a seam holds the wall up to half
        of it beyond the seam, and the image after it from half of it before. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """

    reaches: Mapping[int, Reach]
    seams: Floats
    costs: Floats
    length: float
    overlap: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "seams", readonly(self.seams))
        object.__setattr__(self, "costs", readonly(self.costs))
        if self.seams.shape != self.costs.shape or self.seams.ndim != 1:
            raise ValueError("each seam offered has one cost")
        if not (0 < self.length < math.inf and self.overlap >= 0):
            raise ValueError("a wall has a length above 0 and an overlap of 0 or more")
        if (np.diff(self.seams) <= 0).any() or (self.costs < 0).any():
            raise ValueError("the seams offered ascend and cost 0 or more")
        inset = self.overlap / 2 - 1e-9
        if len(self.seams) and not inset <= self.seams[0] <= self.seams[-1] <= self.length - inset:
            raise ValueError("a seam lies half an overlap or more inside the wall")

    @property
    def prices(self) -> Floats:
        """Costs of the wall's start, of the seams and of the wall's end. [m]"""
        return np.concatenate([[0.0], self.costs, [0.0]])

    def windows(self) -> dict[int, np.ndarray]:
        """For each weight and place, the first place before it from which one image holds both."""
        half = self.overlap / 2
        starts = np.concatenate([[0.0], self.seams - half, [self.length]])
        ends = np.concatenate([[0.0], self.seams + half, [self.length]])
        return {
            weight: np.searchsorted(reach.at(starts), ends - _TOUCH, side="left")
            for weight, reach in self.reaches.items()
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """Images that follow one another from end to end of a wall.

    Parameters
    ----------
    seams : tuple of float
        Chainages where neighbours meet, ascending; one fewer than the images in a row. [m]
    weights : tuple of int
        Set-ups at each place along the wall: 1, or as many as there are rows. [-]
    cost : float
        Sum of what the seams cost. [m]
    potentials : ndarray, shape (n,)
        Least count and cost from the start to every seam offered, in one number. [-]
    step : float
        What one set-up weighs in the potentials. [-]
    """

    seams: tuple[float, ...]
    weights: tuple[int, ...]
    cost: float
    potentials: Floats
    step: float

    @property
    def count(self) -> int:
        """Set-ups. [-]"""
        return sum(self.weights)


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeOff:
    """What the seams of a plan cost with a number of set-ups.

    Parameters
    ----------
    count : int
        Set-ups. [-]
    cost : float
        Least sum of what the seams cost with so many. [m]
    seams : tuple of float
        Where they lie then. [m]
    """

    count: int
    cost: float
    seams: tuple[float, ...]


def furthest_ends(reach: Reach, length: float, overlap: float) -> tuple[tuple[float, ...], bool]:
    """Ends of images that each reach as far as any can; and whether the last ends the wall.

    Parameters
    ----------
    reach : Reach
        Of the stretches offered.
    length : float
        Of the wall; above 0. [m]
    overlap : float
        Least overlap of neighbours; 0 or more. [m]

    Notes
    -----
    However the seams lie, no cover by these stretches has fewer images than there are ends here: by
    induction the n-th image of any cover ends no farther than the n-th end. Where they do not end
    the wall, the last end is the first place that no cover reaches beyond.

    Examples
    --------
    >>> furthest_ends(Reach.of([0, 2, 4], [3, 5, 7]), 7.0, 0.5)
    ((3.0, 5.0, 7.0), True)
    """
    ends: list[float] = []
    begin = 0.0
    while True:
        end = float(reach.at(begin))
        before = ends[-1] if ends else 0.0
        if not end > before + _TOUCH:
            return tuple(ends), False
        ends.append(end)
        if end >= length - _TOUCH:
            return tuple(ends), True
        begin = max(end - overlap, 0.0)


def best_cover(offer: Offer) -> Cover | None:
    """The cover of fewest set-ups, and among those of least seam cost; None where there is none.

    Parameters
    ----------
    offer : Offer
        Stretches and seams.

    Notes
    -----
    Least path over the seams in order, f(i) = min over j of f(j) + K w + c(i), where an image of
    weight w holds both seams j and i. K is more than all seams cost together. The seams j are a
    run that moves on with i, so that their least is kept in a queue and the whole is linear in the
    number of seams. f is a feasible potential of the dual: see `dual_excess`.

    Examples
    --------
    >>> lit = Reach.of([0, 2, 3], [4, 6, 7])
    >>> cover = best_cover(
    ...     Offer(reaches={1: lit}, seams=[3.0, 3.5], costs=[0.4, 0.1], length=7.0, overlap=0.5)
    ... )
    >>> cover.seams, cover.count
    ((3.5,), 2)
    """
    prices, places = offer.prices, offer.seams
    step = float(math.ceil(prices.sum()) + 1)
    windows = {w: first.tolist() for w, first in offer.windows().items()}
    best = [0.0] + [math.inf] * (len(prices) - 1)
    came: list[tuple[int, int]] = [(-1, 0)] * len(prices)
    queues: dict[int, deque[int]] = {weight: deque() for weight in windows}
    cost = prices.tolist()
    for i in range(1, len(cost)):
        for weight, first in windows.items():
            queue, new = queues[weight], best[i - 1]
            while queue and best[queue[-1]] >= new:
                queue.pop()
            queue.append(i - 1)
            while queue and queue[0] < first[i]:
                queue.popleft()
            if queue and (found := best[queue[0]] + step * weight + cost[i]) < best[i]:
                best[i], came[i] = found, (queue[0], weight)
    if math.isinf(best[-1]):
        return None
    at, used, weights = len(cost) - 1, [], []
    while at > 0:
        at, weight = came[at]
        weights.append(weight)
        used.append(at)
    chosen = [j - 1 for j in reversed(used[:-1])]
    return Cover(
        seams=tuple(places[chosen].tolist()),
        weights=tuple(reversed(weights)),
        cost=float(prices[1:-1][chosen].sum()),
        potentials=readonly(np.array(best)),
        step=step,
    )


def dual_excess(cover: Cover, offer: Offer) -> float:
    """By how much a cover's potentials break the dual's bounds; 0 where they prove it least. [-]

    Parameters
    ----------
    cover : Cover
        The cover.
    offer : Offer
        What it was made from.

    Notes
    -----
    For every image that holds seams j and i: f(i) - f(j) is at most K w + c(i). Summed along any
    cover, its cost is f at the wall's end or more (weak duality). Worked from the windows anew,
    least of each by doubling, not from how the cover was found.
    """
    prices, windows = offer.prices, offer.windows()
    potentials = cover.potentials
    worst = 0.0
    for weight, first in windows.items():
        least = _least_between(potentials, first)
        with np.errstate(invalid="ignore"):
            excess = potentials[1:] - (least[1:] + cover.step * weight + prices[1:])
        worst = max(worst, float(np.nanmax(np.where(np.isfinite(least[1:]), excess, 0.0))))
    return worst


def _least_between(values: Floats, first: np.ndarray) -> Floats:
    """Least value from ``first[i]`` up to but not with each i; infinite where there is none."""
    count = len(values)
    ends = np.arange(count)
    span = np.maximum(ends - first, 0)
    found = np.full(count, math.inf)
    table, power = np.asarray(values, dtype=float), 1
    while True:
        here = (span >= power) & (span < 2 * power)
        at = ends[here]
        found[here] = np.minimum(table[first[here]], table[at - power])
        if not (span >= 2 * power).any():
            return found
        longer = np.full(count, math.inf)
        longer[: count - power] = np.minimum(table[: count - power], table[power:])
        table, power = longer, 2 * power


def trade_offs(offer: Offer, counts: Sequence[int]) -> tuple[TradeOff, ...]:
    """Least seam cost with each number of set-ups asked for; those that cannot be are left out.

    Parameters
    ----------
    offer : Offer
        Stretches and seams.
    counts : sequence of int
        Numbers of set-ups; each 1 or more. [-]
    """
    prices, places, windows = offer.prices, offer.seams, offer.windows()
    start = np.full(len(prices), math.inf)
    start[0] = 0.0
    layers = [start]
    for k in range(1, max(counts, default=0) + 1):
        layer = np.full(len(prices), math.inf)
        for weight, first in windows.items():
            if weight <= k:
                np.minimum(layer, _least_between(layers[k - weight], first) + prices, out=layer)
        layer[0] = math.inf
        layers.append(layer)
    return tuple(
        TradeOff(
            count=k,
            cost=float(layers[k][-1]),
            seams=tuple(places[_walked(layers, windows, prices, k)].tolist()),
        )
        for k in counts
        if math.isfinite(layers[k][-1])
    )


def _walked(
    layers: Sequence[Floats], windows: Mapping[int, np.ndarray], prices: Floats, k: int
) -> list[int]:
    """Numbers of the seams that lead to the wall's end with k set-ups, from the left."""
    at, used = len(prices) - 1, []
    while k > 0:
        options = []
        for weight, first in windows.items():
            if weight <= k and first[at] < at:
                run = layers[k - weight][first[at] : at]
                options.append((float(run.min()), int(first[at] + run.argmin()), weight))
        _, at, weight = min(options)
        k -= weight
        used.append(at - 1)
    return used[-2::-1]

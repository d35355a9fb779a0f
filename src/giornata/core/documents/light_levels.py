"""Light levels: each paint its own grey, so that the eye tells the paints apart on any wall."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, permutations

import numpy as np
from numpy.typing import NDArray

from giornata.core import colour
from giornata.core.foundation import Assumption, Floats
from giornata.core.takeoff import TakeOff

__all__ = ["LEAST_LEVEL", "light_levels"]

LEAST_LEVEL = Assumption(
    name="lightness of the dimmest figure paint in a high-contrast frame",
    value=40.0,
    unit="-",
    source="house default, no published source: CIELAB L* of the frame's grey; the ground is 0",
    usual=(30.0, 50.0),
)
_ALL_TRIED = 7
"""Up to so many figure paints every order is tried, 5,040 of them. [-]"""


def light_levels(take_off: TakeOff, ground: int) -> Mapping[int, str]:
    """Grey of each paint by its number: the ground black, the figure paints up to white.

    Parameters
    ----------
    take_off : takeoff.TakeOff
        Which paints meet, and along how much edge. [m]
    ground : int
        Number of the ground paint. [-]

    Raises
    ------
    ValueError
        If the ground is not among the paints.

    Notes
    -----
    Levels are evenly spaced in lightness (CIELAB L*). They are given out so that paints which
    meet along much edge differ much: the sum over pairs of edge length × logarithm of the
    difference is the greatest of all orders, or, with more than seven figure paints, one that no
    exchange of two levels makes greater.
    """
    numbers = [paint.number for paint in take_off.paints]
    if ground not in numbers:
        raise ValueError(f"no paint has the ground's number {ground}")
    figures = [index for index, number in enumerate(numbers) if number != ground]
    count = len(figures)
    levels = np.linspace(LEAST_LEVEL.value, 100.0, count) if count > 1 else np.full(count, 100.0)
    order = _order(take_off.edge_matrix()[np.ix_(figures, figures)], levels)
    greys = {numbers[figures[k]]: _grey(float(levels[place])) for k, place in enumerate(order)}
    return {ground: "#000000", **greys}


def _order(edge: Floats, levels: Floats) -> NDArray[np.intp]:
    """Place of each paint among the levels."""
    count = len(levels)
    apart = np.abs(levels[:, None] - levels[None, :])
    gain = np.log(np.where(apart > 0, apart, 1.0))

    def told_apart(orders: NDArray[np.intp]) -> Floats:
        total = np.zeros(len(orders))
        for i, j in combinations(range(count), 2):
            total += edge[i, j] * gain[orders[:, i], orders[:, j]]
        return total

    if count <= _ALL_TRIED:
        every = np.array(list(permutations(range(count))), dtype=np.intp)
        best: NDArray[np.intp] = every[int(np.argmax(told_apart(every)))]
        return best
    order = np.arange(count)
    while True:
        exchanged = np.repeat(order[None, :], count * (count - 1) // 2, axis=0)
        for row, (i, j) in enumerate(combinations(range(count), 2)):
            exchanged[row, [i, j]] = exchanged[row, [j, i]]
        scores = told_apart(exchanged)
        if scores.max() <= told_apart(order[None, :])[0] + 1e-9:
            return order
        order = exchanged[int(np.argmax(scores))]


def _grey(lightness: float) -> str:
    """The grey of a lightness L*, ``#rrggbb``."""
    luminance = float(colour.xyz_from_lab([lightness, 0.0, 0.0])[1])
    return colour.hex_from_srgb(colour.srgb_from_linear([luminance] * 3))

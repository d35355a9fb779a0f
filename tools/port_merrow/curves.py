"""Smooth outlines through a few points, written as SVG path data.

A shape is given by the points a hand would mark on the paper.  Between two corners the curve is
the spline of J. D. Hobby, "Smooth, easy to compute interpolating splines", Discrete and
Computational Geometry 1 (1986) 123-140, with unit tension and unit curl at the corners.

Notation of a shape: ``"0 0, 120 -40!, 60 -300"``.  One point is ``x y``; a trailing ``!`` makes it
a corner.  Two neighbouring corners are joined by a straight line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

Point = tuple[float, float]
Cubic = tuple[Point, Point, Point]


def points(text: str) -> tuple[list[Point], list[bool]]:
    """The points of a shape and whether each is a corner."""
    places: list[Point] = []
    corners: list[bool] = []
    for item in text.replace("\n", " ").split(","):
        words = item.strip()
        if not words:
            continue
        corners.append(words.endswith("!"))
        x, y = words.rstrip("!").split()
        places.append((float(x), float(y)))
    return places, corners


def number(value: float) -> str:
    """A coordinate to a tenth of a millimetre, in as few characters as it needs."""
    text = f"{value:.1f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def _velocity(theta: float, phi: float) -> float:
    """Hobby's rho: how far the control point lies, as a share of a third of the chord."""
    st, ct, sp, cp = math.sin(theta), math.cos(theta), math.sin(phi), math.cos(phi)
    top = 2 + math.sqrt(2) * (st - sp / 16) * (sp - st / 16) * (ct - cp)
    return top / (1 + 0.5 * (math.sqrt(5) - 1) * ct + 0.5 * (3 - math.sqrt(5)) * cp)


def _turn(before: complex, after: complex) -> float:
    return math.atan2((after / before).imag, (after / before).real)


def spline(places: Sequence[Point], closed: bool = False) -> list[Cubic]:
    """Cubics through the places; the first place itself is where the path already stands."""
    z = [complex(*p) for p in places]
    count = len(z)
    if count == 2 and not closed:
        a, b = z
        return [_cubic(a + (b - a) / 3, b - (b - a) / 3, b)]
    spans = count if closed else count - 1
    chord = [z[(k + 1) % count] - z[k] for k in range(spans)]
    length = [abs(c) for c in chord]
    turn = [0.0] * count
    for k in range(0 if closed else 1, count if closed else count - 1):
        turn[k] = _turn(chord[k - 1], chord[k])
    matrix = np.zeros((count, count))
    right = np.zeros(count)
    for k in range(count):
        if not closed and k in (0, count - 1):
            matrix[k, k] = 1.0
            matrix[k, 1 if k == 0 else count - 2] = 1.0
            right[k] = -turn[1] if k == 0 else 0.0
            continue
        before, after = 1 / length[k - 1], 1 / length[k % spans]
        matrix[k, (k - 1) % count] += before
        matrix[k, k] += 2 * (before + after)
        matrix[k, (k + 1) % count] += after
        following = turn[(k + 1) % count] if closed or k + 1 < count else 0.0
        right[k] = -2 * turn[k] * before - following * after
    theta = np.linalg.solve(matrix, right)
    cubics = []
    for k in range(spans):
        after = (k + 1) % count
        out = float(theta[k])
        into = float(-turn[after] - theta[after])
        if not closed and after == count - 1:
            into = float(-theta[after])
        a, b = z[k], z[after]
        first = a + chord[k] * complex(math.cos(out), math.sin(out)) * _velocity(out, into) / 3
        turned = complex(math.cos(into), -math.sin(into))
        second = b - chord[k] * turned * _velocity(into, out) / 3
        cubics.append(_cubic(first, second, b))
    return cubics


def _cubic(first: complex, second: complex, end: complex) -> Cubic:
    return (first.real, first.imag), (second.real, second.imag), (end.real, end.imag)


def _data(start: Point, cubics: Sequence[Cubic], shut: bool) -> str:
    parts = [f"M{number(start[0])} {number(start[1])}"]
    for cubic in cubics:
        parts.append("C" + " ".join(f"{number(x)} {number(y)}" for x, y in cubic))
    return "".join(parts) + ("Z" if shut else "")


def outline(shape: str | Sequence[Point], corners: Sequence[bool] | None = None) -> str:
    """Path data of a closed shape."""
    if isinstance(shape, str):
        places, sharp = points(shape)
    else:
        places, sharp = list(shape), list(corners or [False] * len(shape))
    if not any(sharp):
        return _data(places[0], spline(places, closed=True), True)
    first = sharp.index(True)
    places = places[first:] + places[:first]
    sharp = sharp[first:] + sharp[:first]
    places.append(places[0])
    sharp.append(True)
    return _data(places[0], _pieces(places, sharp), True)


def line(shape: str | Sequence[Point]) -> str:
    """Path data of an open line, for a stroke."""
    if isinstance(shape, str):
        places, sharp = points(shape)
    else:
        places, sharp = list(shape), [False] * len(shape)
    return _data(places[0], _pieces(places, sharp), False)


def _pieces(places: Sequence[Point], sharp: Sequence[bool]) -> list[Cubic]:
    cubics: list[Cubic] = []
    start = 0
    for k in range(1, len(places)):
        if sharp[k] or k == len(places) - 1:
            cubics += spline(places[start : k + 1])
            start = k
    return cubics


def taper(shape: str | Sequence[Point], widths: Sequence[float]) -> str:
    """Path data of a tapering stroke: a centre line and its full width at each point.

    A width of 0 at an end makes a tip.
    """
    places = points(shape)[0] if isinstance(shape, str) else list(shape)
    z = [complex(*p) for p in places]
    left: list[Point] = []
    right: list[Point] = []
    for k, (here, width) in enumerate(zip(z, widths, strict=True)):
        along = z[min(k + 1, len(z) - 1)] - z[max(k - 1, 0)]
        across = along / abs(along) * 1j * width / 2
        left.append(((here - across).real, (here - across).imag))
        right.append(((here + across).real, (here + across).imag))
    ring = left + right[::-1]
    sharp = [False] * len(ring)
    count = len(z)
    for k in (0, count - 1, count, 2 * count - 1):
        sharp[k] = True
    kept: list[Point] = []
    kept_sharp: list[bool] = []
    for place, corner in zip(ring, sharp, strict=True):
        if kept and math.dist(kept[-1], place) < 0.5:
            continue
        kept.append(place)
        kept_sharp.append(corner)
    if math.dist(kept[0], kept[-1]) < 0.5:
        kept.pop()
        kept_sharp.pop()
    return outline(kept, kept_sharp)

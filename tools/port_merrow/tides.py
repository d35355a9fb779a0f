"""The long tide lines: ribbons along the chainage, given by their upper and lower levels."""

from __future__ import annotations

from collections.abc import Sequence

from port_merrow.curves import number

TOP_LEVEL = 3.20
MM = 1000.0
LEAST = 0.034
POINT = 0.25


def canvas(chainage: float, level: float) -> tuple[float, float]:
    """Artwork coordinates of a place on the wall. [mm]"""
    return chainage * MM, (TOP_LEVEL - level) * MM


def _slopes(run: Sequence[tuple[float, float]]) -> list[float]:
    """Slope of a smooth curve at each knot, level at crests so that no knot overshoots."""
    slopes = []
    for k in range(len(run)):
        if k in (0, len(run) - 1):
            slopes.append(0.0)
            continue
        (xa, ya), (xb, yb), (xc, yc) = run[k - 1 : k + 2]
        before, after = (yb - ya) / (xb - xa), (yc - yb) / (xc - xb)
        if before * after <= 0:
            slopes.append(0.0)
            continue
        weight_before, weight_after = 2 * (xc - xb) + (xb - xa), (xc - xb) + 2 * (xb - xa)
        slopes.append(
            (weight_before + weight_after) / (weight_before / before + weight_after / after)
        )
    return slopes


def _run(knots: Sequence[tuple[float, float]]) -> str:
    """Cubics through the knots; the first knot is where the path stands."""
    run = [canvas(*knot) for knot in knots]
    forward = run if run[0][0] < run[-1][0] else run[::-1]
    slopes = _slopes(forward)
    if forward is not run:
        slopes = slopes[::-1]
    parts = []
    for (xa, ya), (xb, yb), sa, sb in zip(run, run[1:], slopes, slopes[1:], strict=False):
        third = (xb - xa) / 3
        places = (xa + third, ya + sa * third, xb - third, yb - sb * third, xb, yb)
        parts.append("C" + " ".join(number(round(value)) for value in places))
    return "".join(parts)


def ribbon(knots: Sequence[tuple[float, float, float]]) -> str:
    """Path data of a band from (chainage, upper level, lower level). [m]"""
    upper = [(x, top) for x, top, _ in knots]
    lower = [(x, bottom) for x, _, bottom in reversed(knots)]
    start, turn = canvas(*upper[0]), canvas(*lower[0])
    begin = f"M{number(round(start[0]))} {number(round(start[1]))}"
    over = f"L{number(round(turn[0]))} {number(round(turn[1]))}"
    return begin + _run(upper) + over + _run(lower) + "Z"


def swelling(knots: Sequence[tuple[float, float, float]]) -> str:
    """Path data of a ribbon from (chainage, middle level, thickness). [m]

    An end of thickness 0 keeps ``LEAST`` to its last knot and then closes in a short point, so
    that no tail of a ribbon is drawn finer than a brush.
    """
    run = [(x, level, max(size, LEAST)) for x, level, size in knots]
    for end, inner, way in ((0, 1, -1), (-1, -2, 1)):
        x, level, _ = knots[end]
        if knots[end][2] == 0.0:
            slope = (level - knots[inner][1]) / (x - knots[inner][0])
            tip = (x + way * POINT, level + 0.3 * slope * way * POINT, 0.0)
            run = [tip, *run] if end == 0 else [*run, tip]
    return ribbon([(x, level + size / 2, level - size / 2) for x, level, size in run])


def sea(surface: Sequence[tuple[float, float]], bed: float = -0.1) -> str:
    """Path data of the water below a surface, down to the level of the bed."""
    first, last = canvas(surface[0][0], bed), canvas(surface[-1][0], bed)
    start = canvas(*surface[0])
    return (
        f"M{number(round(start[0]))} {number(round(start[1]))}{_run(surface)}"
        f"L{number(last[0])} {number(last[1])}L{number(first[0])} {number(first[1])}Z"
    )

"""Kelp and wrack; each grows from the origin and streams to the right with the tide.

The fronds name no paint of their own: the place that uses them does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from port_merrow.curves import Point, number, taper
from port_merrow.marks import Elements, fill


def inherit(data: str) -> str:
    """A filled shape that takes its paint from where it is used."""
    return f'<path d="{data}"/>'


def _bladder(x: float, y: float, radius: float) -> str:
    return f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"/>'


STRAP = (0.6, 0.88, 1.0, 0.98, 0.9, 0.76, 0.52, 0.0)


def frond(
    root: Point, length: float, heading: float, drift: float, wave: float, phase: float, knots: int
) -> list[Point]:
    """Centre line of a frond, laid off step by step along its heading.

    The heading [rad from upright, to the right] turns by ``drift`` over the length and swings by
    ``wave`` about that, ``phase`` [turns] into its swing at the root.
    """
    fine = 12
    x, y = root
    places = [root]
    for k in range(1, (knots - 1) * fine + 1):
        share = (k - 0.5) / ((knots - 1) * fine)
        swing = math.sin(2 * math.pi * (0.95 * share + phase)) - math.sin(2 * math.pi * phase)
        way = heading + drift * share + wave * swing
        step = length / ((knots - 1) * fine)
        x, y = x + step * math.sin(way), y - step * math.cos(way)
        if k % fine == 0:
            places.append((x, y))
    return places


def _heading(places: Sequence[Point]) -> float:
    (xa, ya), (xb, yb) = places[-2:]
    return math.atan2(xb - xa, ya - yb)


def oarweed(
    stalk_length: float, lean: float, straps: Sequence[tuple[float, float, float]], phase: float
) -> Elements:
    """Oarweed: a stalk and a hand of straps that stream together.

    ``straps`` gives each one's angle from the stalk [rad], its length and its width [mm].
    """
    stalk = frond((0, 80), stalk_length + 80, 0.0, 0.6 * lean, 0.12, phase, 5)
    hand, way = stalk[-1], _heading(stalk)
    root = (hand[0] - 30 * math.sin(way), hand[1] + 30 * math.cos(way))
    data = [taper(stalk, (74, 62, 56, 56, 66))]
    for k, (angle, length, width) in enumerate(straps):
        places = frond(
            root, length, way + angle, lean - 0.45 * angle, 0.42, phase + 0.015 * k, len(STRAP)
        )
        widths = [width * share for share in STRAP]
        widths[0] = 0.42 * width
        data.append(taper(places, widths))
    return [inherit("".join(data))]


def sugar_kelp(height: float, width: float, lean: float, ruffle: float, phase: float) -> Elements:
    """Sugar kelp: one long crimped blade with a carved midrib."""
    count = 19
    places = frond((0, 80), height + 80, 0.0, lean, 0.32, phase, count)
    widths = []
    for k in range(count):
        share = k / (count - 1)
        swell = max(0.0, math.sin(math.pi * (0.04 + 0.96 * share**0.8))) ** 0.75
        crimp = 1 + ruffle * (1 if k % 2 else -1) * (0.12 < share < 0.93)
        widths.append(0.0 if k == count - 1 else max(56 * (1 - share), width * swell * crimp))
    first, last = 4, 14
    middle = last - first + 1
    rib = [28 * math.sin(math.pi * k / (middle - 1)) ** 0.5 for k in range(middle)]
    rib[0] = rib[-1] = 0.0
    return [inherit(taper(places, widths)), fill("haze", taper(places[first : last + 1], rib))]


def eelgrass(height: float, blades: int, lean: float, phase: float) -> Elements:
    """Eelgrass: a tuft of narrow ribbons."""
    data = []
    for k in range(blades):
        spread = (k - (blades - 1) / 2) / (blades - 1)
        length = height * (1 - 0.55 * abs(spread + 0.12))
        places = frond(
            (150 * spread, 80), length + 80, 0.5 * spread, lean, 0.2, phase + 0.11 * k, len(STRAP)
        )
        data.append(taper(places, [44 * (0.25 + 0.75 * s) if s else 0.0 for s in STRAP]))
    return [inherit("".join(data))]


def fine_fronds(height: float, lean: float) -> Elements:
    """Three hair-fine fronds, 22 mm wide at the foot and 18 mm at the tip."""
    data = []
    for k, (angle, share) in enumerate(((-0.24, 0.82), (0.04, 1.0), (0.3, 0.72))):
        places = frond((50.0 * (k - 1), 60), share * height, angle, lean, 0.3, 0.21 * k, 7)
        data.append(taper(places, (22, 22, 21, 20, 19, 18, 18)))
    return [inherit("".join(data))]


def _bud(place: Point, width: float) -> list[Point]:
    """Upright lens that covers the joint of a fork."""
    x, y = place
    return [(x, y + 0.7 * width), (x, y), (x, y - 0.7 * width)]


def bladder_wrack(size: float) -> Elements:
    """Bladder wrack: straps that fork three times, with paired air bladders."""
    data: list[str] = []
    bladders: list[Point] = []

    def grow(root: Point, way: float, length: float, width: float, order: int) -> None:
        places = frond(root, length, way, 0.2, 0.12, 0.1 * order, 4)
        if order == 3:
            data.append(taper(places, (0.7 * width, 1.2 * width, 1.3 * width, 0)))
            return
        data.append(taper(places, (0.9 * width, width, width, 0.9 * width)))
        if order == 2:
            (x, y), off = places[2], 0.05 * size
            bladders.append((x + off * math.cos(way), y + off * math.sin(way)))
            bladders.append((x - off * math.cos(way), y - off * math.sin(way)))
        data.append(taper(_bud(places[-1], width), (0, width, 0)))
        spread = 0.5 if order == 0 else 0.38
        for turn, share in ((-spread, 0.9), (spread, 1.0)):
            grow(places[-1], way + turn, share * length, 0.92 * width, order + 1)

    grow((0, 60), 0.02, 0.27 * size, 0.062 * size, 0)
    return [inherit("".join(data)), *(_bladder(x, y, 0.04 * size) for x, y in bladders)]

"""Shadings of a PDF as runs of colour (ISO 32000-1, 8.7.4.5.3 and 8.7.4.5.4)."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import pikepdf

from giornata.files.artwork.display import Ink, Matrix, Run
from giornata.files.artwork.pdf_colour import colour_space, ink, shading_ink
from giornata.files.artwork.pdf_function import evaluated

__all__ = ["Known", "gradient_ink"]

# Stops of a gradient that the source of the page knows, by the colours at its two ends.
Known = Callable[[str, str], "tuple[str, str, float, tuple[tuple[float, ...], ...]] | None"]

_MOST_KNOTS = 2_048
_BETWEEN = 16  # places looked at where colours do not run straight between knots
_ASIDE = 1.0e-9


def _knots(function: Any, low: float, high: float) -> list[float]:
    """Inputs between which a function runs evenly, its ends among them."""
    if isinstance(function, pikepdf.Array):
        return sorted({place for part in function for place in _knots(part, low, high)})
    kind = int(function.FunctionType)
    if kind == 2 and float(function.get("/N", 1)) == 1.0:
        return [low, high]
    if kind == 3:
        bounds = [low, *(float(value) for value in function.Bounds), high]
        found: set[float] = set(bounds)
        encode = [float(value) for value in function.Encode]
        for k, part in enumerate(function.Functions):
            here, there = bounds[k], bounds[k + 1]
            first, last = encode[2 * k], encode[2 * k + 1]
            if there <= here or first == last:
                continue
            inner = _knots(part, min(first, last), max(first, last))
            found.update(here + (there - here) * (at - first) / (last - first) for at in inner)
        return sorted(place for place in found if low <= place <= high)
    count = 256
    if kind == 0:
        count = min(int(function.Size[0]) - 1, _MOST_KNOTS) or 1
    return [low + (high - low) * k / count for k in range(count + 1)]


def _stops(shading: Any, resources: Any) -> tuple[tuple[float, float, float, float, float], ...]:
    """Stops of an axial or radial shading; none where its colours cannot be had."""
    space = colour_space(shading.get("/ColorSpace"), resources)
    function = shading.get("/Function")
    low, high = (float(value) for value in shading.get("/Domain", [0, 1]))
    if function is None or not high > low:
        return ()
    knots = _knots(function, low, high)
    if len(knots) > _MOST_KNOTS:
        return ()
    if space.kind not in ("rgb", "grey"):
        knots = [
            a + (b - a) * k / _BETWEEN
            for a, b in itertools.pairwise(knots)
            for k in range(_BETWEEN)
        ] + [knots[-1]]
    aside = _ASIDE * (high - low)
    stops: list[tuple[float, float, float, float, float]] = []
    for number, knot in enumerate(knots):
        for at in dict.fromkeys((knot - aside, knot + aside)):
            if (number == 0 and at < knot) or (number == len(knots) - 1 and at > knot):
                continue
            values = evaluated(function, at)
            colour = None if values is None else ink(space, values)
            if colour is None or not colour.exact:
                return ()
            if space.kind in ("rgb", "grey") and values is not None:
                three = values[:3] if space.kind == "rgb" else values[:1] * 3
                red, green, blue = (255.0 * min(max(one, 0.0), 1.0) for one in three)
            else:
                red, green, blue = (float(one) for one in bytes.fromhex(colour.colour[1:]))
            stops.append(((knot - low) / (high - low), red, green, blue, 1.0))
    return tuple(stops)


def gradient_ink(shading: Any, resources: Any, matrix: Matrix, known: Known) -> Ink:
    """A gradient's mean colour as a stand-in, with its run where that can be had.

    Parameters
    ----------
    shading : pikepdf.Dictionary or Stream
        The shading.
    resources : pikepdf.Dictionary or None
        Where names of colour spaces are looked up.
    matrix : Matrix
        The shading's space to the artwork frame.
    known : callable
        Stops that the source of the page knows, by the colours at the two ends of the run.
    """
    mean = shading_ink(shading, resources).colour
    kind = int(shading.get("/ShadingType", 0))
    if kind not in (2, 3):
        return Ink(colour=mean, exact=False, kind="gradient", doubt="its colours run in two ways")
    stops = _stops(shading, resources)
    source, spread, inner = "", "pad", 0.0
    found = known(_hex(stops[0]), _hex(stops[-1])) if stops else None
    if found is not None:
        source, spread, inner, given = found
        stops = tuple((s[0], s[1], s[2], s[3], s[4]) for s in given)
        mean = _mean(stops)
        if not stops:
            doubt = "its stops are given by a style that is not read"
            return Ink(colour=mean, exact=False, kind="gradient", source=source, doubt=doubt)
        if len({stop[1:] for stop in stops}) == 1 and stops[0][4] >= 1.0:
            return Ink(colour=_hex(stops[0]))
    if not stops:
        doubt = "its colours are mixed by a rule that is not read"
        return Ink(colour=mean, exact=False, kind="gradient", doubt=doubt)
    numbers = [float(value) for value in shading.Coords]
    if kind == 2:
        start, end = (numbers[0], numbers[1], 0.0), (numbers[2], numbers[3], 0.0)
    else:
        start = (numbers[0], numbers[1], inner if found is not None else numbers[2])
        end = (numbers[3], numbers[4], numbers[5])
    if found is not None and kind == 2 and start == end and stops[-1][4] >= 1.0:
        return Ink(colour=_hex(stops[-1]))  # SVG 1.1, 13.2.2: one colour, that of the last stop
    extend = [bool(value) for value in shading.get("/Extend", [False, False])]
    if found is None and end[2] < start[2]:  # from the inside out
        start, end = end, start
        extend.reverse()
        stops = tuple((1.0 - stop[0], *stop[1:]) for stop in reversed(stops))
    return Ink(
        colour=mean,
        exact=False,
        kind="gradient",
        source=source,
        run=Run(
            stops=stops,
            start=start,
            end=end,
            matrix=matrix,
            spread=spread,
            extend=(extend[0], extend[1]),
        ),
    )


def _hex(stop: tuple[float, ...]) -> str:
    return "#" + "".join(f"{round(value):02x}" for value in stop[1:4])


def _mean(stops: tuple[tuple[float, ...], ...]) -> str:
    """Mean colour over the run, by the trapezium between stops and the ends' colours beyond."""
    if not stops:
        return "#808080"
    full = [(0.0, *stops[0][1:]), *stops, (1.0, *stops[-1][1:])]
    sums = [0.0, 0.0, 0.0]
    for low, high in itertools.pairwise(full):
        for channel in range(3):
            middle = (low[channel + 1] + high[channel + 1]) / 2
            sums[channel] += (high[0] - low[0]) * middle
    return "#" + "".join(f"{round(value):02x}" for value in sums)

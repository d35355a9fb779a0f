"""Things that are not flat, from what the reading process says to the drawing's records."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import shapely

from giornata.core import artwork
from giornata.core.artwork import Kind, Nonflat, Ramp, Shape, Spread, Veil
from giornata.core.foundation import ArtworkError, Finding, Floats, Severity
from giornata.files.artwork.display import Flat, Run, Thing
from giornata.files.artwork.raster import read_raster

__all__ = ["nonflat_things", "shape_of"]

_KINDS = {
    "gradient": Kind.GRADIENT,
    "pattern": Kind.PATTERN,
    "picture": Kind.PICTURE,
    "effect": Kind.EFFECT,
    "lettering": Kind.LETTERING,
}
_MOST_PICTURE_PIXELS = 40_000_000
_ALIGNED = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


def shape_of(flat: Flat) -> Shape:
    """A shape of the drawing."""
    return Shape(
        area=flat.area,
        colour=flat.colour,
        opacity=flat.opacity,
        group="/".join(flat.names),
        veils=tuple(Veil(number=n, opacity=o) for n, o in flat.veils),
        thing=flat.thing,
    )


def _ramp(run: Run | None) -> tuple[Ramp | None, str]:
    """The gradient, or None and why its run cannot be had."""
    if run is None:
        return None, ""
    try:
        return Ramp(
            stops=np.array(run.stops, dtype=np.float64),
            start=run.start,
            end=run.end,
            artwork_from_ramp=run.matrix,
            spread=Spread(run.spread),
            extend=run.extend,
        ), ""
    except ValueError as error:
        return None, str(error)


def _fitted(thing: Thing, width: float, height: float) -> tuple[Floats, Floats]:
    """Matrix and shift that take pixels to the artwork, fitted as SVG 2, 7.11 has it."""
    assert thing.matrix is not None
    a, b, c, d, e, f = thing.matrix
    across, down = np.array([a, b]), np.array([c, d])
    origin = np.array([e, f])
    scale = np.array([1.0 / width, 1.0 / height])
    words = thing.fit.removeprefix("defer").split()  # SVG 1.1, 7.8: of no weight here
    if words and words[0] != "none" and len(words[0]) == 8:
        room = np.array(thing.room or (float(np.hypot(a, b)), float(np.hypot(c, d))))
        both = room * scale
        one = both.max() if "slice" in words else both.min()
        left = 1.0 - one * np.array([width, height]) / room
        origin = origin + left[0] * _ALIGNED.get(words[0][1:4], 0.5) * across
        origin = origin + left[1] * _ALIGNED.get(words[0][5:8], 0.5) * down
        scale = one / room
    return np.column_stack((across * scale[0], down * scale[1])), origin


def _picture(thing: Thing) -> tuple[tuple[Shape, ...] | None, str]:
    """Flat shapes of an embedded picture, or None and why there are none."""
    if thing.content is None or thing.matrix is None or thing.frame is None:
        return None, thing.doubt or "its pixels are not in the file"
    with tempfile.TemporaryDirectory(prefix="giornata-") as folder:
        path = Path(folder) / "picture"
        path.write_bytes(thing.content)
        try:
            drawing, findings = read_raster(path, pixel_limit=_MOST_PICTURE_PIXELS)
        except ArtworkError as refused:
            return None, refused.message.rstrip(".")
    stops = [one.message.rstrip(".") for one in findings if one.severity is Severity.STOP]
    if drawing is None or stops:
        return None, (stops or ["it is not flat"])[0]
    matrix, origin = _fitted(thing, drawing.width, drawing.height)
    veils = tuple(Veil(number=number, opacity=opacity) for number, opacity in thing.veils)
    group = "/".join(thing.names)
    shapes: list[Shape] = []
    for shape in drawing.shapes:
        moved = shapely.transform(shape.area, lambda xy: xy @ matrix.T + origin)
        inside = moved if thing.frame.covers(moved) else moved & thing.frame
        shapes += [
            Shape(area=part, colour=shape.colour, opacity=shape.opacity, group=group, veils=veils)
            for part in shapely.get_parts(inside)
            if isinstance(part, shapely.Polygon) and part.area > 0
        ]
    return tuple(shapes), ""


def _drawn(thing: Thing) -> tuple[tuple[Shape, ...] | None, str]:
    if thing.kind == "picture":
        return _picture(thing)
    return (None if thing.drawn is None else tuple(map(shape_of, thing.drawn))), ""


def nonflat_things(things: Sequence[Thing], findings: Sequence[Finding]) -> tuple[Nonflat, ...]:
    """The things as the core knows them, each with its name and its finding.

    Parameters
    ----------
    things : sequence of Thing
        Numbered from 1 in this order.
    findings : sequence of Finding
        All of the reading; a thing says which is its own.
    """
    names = artwork.named(
        thing.source or f"{_KINDS[thing.kind].one}{_hues(thing)}" for thing in things
    )
    found: list[Nonflat] = []
    for number, (thing, name) in enumerate(zip(things, names, strict=True), start=1):
        ramp, no_ramp = _ramp(thing.run)
        drawn, not_drawn = _drawn(thing)
        found.append(
            Nonflat(
                number=number,
                name=name,
                source=thing.source,
                kind=_KINDS[thing.kind],
                finding=findings[thing.finding],
                box=thing.box,
                ramp=ramp,
                drawn=drawn,
                doubt=thing.doubt or no_ramp or not_drawn,
                frame=thing.frame,
                words=thing.words,
                before=thing.before,
                group="/".join(thing.names),
                veils=tuple(Veil(number=n, opacity=o) for n, o in thing.veils),
            )
        )
    return tuple(found)


def _hues(thing: Thing) -> str:
    """Colours of a gradient's ends, for its name."""
    if thing.run is None:
        return ""
    ends = (thing.run.stops[0], thing.run.stops[-1])
    first, last = ("#" + "".join(f"{round(c):02x}" for c in stop[1:4]) for stop in ends)
    return f" {first} to {last}"

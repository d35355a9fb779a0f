"""Outlines to rings of points: curves flattened, strokes expanded.

Fills: a cubic is cut into equal parameter steps, as many as keep the chord within the tolerance
(error <= max|B''| / (8 n^2); Filip, Magedson and Markot 1986, Computer Aided Geometric Design
3(4), 295-311).

Strokes: Skia's path stroker at single precision, on coordinates scaled up so that its own
approximation stays below the tolerance.
"""

from __future__ import annotations

import math

import numpy as np
import skia
from numpy.typing import NDArray

from giornata.core.foundation import Floats
from giornata.files.artwork.display import Matrix, Outline, Stroke, Verb

__all__ = ["TooManyDashes", "dash_count", "fill_rings", "stroke_rings"]

_MOST_STEPS = 2_000
_MOST_DASHES = 20_000
_STROKER_SPAN = 4.0e5  # the canvas's larger side while stroking; single precision keeps 0.03 of it

_CAPS = (skia.Paint.kButt_Cap, skia.Paint.kRound_Cap, skia.Paint.kSquare_Cap)
_JOINS = (skia.Paint.kMiter_Join, skia.Paint.kRound_Join, skia.Paint.kBevel_Join)
_SIZES = np.array([1, 1, 3, 0], dtype=np.intp)


class TooManyDashes(Exception):
    """A dashed line would fall into more dashes than can be worked out."""

    def __init__(self, dashes: float) -> None:
        super().__init__(f"{dashes:.3g} dashes; the limit is {_MOST_DASHES}")
        self.dashes = dashes
        self.limit = _MOST_DASHES


def _flattened(
    verbs: NDArray[np.intp], points: Floats, weights: Floats | None, tolerance: float
) -> list[Floats]:
    """Parts of the path as arrays of points; a weight other than 1 makes a cubic rational."""
    if not len(verbs):
        return []
    sizes = _SIZES[verbs]
    offsets = np.cumsum(sizes) - sizes
    counts = (verbs != Verb.CLOSE).astype(np.intp)
    cubic = np.flatnonzero(verbs == Verb.CUBIC)
    if len(cubic):
        first = offsets[cubic] - 1
        p0, p1, p2, p3 = (points[first + k] for k in range(4))
        bend = np.maximum(np.hypot(*(p0 - 2 * p1 + p2).T), np.hypot(*(p1 - 2 * p2 + p3).T))
        steps = np.ceil(np.sqrt(0.75 * bend / tolerance))
        counts[cubic] = np.clip(steps, 1, _MOST_STEPS).astype(np.intp)
    total = int(counts.sum())
    starts = np.cumsum(counts) - counts
    out = np.empty((total, 2))
    plain = np.flatnonzero((verbs == Verb.MOVE) | (verbs == Verb.LINE))
    out[starts[plain]] = points[offsets[plain]]
    if len(cubic):
        which = np.repeat(np.arange(len(cubic)), counts[cubic])
        ends = np.cumsum(counts[cubic])
        step = np.arange(len(which)) - np.repeat(ends - counts[cubic], counts[cubic])
        t = ((step + 1) / counts[cubic][which])[:, None]
        s = 1.0 - t
        basis = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
        corners = (p0, p1, p2, p3)
        if weights is None:
            value = sum(b * p[which] for b, p in zip(basis, corners, strict=True))
        else:
            w = [weights[first + k][which][:, None] for k in range(4)]
            above = sum(b * k * p[which] for b, k, p in zip(basis, w, corners, strict=True))
            value = above / sum(b * k for b, k in zip(basis, w, strict=True))
        out[np.repeat(starts[cubic], counts[cubic]) + step] = value
    cuts = starts[verbs == Verb.MOVE]
    return np.split(out, cuts[1:])


def fill_rings(outline: Outline, matrix: Matrix, tolerance: float) -> list[Floats]:
    """Parts of a filled outline in the artwork frame, each an open list of corners ``(n, 2)``.

    Parameters
    ----------
    outline : Outline
        As written.
    matrix : Matrix
        User space to artwork frame.
    tolerance : float
        Largest distance of a chord from its curve; above 0. [artwork units]
    """
    verbs = np.array(outline.verbs, dtype=np.intp)
    return _flattened(verbs, outline.points(matrix), None, tolerance)


def _skia_path(outline: Outline, scale: float, middle: Floats) -> skia.Path:
    path = skia.Path()
    places = np.array(outline.numbers, dtype=np.float64).reshape(-1, 2)
    numbers = (scale * (places - middle)).ravel().tolist()
    at = 0
    for verb in outline.verbs:
        if verb == Verb.MOVE:
            path.moveTo(numbers[at], numbers[at + 1])
            at += 2
        elif verb == Verb.LINE:
            path.lineTo(numbers[at], numbers[at + 1])
            at += 2
        elif verb == Verb.CUBIC:
            path.cubicTo(*numbers[at : at + 6])
            at += 6
        else:
            path.close()
    return path


def _path_arrays(path: skia.Path) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Steps, points and weights of a Skia path, quadratics and conics raised to cubics."""
    verbs: list[int] = []
    points: list[tuple[float, float]] = []
    weights: list[float] = []
    iterator = skia.Path.RawIter(path)
    while True:
        verb, step = iterator.next()
        if verb == skia.Path.kDone_Verb:
            break
        if verb == skia.Path.kClose_Verb:
            verbs.append(Verb.CLOSE)
            continue
        xy = [(point.fX, point.fY) for point in step]
        if verb in (skia.Path.kMove_Verb, skia.Path.kLine_Verb):
            verbs.append(Verb.MOVE if verb == skia.Path.kMove_Verb else Verb.LINE)
            points.append(xy[-1])
            weights.append(1.0)
            continue
        verbs.append(Verb.CUBIC)
        if verb == skia.Path.kCubic_Verb:
            points.extend(xy[1:])
            weights.extend((1.0, 1.0, 1.0))
            continue
        # Degree elevation in homogeneous coordinates; the ends keep weight 1.
        (x0, y0), (x1, y1), (x2, y2) = xy
        w = iterator.conicWeight() if verb == skia.Path.kConic_Verb else 1.0
        mid = (1.0 + 2.0 * w) / 3.0
        points.append(((x0 + 2 * w * x1) / (3 * mid), (y0 + 2 * w * y1) / (3 * mid)))
        points.append(((x2 + 2 * w * x1) / (3 * mid), (y2 + 2 * w * y1) / (3 * mid)))
        points.append((x2, y2))
        weights.extend((mid, mid, 1.0))
    return (
        np.array(verbs, dtype=np.intp),
        np.array(points, dtype=np.float64).reshape(-1, 2),
        np.array(weights, dtype=np.float64),
    )


def _written_length(outline: Outline) -> float:
    """Length of the outline's control polygon, an upper bound of its own length."""
    xy = np.array(outline.numbers, dtype=np.float64).reshape(-1, 2)
    return float(np.hypot(*np.diff(xy, axis=0).T).sum()) if len(xy) > 1 else 0.0


def dash_count(outline: Outline, stroke: Stroke) -> float:
    """Dashes into which a line falls, at most; 0 for a whole line. [-]

    Parameters
    ----------
    outline : Outline
        As written.
    stroke : Stroke
        Its dashes, in user space.
    """
    period = sum(stroke.dashes)
    return _written_length(outline) / period * (len(stroke.dashes) / 2) if period > 0 else 0.0


def stroke_rings(
    outline: Outline, matrix: Matrix, stroke: Stroke, *, span: float, tolerance: float
) -> list[Floats]:
    """Rings whose nonzero filling is the stroked line, in the artwork frame.

    Parameters
    ----------
    outline : Outline
        As written.
    matrix : Matrix
        User space to artwork frame.
    stroke : Stroke
        Width, caps, joins and dashes in user space.
    span : float
        Larger side of the canvas; above 0. [artwork units]
    tolerance : float
        Largest distance of a chord from its curve; above 0. [artwork units]

    Raises
    ------
    TooManyDashes
        If the line falls into more than 20,000 dashes.
    """
    a, b, c, d, e, f = matrix
    stretch = math.sqrt(abs(a * d - b * c)) or max(abs(a), abs(b), abs(c), abs(d))
    if stroke.width <= 0.0 or stretch <= 0.0:
        return []
    scale = _STROKER_SPAN / span * stretch
    paint = skia.Paint(
        Style=skia.Paint.kStroke_Style,
        StrokeWidth=stroke.width * scale,
        StrokeCap=_CAPS[stroke.cap],
        StrokeJoin=_JOINS[stroke.join],
        StrokeMiter=stroke.mitre_limit,
    )
    if stroke.dashes:
        dashes = dash_count(outline, stroke)
        if dashes > _MOST_DASHES:
            raise TooManyDashes(dashes)
        paint.setPathEffect(
            skia.DashPathEffect.Make(
                [value * scale for value in stroke.dashes], stroke.phase * scale
            )
        )
    # Kept from its own middle: far from the origin single precision would not hold its bends.
    places = np.array(outline.numbers, dtype=np.float64).reshape(-1, 2)
    middle = (places.min(axis=0) + places.max(axis=0)) / 2 if len(places) else np.zeros(2)
    stroked = skia.Path()
    paint.getFillPath(_skia_path(outline, scale, middle), stroked, resScale=1.0)
    verbs, points, weights = _path_arrays(stroked)
    back = (a / scale, b / scale, c / scale, d / scale)
    e, f = a * middle[0] + c * middle[1] + e, b * middle[0] + d * middle[1] + f
    moved = np.column_stack(
        (
            back[0] * points[:, 0] + back[2] * points[:, 1] + e,
            back[1] * points[:, 0] + back[3] * points[:, 1] + f,
        )
    )
    if not np.isfinite(moved).all():
        return []
    return _flattened(verbs, moved, weights, tolerance)

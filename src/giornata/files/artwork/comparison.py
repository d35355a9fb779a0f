"""Whether two display lists paint the same."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from giornata.files.artwork.display import Clip, Layer, Leaf

__all__ = ["same_painting", "without_names"]

_CLOSE = 2.0e-6  # of the canvas's larger side; single precision over a few transforms


def _clips(clip: Clip | None) -> Iterator[Clip]:
    while clip is not None:
        if not clip.frame:
            yield clip
        clip = clip.around


def _told(item: Leaf | Layer) -> Iterator[tuple[Any, ...]]:
    """What is painted, step by step; frames of forms are left out."""
    if item.mask is not None:
        yield ("mask", item.mask.luminosity, item.mask.flat)
        yield from _told(item.mask.content)
    if isinstance(item, Layer):
        yield ("layer", round(item.opacity, 5))
        for inner in item.content:
            yield from _told(inner)
        yield ("end",)
        return
    stroke = item.stroke
    yield (
        item.ink,
        round(item.opacity, 5),
        item.even_odd,
        None if stroke is None else (stroke.cap, stroke.join, len(stroke.dashes)),
        tuple(item.outline.verbs),
    )
    yield ("points", item.outline.points(item.matrix))
    if stroke is not None:
        yield ("points", np.array([[stroke.width, stroke.mitre_limit], [stroke.phase, 0.0]]))
    for clip in _clips(item.clip):
        yield ("clip", clip.even_odd, tuple(clip.outline.verbs))
        yield ("points", clip.outline.points(clip.matrix))


def same_painting(first: Layer, second: Layer, span: float) -> bool:
    """Whether both paint the same outlines in the same order, names apart.

    Parameters
    ----------
    first, second : Layer
        Two pages.
    span : float
        Larger side of the canvas. [artwork units]
    """
    ours, theirs = list(_told(first)), list(_told(second))
    if len(ours) != len(theirs):
        return False
    for a, b in zip(ours, theirs, strict=True):
        if a[0] == "points":
            if b[0] != "points" or a[1].shape != b[1].shape:
                return False
            far = max(span, float(np.abs(a[1]).max(initial=0.0)))
            if not np.allclose(a[1], b[1], rtol=0.0, atol=_CLOSE * far):
                return False
        elif a != b:
            return False
    return True


def without_names(page: Layer, names: frozenset[str]) -> Layer:
    """The page without what stands in any of the named groups."""
    kept: list[Leaf | Layer] = []
    for item in page.content:
        if names.intersection(item.names):
            continue
        if isinstance(item, Layer):
            inner = without_names(item, names)
            if inner.content:
                kept.append(inner)
        else:
            kept.append(item)
    return Layer(kept, page.opacity, page.mask, page.names)

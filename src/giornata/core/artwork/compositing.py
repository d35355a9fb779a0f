"""Compositing: the one flat colour that a stack of shapes shows."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.artwork.shape import Look, Shape

__all__ = ["BARE", "flat_colour"]

BARE = ""  # stands for canvas that no shape covers

_WHITE = (255.0, 255.0, 255.0)  # what shows through translucent shapes on bare canvas

_Layer = tuple[tuple[float, float, float], float]  # colour not multiplied by its alpha; alpha
_CLEAR: _Layer = ((0.0, 0.0, 0.0), 0.0)


def flat_colour(stack: Sequence[Look | Shape]) -> str:
    """Colour of shapes laid over one another on white, ``#rrggbb``; BARE where none shows.

    Parameters
    ----------
    stack : sequence of Look or Shape
        Bottom first.

    Notes
    -----
    Shapes are laid over one another by "source over" on sRGB levels, as drawing programs and
    renderers do. Shapes that share a veil are composited apart from what lies below, and the
    result is laid over it at the veil's opacity. Rounded once, at the end.

    References
    ----------
    W3C, Compositing and Blending Level 1, 2015, sections 5.1 (simple alpha compositing) and
    3.4 (groups).
    """
    colour, alpha = _composited(stack, 0)
    if alpha == 0:
        return BARE
    levels = [round(c * alpha + w * (1 - alpha)) for c, w in zip(colour, _WHITE, strict=True)]
    return "#" + "".join(f"{level:02x}" for level in levels)


def _composited(stack: Sequence[Look | Shape], depth: int) -> _Layer:
    """The stack on clear ground, inside ``depth`` veils."""
    result = _CLEAR
    at = 0
    while at < len(stack):
        shape = stack[at]
        if len(shape.veils) > depth:
            veil = shape.veils[depth]
            end = at + 1
            while end < len(stack) and _shares(stack[end], veil.number, depth):
                end += 1
            colour, alpha = _composited(stack[at:end], depth + 1)
            result = _over((colour, alpha * veil.opacity), result)
            at = end
        else:
            result = _over((_levels(shape.colour), shape.opacity), result)
            at += 1
    return result


def _shares(shape: Look | Shape, number: int, depth: int) -> bool:
    return len(shape.veils) > depth and shape.veils[depth].number == number


def _over(source: _Layer, backdrop: _Layer) -> _Layer:
    (front, a), (back, b) = source, backdrop
    alpha = a + b * (1 - a)
    if alpha == 0:
        return _CLEAR
    red, green, blue = ((f * a + k * b * (1 - a)) / alpha for f, k in zip(front, back, strict=True))
    return (red, green, blue), alpha


def _levels(colour: str) -> tuple[float, float, float]:
    return (float(int(colour[1:3], 16)), float(int(colour[3:5], 16)), float(int(colour[5:7], 16)))

"""Coded patterns as PNG frames, at the projector's own pixels."""

from __future__ import annotations

import io
from collections.abc import Iterator

from PIL import Image

from giornata.core.boards import Pattern, PatternKind, pattern_pixels

__all__ = ["WHITE", "pattern_name", "pattern_names", "pattern_png", "white_png"]

WHITE = "white"
"""Name of the plain white frame, without its ending."""

_COMPRESSION = 6


def pattern_png(pattern: Pattern, *, negative: bool = False) -> bytes:
    """A pattern's frame as PNG of one bit; equal frames are equal bytes.

    Parameters
    ----------
    negative : bool
        Black and white exchanged.
    """
    return _png(
        Image.fromarray(pattern_pixels(pattern, negative=negative)).convert(
            "1", dither=Image.Dither.NONE
        )
    )


def white_png(columns: int, rows: int) -> bytes:
    """A plain white frame as PNG of one bit.

    Parameters
    ----------
    columns, rows : int
        The projector's own pixels. [px]
    """
    return _png(Image.new("1", (columns, rows), 1))


def pattern_name(pattern: Pattern, *, negative: bool = False) -> str:
    """Name of a pattern's frame, without its ending ("set-up-07-squares-negative")."""
    name = f"set-up-{pattern.set_up:02d}-{pattern.kind}"
    return f"{name}-negative" if negative else name


def pattern_names(columns: int, rows: int, set_up: int) -> Iterator[tuple[str, Pattern, bool]]:
    """All pattern frames of a set-up: name, pattern, and whether it is the negative.

    Parameters
    ----------
    columns, rows : int
        The projector's own pixels. [px]
    set_up : int
        Its number. [-]
    """
    for kind in PatternKind:
        pattern = Pattern(columns=columns, rows=rows, set_up=set_up, kind=kind)
        for negative in (False, True):
            yield pattern_name(pattern, negative=negative), pattern, negative


def _png(picture: Image.Image) -> bytes:
    sink = io.BytesIO()
    picture.save(sink, "PNG", compress_level=_COMPRESSION)
    return sink.getvalue()

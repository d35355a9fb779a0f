"""Raster artwork: PNG, JPEG, TIFF and WebP files as a drawing of flat shapes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from giornata.core import artwork
from giornata.core.artwork import Drawing, FlatPalette, Shape
from giornata.core.foundation import ArtworkError, Finding, Place, Severity
from giornata.files.artwork.processors import on_all_processors
from giornata.files.artwork.raster_colour import hex_colours, srgb
from giornata.files.artwork.raster_pixels import PIXEL_LIMIT, Pixels, read_pixels

__all__ = ["PIXEL_LIMIT", "read_raster"]

_OPAQUE = 252  # of 255; what is missing would not be seen


def _paints(
    palette: FlatPalette, pixels: Pixels, name: str
) -> tuple[tuple[str, ...], tuple[float, ...], tuple[Finding, ...]]:
    """Colour ("" for bare ground) and opacity of each paint, and what is doubtful about them."""
    levels = palette.levels
    opacity = np.full(len(levels), 255, np.uint8)
    if pixels.opacity:
        opacity = levels[:, -1]
        whole = levels[:, :-1].astype(np.uint32) * 255 / np.maximum(opacity, 1)[:, None]
        levels = np.minimum(np.rint(whole), 255).astype(np.uint8)
    turned, findings = srgb(levels, pixels.mode, pixels.profile, name=name)
    colours = hex_colours(turned)
    for colour, part in zip(colours, opacity.tolist(), strict=True):
        if 0 < part < _OPAQUE:
            findings += (
                Finding(
                    code="artwork.see_through",
                    severity=Severity.WARN,
                    subject=f"{name}, {colour}",
                    message=f"A flat colour is only {100 * part / 255:.0f} % opaque; paint is "
                    "opaque. It is shown over what lies below, white where nothing does.",
                    remedy="Fill it with the colour that is meant to be seen.",
                ),
            )
    return (
        tuple("" if part == 0 else c for c, part in zip(colours, opacity.tolist(), strict=True)),
        tuple(1.0 if part >= _OPAQUE else part / 255 for part in opacity.tolist()),
        findings,
    )


def _placed(findings: tuple[Finding, ...], name: str) -> tuple[Finding, ...]:
    return tuple(f if f.place else replace(f, place=Place(file=name)) for f in findings)


def read_raster(
    path: Path, *, pixel_limit: int = PIXEL_LIMIT
) -> tuple[Drawing | None, tuple[Finding, ...]]:
    """A picture of flat colour as shapes that tile it, one for each connected region.

    Parameters
    ----------
    path : Path
        A PNG, JPEG, TIFF or WebP file.
    pixel_limit : int
        Most pixels that are read; 1 or more. [px]

    Returns
    -------
    drawing : Drawing or None
        Width and height in pixels, y down; what is transparent has no shape. None where the
        picture is not flat; the findings say why.
    findings : tuple of Finding
        All that is not as drawn.

    Raises
    ------
    ArtworkError
        If the file cannot be opened or decoded, has no pixels, or has more than the limit.
    ValueError
        If the limit is below 1.
    """
    if pixel_limit < 1:
        raise ValueError(f"a limit of {pixel_limit} pixels reads nothing")
    name = path.name
    pixels, findings = read_pixels(path, pixel_limit=pixel_limit)
    if pixels is None:
        return None, findings
    palette, doubts = artwork.flat_palette(pixels.rows, name=name, each=on_all_processors)
    findings += doubts
    if palette is None:
        return None, _placed(findings, name)
    colours, opacities, doubts = _paints(palette, pixels, name)
    try:
        traced = artwork.traced(pixels.rows, palette, each=on_all_processors)
    except artwork.TooFine as error:
        raise ArtworkError(
            f"{name} has more edge than can be outlined: {error}.",
            remedy="Save it smaller, or take out grain, dots and hatching.",
        ) from error
    outlines = traced.outlines()
    findings += doubts
    findings += artwork.like_colours(palette, colours, name=name)
    findings += artwork.unexplained_pixels(traced.total, name=name)
    findings += artwork.thin_lines(traced.total, outlines, colours, name=name)
    shapes = tuple(
        Shape(area=region, colour=colours[paint], opacity=opacities[paint])
        for region, paint in zip(outlines.regions, outlines.paint.tolist(), strict=True)
        if colours[paint]
    )
    if not shapes:
        findings += (
            Finding(
                code="artwork.nothing_visible",
                severity=Severity.STOP,
                subject=name,
                message="Every pixel is transparent.",
                remedy="Save the picture with the artwork's layers switched on.",
            ),
        )
        return None, _placed(findings, name)
    return (
        Drawing(
            name=name,
            width=pixels.rows.width,
            height=pixels.rows.height,
            shapes=shapes,
            disjoint=True,
        ),
        _placed(findings, name),
    )

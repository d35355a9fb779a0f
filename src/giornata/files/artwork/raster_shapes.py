"""A picture of flat colour as shapes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from giornata.core import artwork
from giornata.core.artwork import FlatPalette, Levels, Shape, Veil
from giornata.core.foundation import ArtworkError, Finding, Place, Severity
from giornata.files.artwork.processors import on_all_processors
from giornata.files.artwork.raster_colour import channel_levels, hex_colours, srgb
from giornata.files.artwork.raster_pixels import Pixels

__all__ = ["shapes_of"]

_OPAQUE = 252  # of 255; what is missing would not be seen


def _shown(levels: Levels, pixels: Pixels, name: str) -> tuple[Levels, Levels, tuple[Finding, ...]]:
    """Colours of a palette in sRGB, and their opacity."""
    opacity = np.full(len(levels), 255, np.uint8)
    if pixels.opacity:
        opacity = levels[:, -1]
        whole = levels[:, :-1].astype(np.uint32) * 255 / np.maximum(opacity, 1)[:, None]
        levels = np.minimum(np.rint(whole), 255).astype(np.uint8)
    turned, findings = srgb(levels, pixels.mode, pixels.profile, name=name)
    return turned, opacity, findings


def _held(
    palette: FlatPalette, pixels: Pixels, locked: Sequence[str], name: str
) -> tuple[FlatPalette, dict[int, str], tuple[Finding, ...]]:
    """The palette with the painter's colours, which of its colours these are, and what is not."""
    if not locked:
        return palette, {}, ()
    levels = channel_levels(locked, pixels.mode, pixels.profile)
    if levels is None:
        kind = {"L": "grey", "CMYK": "printing inks"}.get(pixels.mode, pixels.mode)
        return (
            palette,
            {},
            (
                Finding(
                    code="artwork.locked_colour",
                    severity=Severity.WARN,
                    subject=name,
                    message=f"The picture is in {kind}; the locked colours ({', '.join(locked)}) "
                    "cannot be told in it, so they are not held.",
                    remedy="Save the picture in RGB.",
                ),
            ),
        )
    if pixels.opacity:
        levels = np.concatenate([levels, np.full((len(levels), 1), 255, np.uint8)], axis=1)
    palette, places = artwork.with_locked(palette, levels)
    return palette, dict(zip(places.tolist(), locked, strict=True)), ()


def _paints(
    palette: FlatPalette, pixels: Pixels, name: str
) -> tuple[tuple[str, ...], tuple[float, ...], tuple[Finding, ...]]:
    """Colour ("" for bare ground) and opacity of each paint, and what is doubtful about them."""
    turned, opacity, findings = _shown(palette.levels, pixels, name)
    colours = hex_colours(turned)
    if len(palette.merged):
        merged = hex_colours(_shown(palette.merged, pixels, name)[0])
        findings += artwork.merged_colours(palette, colours, merged, name=name)
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


def shapes_of(
    pixels: Pixels,
    name: str,
    *,
    left: int = 0,
    top: int = 0,
    group: str = "",
    opacity: float = 1.0,
    veils: tuple[Veil, ...] = (),
    locked: Sequence[str] = (),
) -> tuple[tuple[Shape, ...] | None, tuple[Finding, ...]]:
    """Shapes that tile a picture, one for each connected region, and findings.

    Parameters
    ----------
    pixels : Pixels
        The picture.
    name : str
        File name.
    left, top : int
        Where it lies on the canvas. [px]
    group : str
        Groups of all its shapes.
    opacity : float
        Of the whole picture, 0 to 1. [-]
    veils : tuple of Veil
        Translucent groups around it.
    locked : sequence of str
        Colours, ``#rrggbb``, that are paints of their own in any case.

    Returns
    -------
    shapes : tuple of Shape or None
        What is transparent has none; None where the picture is not flat.
    findings : tuple of Finding
        All that is not as drawn.

    Raises
    ------
    ArtworkError
        If the file turns out to be damaged, or has too much edge.
    """
    palette, findings = artwork.flat_palette(pixels.rows, name=name, each=on_all_processors)
    if palette is None:
        return None, _placed(findings, name)
    palette, names, doubts = _held(palette, pixels, locked, name)
    findings += doubts
    colours, opacities, doubts = _paints(palette, pixels, name)
    colours = tuple(names.get(at, colour) for at, colour in enumerate(colours))
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
    findings += artwork.faint_edges(traced, colours, name=name)
    findings += artwork.thin_lines(traced.total, outlines, colours, name=name)
    regions = outlines.regions
    if left or top:
        regions = shapely.transform(regions, lambda points: points + np.array([left, top]))
    shapes = tuple(
        Shape(
            area=region,
            colour=colours[paint],
            opacity=opacity * opacities[paint],
            group=group,
            veils=veils,
        )
        for region, paint in zip(regions, outlines.paint.tolist(), strict=True)
        if colours[paint]
    )
    return shapes, _placed(findings, name)

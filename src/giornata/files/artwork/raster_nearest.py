"""A picture that is not flat, each of its pixels given to the paint that looks nearest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from giornata.core import artwork, colour
from giornata.core.artwork import Drawing, FlatPalette, Levels, Rows, Shape
from giornata.core.foundation import ArtworkError, Finding, Place, Severity, number_of
from giornata.files.artwork.kinds import Kind, kind_of
from giornata.files.artwork.processors import on_all_processors
from giornata.files.artwork.raster_colour import srgb
from giornata.files.artwork.raster_pixels import (
    PIXEL_LIMIT,
    WHOLE_LIMIT,
    Pixels,
    damage_told,
    pixels_of,
    read_pixels,
)

__all__ = ["read_nearest"]

_HEAD = 1_024  # bytes


def _seen(strip: Levels, pixels: Pixels, name: str) -> tuple[Levels, tuple[Finding, ...]]:
    """Distinct colours of a strip as seen on white, in sRGB, with each pixel's index at the end."""
    flat = strip.reshape(-1, strip.shape[2])
    if pixels.opacity:
        # Premultiplied, so white shines through by what is missing.
        flat = flat[:, :-1] + (255 - flat[:, -1:])
    return srgb(flat, pixels.mode, pixels.profile, name=name)


def _labels(levels: Levels, own: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Index of the nearest paint of each colour, by the CIE 1976 difference."""
    keys = levels.astype(np.uint32) @ np.array([1, 256, 65_536], dtype=np.uint32)
    distinct, place = np.unique(keys, return_inverse=True)
    channels = (distinct[:, None] >> np.array([0, 8, 16], dtype=np.uint32)) & np.uint32(255)
    lab = colour.lab_from_srgb(channels / 255.0)
    best = np.zeros(len(lab), dtype=np.uint8)
    least = np.full(len(lab), np.inf)
    for index, paint in enumerate(own):
        off = ((lab - paint) ** 2).sum(axis=1)
        nearer = off < least
        best[nearer], least[nearer] = index, off[nearer]
    return best[place]


def read_nearest(
    path: Path, hues: Sequence[str], *, pixel_limit: int = PIXEL_LIMIT
) -> tuple[Drawing | None, tuple[Finding, ...]]:
    """A raster file as flat shapes in given colours, each pixel in the one that looks nearest.

    Parameters
    ----------
    path : Path
        A PNG, JPEG, TIFF, WebP or HEIC file of one page, or a PSD or PSB file: of that, the
        merged picture is read.
    hues : sequence of str
        ``#rrggbb`` of each paint, 1 to 255 of them.
    pixel_limit : int
        Most pixels that are read; 1 or more. [px]

    Raises
    ------
    ArtworkError
        If the file cannot be opened or decoded, has more than one page, too many pixels, or so
        much edge that it cannot be outlined.
    """
    name = path.name
    with damage_told(path), path.open("rb") as file:
        layered = kind_of(file.read(_HEAD)) is Kind.PSD
    if layered:
        pages, findings = _merged(path, min(pixel_limit, WHOLE_LIMIT))
    else:
        pages, findings = read_pixels(path, pixel_limit=pixel_limit)
    if len(pages) != 1:
        raise ArtworkError(
            f"{name} has {len(pages)} pages; the nearest paints are found in one.",
            remedy="Save the page that is to be painted as a file of its own.",
        )
    pixels = pages[0]
    paints = np.array([tuple(bytes.fromhex(hue[1:])) for hue in hues], dtype=np.uint8)
    own = colour.lab_from_srgb(paints / 255.0)

    def strips() -> Iterator[Levels]:
        for strip in pixels.rows.strips():
            levels, _ = _seen(strip, pixels, name)
            yield paints[_labels(levels, own)].reshape(*strip.shape[:2], 3)

    counts = np.zeros(len(hues), dtype=np.int64)
    doubts: tuple[Finding, ...] = ()
    for strip in pixels.rows.strips():
        levels, said = _seen(strip, pixels, name)
        doubts = tuple(dict.fromkeys((*doubts, *said)))
        counts += np.bincount(_labels(levels, own), minlength=len(hues))
    order = np.flatnonzero(counts)[np.argsort(-counts[counts > 0], kind="stable")]
    rows = Rows(height=pixels.rows.height, width=pixels.rows.width, channels=3, strips=strips)
    palette = FlatPalette(levels=paints[order], pixels=counts[order], soft=False, hard=True)
    try:
        traced = artwork.traced(rows, palette, each=on_all_processors)
    except artwork.TooFine as error:
        raise ArtworkError(
            f"{name} has more edge than can be outlined: {error}.",
            remedy="Save it smaller, or smooth it, before its nearest paints are taken.",
        ) from error
    outlines = traced.outlines()
    shapes = tuple(
        Shape(area=region, colour=hues[order[paint]])
        for region, paint in zip(outlines.regions, outlines.paint.tolist(), strict=True)
    )
    drawing = Drawing(name=name, width=rows.width, height=rows.height, shapes=shapes, disjoint=True)
    return drawing, (*findings, *doubts, _decided(name, len(shapes), hues, order))


def _merged(path: Path, pixel_limit: int) -> tuple[tuple[Pixels, ...], tuple[Finding, ...]]:
    """The merged picture of a file of layers."""
    from giornata.files.artwork.psd_layers import read_merged

    with damage_told(path):
        image, profile, lacking = read_merged(path, pixel_limit=pixel_limit)
        pixels = pixels_of(image, path, profile)
    said = Finding(
        code="artwork.more_pictures",
        severity=Severity.NOTE,
        subject=path.name,
        message="By decision its pixels go to the nearest paints; for that its merged picture is "
        "read, so no layer can be shown or hidden by itself.",
        remedy="Make the layers flat where options need them.",
        place=Place(file=path.name),
    )
    return (pixels,), (said, *lacking)


def _decided(name: str, regions: int, hues: Sequence[str], order: NDArray[np.int64]) -> Finding:
    listed = ", ".join(hues[at] for at in order)
    return Finding(
        code="artwork.decided",
        severity=Severity.NOTE,
        subject=name,
        message=f"By decision, each pixel has the paint that looks nearest: "
        f"{number_of(regions, 'region')} of "
        f"{listed}.",
        remedy="Look at the regions: grain and noise in the picture become specks.",
        place=Place(file=name),
    )

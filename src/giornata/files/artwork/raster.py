"""Raster artwork: PNG, JPEG, TIFF, WebP, HEIC and PSD files as a drawing of flat shapes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from giornata.core.artwork import Drawing, Shape
from giornata.core.foundation import Finding, Place, Severity
from giornata.files.artwork.kinds import Kind, kind_of
from giornata.files.artwork.raster_pixels import (
    PIXEL_LIMIT,
    WHOLE_LIMIT,
    damage_told,
    page_name,
    pixels_of,
    read_pixels,
)
from giornata.files.artwork.raster_shapes import shapes_of

__all__ = ["PIXEL_LIMIT", "read_raster"]

_HEAD = 1_024  # bytes

Answer = tuple[Drawing | None, tuple[Finding, ...]]


def read_raster(
    path: Path, *, locked: Sequence[str] = (), pixel_limit: int = PIXEL_LIMIT
) -> Answer:
    """A picture of flat colour as shapes that tile it, one for each connected region.

    Parameters
    ----------
    path : Path
        A PNG, JPEG, TIFF, WebP, HEIC, PSD or PSB file.
    locked : sequence of str
        Colours, ``#rrggbb``, that are paints of their own in any case.
    pixel_limit : int
        Most pixels that are read; 1 or more. [px]

    Returns
    -------
    drawing : Drawing or None
        Width and height in pixels, y down; what is transparent has no shape. Layers and pages are
        groups. None where the picture is not flat; the findings say why.
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
    with damage_told(path), path.open("rb") as file:
        kind = kind_of(file.read(_HEAD))
    if kind is Kind.PSD:
        return _layered(path, locked, min(pixel_limit, WHOLE_LIMIT))
    pages, findings = read_pixels(path, pixel_limit=pixel_limit)
    shapes: list[Shape] = []
    for number, pixels in enumerate(pages):
        group = page_name(number) if len(pages) > 1 else ""
        own, doubts = shapes_of(pixels, path.name, group=group, locked=locked)
        findings += tuple(_of_page(doubt, group) for doubt in doubts)
        if own is None:
            return None, findings
        shapes += own
    if not pages:
        return None, findings
    names = tuple(map(page_name, range(len(pages)))) if len(pages) > 1 else ()
    drawing = Drawing(
        name=path.name,
        width=pages[0].rows.width,
        height=pages[0].rows.height,
        shapes=tuple(shapes),
        groups=names,
        hidden=names[1:],
        disjoint=len(pages) == 1,
    )
    return _if_visible(drawing, findings)


def _of_page(finding: Finding, group: str) -> Finding:
    return replace(finding, subject=f"{finding.subject}, {group}") if group else finding


def _if_visible(drawing: Drawing, findings: tuple[Finding, ...]) -> Answer:
    if drawing.shapes:
        return drawing, findings
    nothing = Finding(
        code="artwork.nothing_visible",
        severity=Severity.STOP,
        subject=drawing.name,
        message="Every pixel is transparent.",
        remedy="Save the picture with the artwork's layers switched on.",
        place=Place(file=drawing.name),
    )
    return None, (*findings, nothing)


def _layered(path: Path, locked: Sequence[str], pixel_limit: int) -> Answer:
    """Layers of a file, each traced by itself and laid over those below it."""
    from giornata.files.artwork.psd_layers import read_layers

    with damage_told(path):
        layered = read_layers(path, pixel_limit=pixel_limit)
    findings = layered.findings
    shapes: list[Shape] = []
    for layer in layered.layers:
        with damage_told(path):
            pixels = pixels_of(layer.image, path, layered.profile)
        own, doubts = shapes_of(
            pixels,
            path.name,
            left=layer.left,
            top=layer.top,
            group=layer.group,
            opacity=layer.opacity,
            veils=layer.veils,
            locked=locked,
        )
        findings += tuple(_of_page(doubt, layer.group) for doubt in doubts)
        if own is None:
            if _shown(layer.group, layered.hidden):
                return None, findings
            continue
        shapes += own
    drawing = Drawing(
        name=path.name,
        width=layered.width,
        height=layered.height,
        shapes=tuple(shapes),
        groups=layered.groups,
        hidden=layered.hidden,
        disjoint=len(layered.layers) == 1,
    )
    return _if_visible(drawing, findings)


def _shown(group: str, hidden: tuple[str, ...]) -> bool:
    return not set(group.split("/")) & set(hidden)

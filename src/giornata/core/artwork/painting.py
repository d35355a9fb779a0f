"""Painting: each flat colour of the artwork becomes a paint."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from giornata.core import geometry
from giornata.core.artwork.compositing import BARE
from giornata.core.artwork.oklab import levels_of, nearest_colour
from giornata.core.artwork.palette import Paint, Role
from giornata.core.artwork.regions import FlatArtwork
from giornata.core.foundation import Finding, Severity
from giornata.core.geometry import Coverage

__all__ = ["figure_bounds", "ground_paint", "painted", "paints_of"]

_ROUNDING = 2  # levels by which one colour may differ between renderers, or after blending


def ground_paint(paints: Sequence[Paint]) -> Paint:
    """The one paint whose role is the ground.

    Raises
    ------
    ValueError
        If there is not exactly one, or two paints share a number.
    """
    grounds = [paint for paint in paints if paint.role is Role.GROUND]
    if len(grounds) != 1:
        raise ValueError(f"exactly one paint is the ground, not {len(grounds)}")
    if len({paint.number for paint in paints}) != len(paints):
        raise ValueError("two paints share a number")
    return grounds[0]


def figure_bounds(
    coverage: Coverage, paints: Sequence[Paint]
) -> tuple[float, float, float, float] | None:
    """Least x and y and greatest x and y of all regions but the ground's; None for none.

    Parameters
    ----------
    coverage : geometry.Coverage
        Labelled with paint numbers.
    paints : sequence of Paint
        Exactly one is the ground.

    Raises
    ------
    ValueError
        If not exactly one paint is the ground.
    """
    faces = coverage.faces[coverage.labels != ground_paint(paints).number]
    if not len(faces):
        return None
    low_x, low_y, high_x, high_y = shapely.total_bounds(faces).tolist()
    return low_x, low_y, high_x, high_y


def painted(flat: FlatArtwork, paints: Sequence[Paint]) -> tuple[Coverage, tuple[Finding, ...]]:
    """The artwork's regions by paint, labelled with paint numbers, and colours that don't fit.

    Parameters
    ----------
    paints : sequence of Paint
        Exactly one is the ground; bare canvas is painted with it.

    Raises
    ------
    ValueError
        If not exactly one paint is the ground, or two paints share a number.

    Notes
    -----
    A colour belongs to the paint that lists it, or that lists one within two levels in each
    channel (renderers round differently). Any other colour is reported and counted with the
    paint whose colour looks nearest, so that no area is lost.
    """
    listed, findings = _listed(paints)
    shares = {c: a / (flat.width * flat.height) for c, a in flat.areas().items()}
    meant = paints_of(flat.colours, paints)
    used: set[str] = set()
    for colour, paint in zip(flat.colours, meant, strict=True):
        match = None if colour == BARE else _match(colour, tuple(listed))
        if match is not None:
            used.add(match)
        elif colour in shares and colour != BARE:
            findings.append(_unknown(flat, colour, shares[colour], paint))
    findings += _missing(flat, paints, listed, used, bare=BARE in shares)
    labels = np.array([paint.number for paint in meant], dtype=np.intp)
    return geometry.relabelled(flat.coverage, labels), tuple(findings)


def paints_of(colours: Sequence[str], paints: Sequence[Paint]) -> tuple[Paint, ...]:
    """The paint that each colour of an artwork is painted with, as `painted` takes it.

    Parameters
    ----------
    colours : sequence of str
        ``#rrggbb``, or "" for bare canvas.
    paints : sequence of Paint
        Exactly one is the ground.

    Raises
    ------
    ValueError
        If not exactly one paint is the ground, or two paints share a number.
    """
    ground = ground_paint(paints)
    listed, _ = _listed(paints)

    def meant(colour: str) -> Paint:
        if colour == BARE or not listed:
            return ground
        match = _match(colour, tuple(listed))
        return listed[nearest_colour(colour, tuple(listed)) if match is None else match]

    return tuple(map(meant, colours))


def _listed(paints: Sequence[Paint]) -> tuple[dict[str, Paint], list[Finding]]:
    """Paint of each colour that a paint lists; a colour listed twice is the first one's."""
    listed: dict[str, Paint] = {}
    findings: list[Finding] = []
    for paint in paints:
        for colour in map(str.lower, paint.artwork):
            first = listed.setdefault(colour, paint)
            if first is not paint:
                findings.append(_twice(colour, first, paint))
    return listed, findings


def _match(colour: str, listed: tuple[str, ...]) -> str | None:
    """The listed colour that is meant, None where there is none within the rounding."""
    if colour in listed or not listed:
        return colour if listed else None
    off = np.abs(levels_of(listed) - levels_of([colour])).max(axis=1)
    best = int(np.argmin(off))
    return listed[best] if off[best] <= _ROUNDING else None


def _twice(colour: str, first: Paint, second: Paint) -> Finding:
    return Finding(
        code="artwork.colour_listed_twice",
        severity=Severity.STOP,
        subject=f"colour {colour}",
        message=f"Both {first.name} and {second.name} list it; it is counted as {first.name}.",
        remedy="Take the colour out of one of the two paints' artwork lists.",
    )


def _unknown(flat: FlatArtwork, colour: str, share: float, nearest: Paint) -> Finding:
    return Finding(
        code="artwork.unknown_colour",
        severity=Severity.STOP,
        subject=f"colour {colour}",
        message=(
            f"{flat.name} shows it on {100 * share:.3g} % of the canvas, and no paint lists it; "
            f"it is counted as {nearest.name}, which looks nearest."
        ),
        remedy=f"Add {colour} to the artwork list of {nearest.name}, or of the paint it is.",
    )


def _missing(
    flat: FlatArtwork,
    paints: Sequence[Paint],
    listed: dict[str, Paint],
    used: set[str],
    *,
    bare: bool,
) -> list[Finding]:
    """A note for each paint that lists colours the artwork doesn't show, or none at all."""
    findings = []
    for paint in paints:
        own = [colour for colour, owner in listed.items() if owner is paint]
        absent = [colour for colour in own if colour not in used]
        if (own and not absent) or (paint.role is Role.GROUND and bare):
            continue
        what = f"{', '.join(absent)} of its artwork list" if own else "its artwork list"
        does = "is not visible" if own else "is empty, so nothing is painted with it"
        findings.append(
            Finding(
                code="artwork.colour_missing",
                severity=Severity.NOTE,
                subject=paint.name,
                message=f"{what[0].upper()}{what[1:]} {does} in {flat.name} with this option.",
                remedy="Correct the list if the paint should appear.",
            )
        )
    return findings

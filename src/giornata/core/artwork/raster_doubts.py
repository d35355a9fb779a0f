"""What may be wrong with a picture read as flat paint, as findings."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from giornata.core.artwork.flat_palette import FlatPalette
from giornata.core.artwork.raster_mixture import MixtureSum
from giornata.core.artwork.raster_outlines import Outlines
from giornata.core.artwork.raster_sides import OUT
from giornata.core.artwork.raster_tracing import Traced
from giornata.core.foundation import Assumption, Finding, Severity

__all__ = ["faint_edges", "like_colours", "merged_colours", "thin_lines", "unexplained_pixels"]

LIKE = 3  # levels in the channel that differs most
LEAST_UNEXPLAINED = 4  # px
UNEXPLAINED_WARN = 0.005  # of the mixed pixels; JPEG of dense art at quality 60 measured 0.003
UNEXPLAINED_STOP = Assumption(
    name="most of a picture that may be no mixture of its paints",
    value=0.005,
    unit="-",
    source="house default, no source: half a per cent of a wall is a day's brush work",
)
THIN_LOSS = Assumption(
    name="most of a paint's area that its outlines may miss",
    value=0.02,
    unit="-",
    source="house default, no source: within the spread of paint use on render",
)
FAINT_LIMIT = Assumption(
    name="brightness two paints of a lossy picture should be apart",
    value=15.0,
    unit="levels",
    source="measured by bench/raster.py and docs/decisions/raster-reader.md: edges of circles and "
    "ellipses at JPEG quality 60 up to 0.2 % long at 15 levels, 0.5 % at 10, 1.3 % at 6",
)
_FAINT_EXCESS = ((10.0, 0.5), (0.0, 1.3))  # levels and above, per cent of the edge
_NAMED = 6  # colours named in one message
LEAST_THIN = 10.0  # px²


def like_colours(palette: FlatPalette, colours: Sequence[str], *, name: str) -> tuple[Finding, ...]:
    """Pairs of paints that hardly differ.

    Parameters
    ----------
    palette : FlatPalette
        The paints.
    colours : sequence of str
        ``#rrggbb`` of each.
    name : str
        File name.
    """
    apart = np.abs(palette.levels[:, None].astype(np.int16) - palette.levels[None]).max(axis=2)
    return tuple(
        Finding(
            code="artwork.like_colours",
            severity=Severity.NOTE,
            subject=f"{name}, {colours[i]} and {colours[j]}",
            message=f"Two flat colours differ by {apart[i, j]} of 255 levels; under {LIKE + 1} is "
            "hard to see and to mix.",
            remedy="If they are meant to be one paint, give both to it in the list of paints.",
        )
        for i, j in np.argwhere(np.triu(apart <= LIKE, 1)).tolist()
    )


def merged_colours(
    palette: FlatPalette, colours: Sequence[str], merged: Sequence[str], *, name: str
) -> tuple[Finding, ...]:
    """Rare colours that are read as a more common one beside them.

    Parameters
    ----------
    palette : FlatPalette
        The paints, and what was merged with them.
    colours, merged : sequence of str
        ``#rrggbb`` of each.
    name : str
        File name.
    """
    if not len(palette.merged):
        return ()
    apart = np.abs(palette.merged[:, None].astype(np.int16) - palette.levels[None]).max(axis=2)
    into = apart.argmin(axis=1).tolist()
    said = [
        f"{own} as {colours[at] or 'bare ground'}" for own, at in zip(merged, into, strict=True)
    ]
    more = f" and {len(said) - _NAMED} more" if len(said) > _NAMED else ""
    return (
        Finding(
            code="artwork.merged_colours",
            severity=Severity.NOTE,
            subject=name,
            message=f"Some flat colours are read as a more common one that differs by "
            f"{int(apart.min(axis=1).max())} of 255 levels or less: "
            f"{', '.join(said[:_NAMED])}{more}.",
            remedy="Where one of them is a paint of its own, list it with that paint and write "
            "locked = true there.",
        ),
    )


def unexplained_pixels(mix: MixtureSum, *, name: str) -> tuple[Finding, ...]:
    """Pixels that are neither a paint nor a mixture of two.

    Parameters
    ----------
    mix : MixtureSum
        What its pixels come to.
    name : str
        File name.
    """
    count = len(mix.unexplained)
    if count < LEAST_UNEXPLAINED or count <= UNEXPLAINED_WARN * mix.mixed:
        return ()
    share = count / (mix.height * mix.width)
    row, column = np.divmod(mix.unexplained, mix.width)
    middle = count // 2
    at = mix.strange[middle].tolist()
    return (
        Finding(
            code="artwork.unexplained",
            severity=Severity.STOP if share > UNEXPLAINED_STOP.value else Severity.WARN,
            subject=name,
            message=f"{count} pixels ({100 * share:.2f} % of the picture; the limit is "
            f"{100 * UNEXPLAINED_STOP.value:g} %) are no mixture of the paints found, for instance "
            f"at column {column[middle]}, row {row[middle]} (levels {at}).",
            remedy="A paint that occurs in thin lines only: save the picture larger, as PNG. A "
            "photograph or shading: replace it with flat colour.",
        ),
    )


def thin_lines(
    mix: MixtureSum, found: Outlines, colours: Sequence[str], *, name: str
) -> tuple[Finding, ...]:
    """Paints whose outlines miss part of what the pixels show.

    Parameters
    ----------
    mix : MixtureSum
        What its pixels come to.
    found : Outlines
        Their outlines.
    colours : sequence of str
        ``#rrggbb`` of each paint; "" for bare ground.
    name : str
        File name.
    """
    drawn = np.bincount(found.paint, shapely.area(found.regions), len(mix.areas))
    findings = []
    for at, colour in enumerate(colours):
        shown, missing = float(mix.areas[at]), float(mix.areas[at] - drawn[at])
        if abs(missing) <= max(LEAST_THIN, THIN_LOSS.value * shown):
            continue
        findings.append(
            Finding(
                code="artwork.thin_lines",
                severity=Severity.WARN,
                subject=f"{name}, {colour or 'bare ground'}",
                message=f"The pixels show {shown:.0f} px² of it, the outlines {drawn[at]:.0f} px² "
                f"({100 * (drawn[at] / shown - 1):+.1f} %; the limit is "
                f"{100 * THIN_LOSS.value:g} %): it has lines under about two pixels wide.",
                remedy="Save the picture larger, so that its thinnest line is three pixels wide.",
            )
        )
    return tuple(findings)


def faint_edges(traced: Traced, colours: Sequence[str], *, name: str) -> tuple[Finding, ...]:
    """Paints of a lossy picture that meet and are too near in brightness for their edge to be sure.

    Parameters
    ----------
    traced : Traced
        The picture.
    colours : sequence of str
        ``#rrggbb`` of each paint; "" for bare ground.
    name : str
        File name.
    """
    if traced.apart is None:
        return ()
    count = len(traced.apart)
    meet = np.zeros((count, count), np.int64)
    for sides in (traced.edges.across, traced.edges.down):
        inside = (sides.before != OUT) & (sides.after != OUT)
        low = np.minimum(sides.before, sides.after)[inside].astype(np.int64)
        high = np.maximum(sides.before, sides.after)[inside]
        meet += np.bincount(low * count + high, minlength=count**2).reshape(count, count)
    doubtful = (traced.apart < FAINT_LIMIT.value) & (meet > 0)
    findings = []
    for i, j in np.argwhere(doubtful).tolist():
        apart = float(traced.apart[i, j])
        excess = next(part for least, part in _FAINT_EXCESS if apart >= least)
        pair = " and ".join(colours[at] or "bare ground" for at in (i, j))
        findings.append(
            Finding(
                code="artwork.faint_edges",
                severity=Severity.NOTE,
                subject=f"{name}, {pair}",
                message=f"They meet at {meet[i, j]} pixel sides and differ by {apart:.0f} of 255 "
                f"levels in brightness; in a lossy picture the limit is {FAINT_LIMIT.value:g}. The "
                f"length of their edge may come out up to {excess:g} % too long.",
                remedy="Save the artwork again from the program it was made in, as PNG.",
            )
        )
    return tuple(findings)

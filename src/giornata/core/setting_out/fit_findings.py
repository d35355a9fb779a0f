"""What a fit has to say: the moves and the gaps that took them, or the shapes that let none be."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.artwork import Paint
from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.geometry import Coverage
from giornata.core.setting_out.fit_records import ArtworkFit, Span

__all__ = ["fit_findings"]

NOTICED = Assumption(
    name="change of a gap between shapes that alters the design",
    value=0.25,
    unit="-",
    source="house default, no source: a gap a quarter wider or narrower reads as another spacing",
    usual=(0.1, 0.3),
)
_LISTED = 5  # gaps, or shapes, named in one finding
_LEAST_MOVE = 0.0005  # m


def fit_findings(
    fit: ArtworkFit | None,
    spans: Sequence[Span],
    whole: Coverage,
    rigid: NDArray[np.bool_],
    paints: Sequence[Paint],
) -> tuple[Finding, ...]:
    """What the fit did; or, where there is none, what stands in its way.

    Parameters
    ----------
    fit : ArtworkFit or None
        None where a span has no fit.
    spans : sequence of Span
        Between anchors.
    whole : geometry.Coverage
        The artwork before the fit.
    rigid : ndarray of bool, shape (n,)
        Which of its faces stay rigid.
    """
    names = {paint.number: paint.name for paint in paints}
    if fit is None:
        return tuple(_no_fit(span, whole, rigid, names) for span in spans if not span.possible)
    return (*_done(fit, names), *_altered(fit))


def _no_fit(
    span: Span, whole: Coverage, rigid: NDArray[np.bool_], names: dict[int, str]
) -> Finding:
    faces, labels = whole.faces[rigid], whole.labels[rigid]
    bounds = shapely.bounds(faces)
    here = np.flatnonzero((bounds[:, 2] >= span.start) & (bounds[:, 0] <= span.end))
    longest = here[np.argsort(bounds[here, 0] - bounds[here, 2], kind="stable")][:_LISTED]
    named = "; ".join(
        f"{names[int(labels[k])]}, {bounds[k, 0]:.2f} to {bounds[k, 2]:.2f} m" for k in longest
    )
    way = "grow" if span.wanted > 0 else "shrink"
    if span.gaps == 0:
        gives = "it has no strip of empty ground from foot to top"
    elif span.wanted > 0:
        gives = "its strips of empty ground cannot grow"
    else:
        strips = "strip" if span.gaps == 1 else f"{span.gaps} strips"
        gives = f"its {strips} of empty ground can give {1000 * span.room:.0f} mm"
    bridging = f" Longest across it: {named}." if named else ""
    return Finding(
        code="setting_out.no_fit",
        severity=Severity.STOP,
        subject=f"artwork from {span.start:.2f} to {span.end:.2f} m",
        message=f"It must {way} by {1000 * abs(span.wanted):.0f} mm between its anchors, and "
        f"{gives}: there is no fit, and the artwork is shown unfitted.{bridging}",
        remedy="Name the paints of bands that may be stretched in [artwork] fit, draw those "
        "shapes apart, lower the least gap, move or drop a tie, or change the artwork's size.",
    )


def _done(fit: ArtworkFit, names: dict[int, str]) -> tuple[Finding, ...]:
    grown = sum(gap.change for gap in fit.gaps)
    taking = sorted(
        (gap for gap in fit.gaps if abs(gap.change) >= _LEAST_MOVE),
        key=lambda gap: -abs(gap.change),
    )
    if not taking:
        return ()
    largest = "; ".join(
        f"{gap.start:.2f}-{gap.end:.2f} m by {1000 * gap.change:+.0f} mm"
        for gap in taking[:_LISTED]
    )
    farthest = max(fit.moves, key=lambda move: abs(move.shift), default=None)
    moved = (
        ""
        if farthest is None
        else f" Shapes move by at most {1000 * abs(farthest.shift):.0f} mm "
        f"{'right' if farthest.shift > 0 else 'left'} ({farthest.start:.2f}-{farthest.end:.2f} m)."
    )
    bands = ""
    if fit.bands:
        which = ", ".join(names[number] for number in fit.bands)
        bands = f" Bands of {which} are stretched there, by {fit.stretched:+.2f} m²."
    count = number_of(len(taking), "gap takes it", "gaps take it")
    return (
        Finding(
            code="setting_out.fitted",
            severity=Severity.NOTE,
            subject="artwork fitted to the wall",
            message=f"It changes by {1000 * grown:+.0f} mm along the wall; {count}, most of all "
            f"{largest}.{moved}{bands} All other shapes keep their form.",
            remedy="Look at the moved shapes on the elevation before the client signs it.",
        ),
    )


def _altered(fit: ArtworkFit) -> tuple[Finding, ...]:
    far = [gap for gap in fit.gaps if abs(gap.change) > NOTICED.value * (gap.end - gap.start)]
    if not far:
        return ()
    far.sort(key=lambda gap: -abs(gap.change) / (gap.end - gap.start))
    which = "; ".join(
        f"{gap.start:.2f}-{gap.end:.2f} m by {100 * gap.change / (gap.end - gap.start):+.0f} %"
        for gap in far[:_LISTED]
    )
    more = f" and {len(far) - _LISTED} more" if len(far) > _LISTED else ""
    return (
        Finding(
            code="setting_out.fit_alters",
            severity=Severity.WARN,
            subject="artwork fitted to the wall",
            message=f"{len(far)} of {number_of(len(fit.gaps), 'gap')} "
            f"{'changes' if len(far) == 1 else 'change'} by more than "
            f"{100 * NOTICED.value:.0f} %: {which}{more}.",
            remedy="Change the artwork's size, draw it anew there, or show the client the "
            "fitted elevation.",
        ),
    )

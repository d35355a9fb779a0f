"""Feet: what obstacles hide of the wall, and which motifs lose their lowest part behind them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from giornata.core.foundation import Assumption, Finding, Severity
from giornata.core.survey import HiddenBand
from giornata.core.viewing.motifs import Motif

__all__ = ["FEET", "LOST", "HiddenFeet", "hidden_feet", "hidden_findings"]

FEET = Assumption(
    name="share of a motif's height, from its lowest point, that is its feet",
    value=0.1,
    unit="-",
    source="no published source: a choice of this house",
    usual=(0.05, 0.2),
)
LOST = Assumption(
    name="share of its feet from which a motif is said to lose them",
    value=0.5,
    unit="-",
    source="no published source: a choice of this house",
    usual=(0.25, 0.75),
)
_NAMED = 8  # motifs in one finding
_NO_AREA = 1e-6  # m²


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenFeet:
    """A motif whose feet an obstacle hides.

    Parameters
    ----------
    motif : str
        Its name.
    obstacle : str
        Name of the obstacle.
    start, end : float
        Chainages of the motif. [m]
    feet : float
        Share of its feet that is hidden, 0 to 1. [-]
    height : float
        From its lowest point to the highest of it that is hidden. [m]
    whole_height : float
        Of the motif. [m]
    """

    motif: str
    obstacle: str
    start: float
    end: float
    feet: float
    height: float
    whole_height: float


def hidden_feet(motifs: Sequence[Motif], hidden: Sequence[HiddenBand]) -> tuple[HiddenFeet, ...]:
    """Motifs that lose their feet behind obstacles, obstacle by obstacle along the wall.

    Parameters
    ----------
    motifs : sequence of Motif
        As they lie on the wall.
    hidden : sequence of HiddenBand
        What obstacles hide, seen square on.

    Notes
    -----
    The feet are the lowest tenth of a motif's height; they are lost where half of their area or
    more is hidden.
    """
    found = []
    for band in hidden:
        for motif in motifs:
            start, low, end, high = motif.area.bounds
            if end <= band.start or start >= band.end:
                continue
            part = shapely.box(start - 1.0, low - 1.0, end + 1.0, low + FEET.value * (high - low))
            feet = shapely.intersection(motif.area, part)
            behind = shapely.intersection(feet, band.polygon)
            if feet.area <= 0 or behind.area / feet.area < LOST.value:
                continue
            top = shapely.intersection(motif.area, band.polygon).bounds[3]
            found.append(
                HiddenFeet(
                    motif=motif.name,
                    obstacle=band.name,
                    start=float(start),
                    end=float(end),
                    feet=float(behind.area / feet.area),
                    height=float(top - low),
                    whole_height=float(high - low),
                )
            )
    return tuple(found)


def hidden_findings(
    hidden: Sequence[HiddenBand], lost: Sequence[HiddenFeet], *, net: shapely.Geometry
) -> tuple[Finding, ...]:
    """One finding for each obstacle: the area it hides, and the motifs that lose their feet.

    Parameters
    ----------
    hidden : sequence of HiddenBand
        What obstacles hide, seen square on.
    lost : sequence of HiddenFeet
        Motifs without feet.
    net : shapely geometry
        Net wall. [m]
    """
    found = []
    for band in hidden:
        area = float(shapely.intersection(net, band.polygon).area)
        if area <= _NO_AREA:
            continue
        mine = [one for one in lost if one.obstacle == band.name]
        named = "; ".join(
            f"{one.motif} at {one.start:.2f} to {one.end:.2f} m ({one.height:.2f} of "
            f"{one.whole_height:.2f} m)"
            for one in mine[:_NAMED]
        )
        more = f"; and {len(mine) - _NAMED} more" if len(mine) > _NAMED else ""
        feet = f" These lose their feet: {named}{more}." if mine else " No motif loses its feet."
        found.append(
            Finding(
                code="viewing.feet_hidden" if mine else "viewing.foot_of_wall_hidden",
                severity=Severity.WARN if mine else Severity.NOTE,
                subject=f"{band.kind} {band.name}",
                message=f"{band.height:.2f} m high from {band.start:.2f} to {band.end:.2f} m, it "
                f"hides {area:.1f} m² of the wall, seen square on.{feet}",
                remedy="Raise what stands there, move it, or agree with the client what is "
                "planted and how high it is kept."
                if mine
                else "Bill and paint it or leave it out, but say so in the quote.",
            )
        )
    return tuple(found)

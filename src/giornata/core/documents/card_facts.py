"""What a set-up card says in words and figures: where to stand, how to set the projector."""

from __future__ import annotations

import math

from giornata.core.documents.display import bare, edge_text, figure_text, size_text
from giornata.core.foundation import Figure, System, shown, shown_place
from giornata.core.projection import SetUp
from giornata.core.site import Carrier
from giornata.core.survey import DevelopedWall

__all__ = ["bay_words", "facts", "light_words"]


def facts(
    one: SetUp,
    edge: Figure | None,
    time: Figure | None,
    system: System,
    out: tuple[tuple[str, str], ...] = (),
) -> tuple[tuple[str, str], ...]:
    """What to set, in the order of doing it: name and value.

    Parameters
    ----------
    edge : Figure or None
        To be traced. [m]
    time : Figure or None
        Of the set-up. [s]
    out : tuple of (str, str)
        Stretches inside it that are not projected.
    """
    rows = [
        ("Lens at", shown_place(one.centre, system)),
        ("Lens to wall", shown_place(one.distance, system, digits=2)),
        ("Lens above ground", shown_place(one.lens_height, system, digits=2)),
        ("Lens level", shown_place(one.lens_level, system, digits=2)),
        ("Projector", f"{one.orientation}, throw {one.throw_ratio:.2f}"),
        *([("Stands on", str(one.carrier))] if one.carrier is not Carrier.TRIPOD else []),
        ("Image", size_text(one.width, one.height, system)),
        ("Lens shift", _shift(one)),
    ]
    if one.pan:
        way = "right" if one.pan > 0 else "left"
        rows.append(("Pan", f"{way} {shown(abs(one.pan), 'rad', system)}"))
    if one.tilt:
        way = "up" if one.tilt > 0 else "down"
        rows.append(("Tilt", f"{way} {shown(abs(one.tilt), 'rad', system)}"))
    lit = "Image" if one.lit is None else "Draw"
    rows += [
        (f"{lit} from", shown_place(one.lit_start, system, digits=2)),
        (f"{lit} to", shown_place(one.lit_end, system, digits=2)),
        ("Image foot, level", shown_place(one.foot, system, digits=2)),
        ("Image head, level", shown_place(one.head, system, digits=2)),
        ("Middle, level", shown_place((one.foot + one.head) / 2, system, digits=2)),
    ]
    rows += out
    if edge is not None:
        rows.append(("Edge to trace", edge_text(edge, system)))
    if time is not None:
        rows.append(("Time", figure_text(time, system)))
    return tuple(rows)


def _shift(one: SetUp) -> str:
    ways = (
        ("up" if one.shift > 0 else "down", one.shift),
        ("right" if one.side_shift > 0 else "left", one.side_shift),
    )
    used = [f"{way} {100 * abs(share):.1f} %" for way, share in ways if round(abs(share), 3) > 0]
    return ", ".join(used) or "none"


def light_words(one: SetUp, system: System) -> str:
    """Light of the image against the light there is, and the verdict."""
    digits = 1 if system is System.US else 0
    light = shown(one.light.illuminance, "lx", system, digits=digits)
    ambient = shown(one.light.ambient, "lx", system, digits=digits)
    ratio = "no other light" if math.isinf(one.light.ratio) else f"{one.light.ratio:.1f} : 1"
    verdict = "bright enough" if one.light.passes else "TOO FAINT"
    return f"{light} on {ambient}, {ratio} (least {one.light.limit:g} : 1): {verdict}"


def bay_words(wall: DevelopedWall, at: float, system: System) -> str:
    """Where a chainage is, from the nearest end of a bay and the nearest pier or opening.

    Parameters
    ----------
    at : float
        Chainage. [m]
    """
    bay = next((b for b in wall.bays if b.start <= at <= b.end), wall.bays[-1])
    unit = "" if system is System.US else " m"
    words = f"In bay {bay.name}, {bare(at - bay.start, system)}{unit} right of its left end"
    edges = [
        (abs(at - edge), f"the {side} edge of {kind} {one.name}", edge)
        for kind, group in (("pier", wall.piers), ("the opening", wall.openings))
        for one in group
        for side, edge in (("left", one.start), ("right", one.end))
    ]
    if edges:
        away, what, edge = min(edges)
        way = "right" if at > edge else "left"
        words += f"; {bare(away, system)}{unit} {way} of {what}"
    return words + "."

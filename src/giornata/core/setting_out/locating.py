"""Locating: points, ties or a stretch of wall become the position and size of the artwork."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from giornata.core.foundation import Finding
from giornata.core.setting_out.fit_records import Anchor
from giornata.core.setting_out.location_findings import (
    points_disagree,
    reversed_places,
    ties_missed,
    unknown_place,
)
from giornata.core.setting_out.placement import ArtworkPlacement, Edge, Filling, Into
from giornata.core.setting_out.transform import placed_scale
from giornata.core.survey import DevelopedWall, part_of_line

__all__ = ["located", "places_named"]

_HIT = 0.001  # m: a point or a tie that is missed by less is met
_Box = tuple[float, float, float, float]
_Target = tuple[float, float, str]  # place in the artwork, chainage [m], name


def located(
    placement: ArtworkPlacement,
    canvas: tuple[float, float],
    wall: DevelopedWall,
    *,
    figure: _Box | None = None,
) -> tuple[ArtworkPlacement, tuple[Anchor, ...], tuple[Finding, ...]]:
    """The placement with its position and size worked out, the anchors of its fit, and findings.

    Parameters
    ----------
    canvas : tuple of float
        Width and height in artwork units; above 0. [-]
    figure : tuple of float, optional
        Least and greatest x and y of what is drawn, artwork units, y down; else the canvas. [-]

    Notes
    -----
    Two points are met by the uniform scale, and the shift, that miss them by the least sum of
    squares; so are ties. The canvas is turned, mirrored or stretched one way only where that
    was asked for: what the points would need beyond it is a finding.
    """
    findings: list[Finding] = []
    targets, unknown = _targets(placement, wall)
    findings += unknown
    made = placement
    if placement.points:
        made, more = _by_points(placement, canvas)
        findings += more
    elif placement.into is not None:
        made = _into(placement, placement.into, canvas, wall, figure)
    elif placement.ties:
        made, more = _by_ties(placement, canvas, wall, targets)
        findings += more
    return made, _anchors(made, canvas, wall, targets), tuple(findings)


def places_named(wall: DevelopedWall) -> dict[str, tuple[float, float]]:
    """Everything along a wall that a place of the artwork can be tied to: start and end. [m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    """
    steps = wall.top[1:][np.diff(wall.top[:, 0]) == 0][:, 0]
    numbered = (("bend", [bend.at for bend in wall.bends]), ("joint", wall.joints), ("step", steps))
    named = {"start": (0.0, 0.0), "end": (wall.length, wall.length)}
    named |= {f"pier {pier.name}": (pier.start, pier.end) for pier in wall.piers}
    named |= {f"opening {one.name}": (one.start, one.end) for one in wall.openings}
    for what, chainages in numbered:
        for number, at in enumerate(chainages, start=1):
            named[f"{what} {number}"] = (float(at), float(at))
    return named


def _targets(
    placement: ArtworkPlacement, wall: DevelopedWall
) -> tuple[list[_Target], list[Finding]]:
    """Place in the artwork, chainage and name of each tie; findings on those that lead nowhere."""
    named = places_named(wall)
    found: list[_Target] = []
    findings: list[Finding] = []
    for tie in placement.ties:
        if tie.to not in named:
            findings.append(unknown_place(tie.to, tuple(named)))
            continue
        start, end = named[tie.to]
        at = {Edge.LEFT: start, Edge.MIDDLE: (start + end) / 2, Edge.RIGHT: end}[tie.edge]
        name = tie.to if start == end else f"{tie.edge} of {tie.to}"
        found.append((tie.artwork, at, name))
    return found, findings


def _by_points(
    placement: ArtworkPlacement, canvas: tuple[float, float]
) -> tuple[ArtworkPlacement, list[Finding]]:
    first, second = placement.points
    width, height = canvas
    # In the wall's sense: x to the right as the artwork will lie, y up.
    drawn = [
        np.array([width - p.artwork[0] if placement.mirrored else p.artwork[0],
                  height - p.artwork[1]])
        for p in (first, second)
    ]  # fmt: skip
    meant = [np.array([p.chainage, p.level]) for p in (first, second)]
    along, aim = drawn[1] - drawn[0], meant[1] - meant[0]
    size = float(np.hypot(*aim) / np.hypot(*along))
    turn = math.remainder(math.atan2(aim[1], aim[0]) - math.atan2(along[1], along[0]), math.tau)
    upright = float(along @ aim / (along @ along))
    findings: list[Finding] = []
    if placement.turn is None and size > 0:
        scale, turned = size, turn
    else:
        scale, turned = upright, 0.0
        if not scale > 0:
            findings.append(reversed_places("two points", math.degrees(turn)))
            scale = size if size > 0 else 1.0
    way = np.array([[math.cos(turned), -math.sin(turned)], [math.sin(turned), math.cos(turned)]])
    corner = (meant[0] + meant[1]) / 2 - scale * (way @ (drawn[0] + drawn[1])) / 2
    miss = (aim - scale * (way @ along)) / 2
    if not findings and np.hypot(*miss) > _HIT:
        findings.append(points_disagree(along, aim, miss, turn))
    made = replace(placement, at=float(corner[0]), foot=float(corner[1]), width=None, height=None,
                   scale=scale, turn=turned, points=())  # fmt: skip
    return made, findings


def _by_ties(
    placement: ArtworkPlacement,
    canvas: tuple[float, float],
    wall: DevelopedWall,
    targets: Sequence[_Target],
) -> tuple[ArtworkPlacement, list[Finding]]:
    """Size and shift by least squares over the ties; the shift alone where the size is given."""
    x = np.array([canvas[0] - one[0] if placement.mirrored else one[0] for one in targets])
    to = np.array([one[1] for one in targets])
    given = any(v is not None for v in (placement.width, placement.height, placement.scale))
    findings: list[Finding] = []
    if given:
        scale = placed_scale(placement, canvas)
    elif len(x) < 2:  # ties were left out, which is a finding already
        scale = wall.length / canvas[0]
    else:
        scale = float((x - x.mean()) @ (to - to.mean()) / ((x - x.mean()) @ (x - x.mean())))
        if not scale > 0:
            findings.append(reversed_places("ties", 180.0))
            scale = wall.length / canvas[0]
    at = float(np.mean(to - scale * x)) if len(x) else 0.0
    made = replace(placement, at=at, width=None, height=None, scale=scale)
    missed = [
        (name, chainage, at + scale * place - chainage)
        for place, (_, chainage, name) in zip(x.tolist(), targets, strict=True)
        if abs(at + scale * place - chainage) > _HIT
    ]
    if missed and placement.fit is None and not findings:
        findings.append(ties_missed(missed, given=given))
    return made, findings


def _into(
    placement: ArtworkPlacement,
    into: Into,
    canvas: tuple[float, float],
    wall: DevelopedWall,
    figure: _Box | None,
) -> ArtworkPlacement:
    """The outline in the middle of the stretch, as large as it may be or must be."""
    low_x, low_y, high_x, high_y = (0.0, 0.0, *canvas)
    if into.figure and figure is not None:
        low_x, low_y, high_x, high_y = figure
    if placement.mirrored:
        low_x, high_x = canvas[0] - high_x, canvas[0] - low_x
    start, end = max(into.start, 0.0), min(into.end, wall.length)
    if not end > start:
        start, end = 0.0, wall.length
    ground = part_of_line(wall.ground, start, end)[:, 1]
    top = part_of_line(wall.top, start, end)[:, 1]
    whole = into.filling is Filling.WHOLE and top.min() > ground.max()
    low, high = (ground.max(), top.min()) if whole else (ground.min(), top.max())
    rates = ((end - start) / (high_x - low_x), float(high - low) / (high_y - low_y))
    scale = min(rates) if into.filling is Filling.WHOLE else max(rates)
    middle = scale * (low_x + high_x) / 2, scale * (canvas[1] - (low_y + high_y) / 2)
    return replace(
        placement,
        at=(start + end) / 2 - middle[0],
        foot=float(low + high) / 2 - middle[1],
        scale=scale,
        into=None,
    )


def _anchors(
    placement: ArtworkPlacement,
    canvas: tuple[float, float],
    wall: DevelopedWall,
    targets: Sequence[_Target],
) -> tuple[Anchor, ...]:
    """The canvas's ends and the ties, where they lie and where they are to come."""
    fit = placement.fit
    if fit is None:
        return ()
    scale = placed_scale(placement, canvas)

    def lies(x: float) -> float:
        return placement.at + scale * (canvas[0] - x if placement.mirrored else x)

    ends = (
        Anchor(name="left end of the artwork", at=placement.at,
               to=0.0 if fit.start is None else fit.start),
        Anchor(name="right end of the artwork", at=placement.at + scale * canvas[0],
               to=wall.length if fit.end is None else fit.end),
    )  # fmt: skip
    ties = (Anchor(name=name, at=lies(place), to=to) for place, to, name in targets)
    return (*ends, *ties)

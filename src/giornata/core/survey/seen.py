"""Seen from one place: which stretches of the wall show, and how wide they look."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats
from giornata.core.survey.plan import facing_at, space_from_wall
from giornata.core.survey.wall import DevelopedWall

__all__ = ["stretches_seen", "width_seen"]


def width_seen(wall: DevelopedWall, chainage: ArrayLike, eye: tuple[float, float]) -> Floats:
    """How wide one metre of the wall looks from a place in plan, level with it. [rad/m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    chainage : array_like
        Where the motif's middle is. [m]
    eye : (float, float)
        East and north of whoever looks. [m]

    Notes
    -----
    Cosine of the angle between the line of sight and the square to the face, over the distance;
    0 where the face looks away. Two motifs of one width look as wide as these compare. For a
    narrow motif: one that takes up much of the view is seen from many angles. Whether something
    stands between, another stretch of the wall too, is not looked at.
    """
    places = np.asarray(chainage, dtype=np.float64)
    on_site = space_from_wall(wall, places, 0.0)
    facing = np.vectorize(lambda at: facing_at(wall, float(at)), otypes=[np.float64])(places)
    east, north = eye[0] - on_site[..., 0], eye[1] - on_site[..., 1]
    before = east * np.sin(facing) + north * np.cos(facing)
    found: Floats = np.maximum(before, 0.0) / np.maximum(east**2 + north**2, 1e-12)
    return found


def stretches_seen(
    wall: DevelopedWall, eye: tuple[float, float]
) -> tuple[tuple[float, float], ...]:
    """Stretches of the wall whose face is turned to a place, start and end, in order. [m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    eye : (float, float)
        East and north of whoever looks. [m]

    Notes
    -----
    Exact: a round stretch shows as far as the line of sight touches it, where the cosine of the
    turn from the eye is the radius over the eye's distance from its centre. Whether something
    stands between is not looked at.
    """
    spans: list[list[float]] = []
    for k, (facing, curvature) in enumerate(
        zip(wall.facing.tolist(), wall.curvature.tolist(), strict=True)
    ):
        (start, east, north), end = wall.plan[k].tolist(), float(wall.plan[k + 1, 0])
        to_eye = (eye[0] - east, eye[1] - north)
        turned = [0.0, *_turns(to_eye, facing, curvature, end - start), end - start]
        for a, b in itertools.pairwise(turned):
            if b - a < 1e-9 or _before(to_eye, facing, curvature, (a + b) / 2) <= 0:
                continue
            if spans and start + a - spans[-1][1] < 1e-9:
                spans[-1][1] = start + b
            else:
                spans.append([start + a, start + b])
    return tuple((a, b) for a, b in spans)


def _before(to_eye: tuple[float, float], facing: float, curvature: float, along: float) -> float:
    """Distance of the eye before the face at a place along a stretch; below 0 behind it."""
    looks = facing + curvature * along
    chord = along * float(np.sinc(curvature * along / 2 / math.pi))
    heading = facing + curvature * along / 2 - math.pi / 2
    east = to_eye[0] - chord * math.sin(heading)
    north = to_eye[1] - chord * math.cos(heading)
    return east * math.sin(looks) + north * math.cos(looks)


def _turns(
    to_eye: tuple[float, float], facing: float, curvature: float, length: float
) -> list[float]:
    """Places along an arc where it turns from the eye or to it, in order. [m]"""
    if curvature == 0.0:
        return []
    radius = 1.0 / curvature
    east = to_eye[0] - radius * math.sin(facing)
    north = to_eye[1] - radius * math.cos(facing)
    distance = math.hypot(east, north)
    if distance <= abs(radius):
        return []
    half, towards = math.acos(-radius / distance), math.atan2(east, north)
    round_about = math.tau * abs(radius)
    found = []
    for looks in (towards - half, towards + half):
        along = math.remainder(looks - facing, math.tau) / curvature % round_about
        while along < length:
            found.append(along)
            along += round_about
    return sorted(found)

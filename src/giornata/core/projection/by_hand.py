"""What to turn, move or zoom at the projector, and what warping alone would cost."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from scipy.spatial.transform import Rotation

from giornata.core.foundation import Assumption, Floats
from giornata.core.projection.alignment import Alignment
from giornata.core.projection.poses import Extra, PoseMap
from giornata.core.projection.projector import Orientation
from giornata.core.projection.setups import SetUp

__all__ = ["ByHand", "WarpCost", "by_hand", "by_hand_words", "warp_cost"]

TURNED = Assumption(
    name="turn of a projector as it is set up by eye",
    value=math.radians(5.0),
    unit="rad",
    source="common practice, no source",
    usual=(math.radians(1.0), math.radians(8.0)),
)
PLACED = Assumption(
    name="place of a projector's lens beside its chalked mark",
    value=0.10,
    unit="m",
    source="common practice, no source: a tripod set down by a tape and a plumb bob",
    usual=(0.03, 0.3),
)
ZOOMED = Assumption(
    name="throw ratio beside the planned one, of its logarithm",
    value=0.03,
    unit="-",
    source="common practice, no source: set by the width of the picture on the wall",
    usual=(0.01, 0.05),
)

_SHOWN_ANGLE = math.radians(0.05)
_SHOWN_MOVE = 0.02  # m
_SHOWN_SIZE = 0.003


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand:
    """How the projector stands, less how the plan has it: what is to be taken back by hand.

    Parameters
    ----------
    pan : float
        To the right as seen from the projector. [rad]
    tilt : float
        Upwards. [rad]
    roll : float
        Clockwise as seen from the projector. [rad]
    along, up, away : float
        Of the lens: to the right along the wall, upwards, away from the wall. [m]
    size : float
        Of the picture over the planned one, from distance and zoom together. [-]
    zoom : float
        Throw ratio over the planned one; the marks tell it from the distance poorly. [-]
    """

    pan: float
    tilt: float
    roll: float
    along: float
    up: float
    away: float
    size: float
    zoom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WarpCost:
    """What is left of the picture where it is warped onto its marks.

    Parameters
    ----------
    pitch : float
        Longest side of a pixel on the wall at the worst place that is drawn. [m]
    chainage, level : float
        Of that place. [m]
    pixels_left : float
        Pixels to an area there over those of the plan. [-]
    ratio : float
        Of image to ambient light there, the lamp's own fall-off left out. [-]
    outside : float
        Length of lines that fall beyond the picture. [m]
    """

    pitch: float
    chainage: float
    level: float
    pixels_left: float
    ratio: float
    outside: float


def _upright(axes: Floats, orientation: Orientation) -> Floats:
    """Axes of a projector on its side as those of the upright picture."""
    if orientation is Orientation.ON_SIDE:
        return np.array([-axes[1], axes[0], axes[2]])
    return axes


def by_hand(found: Alignment, planned: PoseMap, set_up: SetUp) -> ByHand:
    """How the projector stands beside its plan, as the marks and the setting up tell it together.

    Parameters
    ----------
    found : Alignment
        A pose fitted to the marks.
    planned : PoseMap
        By the plan, before the same wall.
    set_up : SetUp

    Raises
    ------
    ValueError
        If the fit is not that of a pose.

    Notes
    -----
    Marks alone tell a turn from a sideways move poorly: either brings the picture back. How well a
    projector is put on its place by a tape decides between them (both as normal distributions),
    so that it is not first panned and then moved against the pan.
    """
    pose = found.on_wall
    if not isinstance(pose, PoseMap):
        raise ValueError("only a pose says how a projector stands")
    turn = pose.axes @ planned.axes.T
    zoom = math.log(pose.focal / planned.focal)
    differs = np.array([*Rotation.from_matrix(turn).as_rotvec(), *(pose.lens - planned.lens), zoom])
    known = found.covariance[:6, :6]
    if Extra.FOCAL in pose.extras:
        keep = [*range(6), 6 + list(pose.extras).index(Extra.FOCAL)]
        known = found.covariance[np.ix_(keep, keep)]
    before = np.diag([TURNED.value**2] * 3 + [PLACED.value**2] * 3 + [ZOOMED.value**2])
    size = len(known)
    # What both say together: the marks' answer, drawn to the plan where the marks do not care.
    likely = before[:size, :size] @ np.linalg.solve(before[:size, :size] + known, differs[:size])
    axes = Rotation.from_rotvec(likely[:3]).as_matrix() @ planned.axes
    own = (_upright(axes, set_up.orientation) @ _upright(planned.axes, set_up.orientation).T).T
    scale = math.exp(float(likely[6])) if size > 6 else pose.focal / planned.focal
    return ByHand(
        pan=math.atan2(float(own[0, 2]), float(own[2, 2])),
        tilt=math.asin(min(1.0, max(-1.0, -float(own[1, 2])))),
        roll=math.atan2(float(own[1, 0]), float(own[1, 1])),
        along=float(likely[3]),
        up=float(likely[4]),
        away=float(likely[5]),
        size=float((planned.lens[2] + likely[5]) / planned.lens[2]) / scale,
        zoom=scale,
    )


def by_hand_words(one: ByHand) -> tuple[str, ...]:
    """What to do at the projector, in the order of doing it: the smallest things left out.

    Parameters
    ----------
    one : ByHand
    """
    said = []
    for value, plus, minus in (
        (one.roll, "roll it {} anticlockwise", "roll it {} clockwise"),
        (one.tilt, "tilt it {} down", "tilt it {} up"),
        (one.pan, "pan it {} to the left", "pan it {} to the right"),
    ):
        if abs(value) >= _SHOWN_ANGLE:
            amount = f"{abs(math.degrees(value)):.1f} degrees"
            said.append((plus if value > 0 else minus).format(amount))
    for value, plus, minus in (
        (one.along, "move or shift it {} to the left", "move or shift it {} to the right"),
        (one.up, "lower or shift it {} down", "raise or shift it {} up"),
    ):
        if abs(value) >= _SHOWN_MOVE:
            said.append((plus if value > 0 else minus).format(f"{abs(1000 * value):.0f} mm"))
    if abs(one.size - 1) >= _SHOWN_SIZE:
        much = f"{100 * abs(one.size - 1):.1f} %"
        said.append(
            f"make the picture {much} smaller (zoom in, or move it nearer)"
            if one.size > 1
            else f"make the picture {much} larger (zoom out, or move it back)"
        )
    return tuple(said)


def warp_cost(found: Alignment, set_up: SetUp, cell: Any, lines: Floats) -> WarpCost:
    """What is left of pixels and light where a picture is warped onto its marks.

    Parameters
    ----------
    found : Alignment
        The map it is drawn by.
    set_up : SetUp
    cell : shapely.Polygon
        The part of the wall that it draws. [m]
    lines : ndarray, shape (n, 2)
        Places along the lines that it draws, evenly; none where it draws no line. [m]
    """
    places = lines
    if len(places) == 0:
        places = shapely.get_coordinates(cell)
    by_wall, _ = found.on_wall.slopes(places)
    least = np.linalg.svd(by_wall, compute_uv=False)[:, 1]
    share = np.abs(np.linalg.det(by_wall)) * set_up.pitch**2
    worst = int(np.argmin(least))
    px = found.on_wall.px_from_wall(places)
    size = np.array([set_up.columns, set_up.rows])
    beyond = ((px < 0) | (px > size)).any(axis=1)
    drawn = _length_for_each(lines)
    return WarpCost(
        pitch=float(1 / least[worst]),
        chainage=float(places[worst, 0]),
        level=float(places[worst, 1]),
        pixels_left=float(share[worst]),
        ratio=set_up.light.ratio * float(share.min()),
        outside=float(drawn[beyond].sum()) if len(lines) else 0.0,
    )


def _length_for_each(places: Floats) -> Floats:
    """About how much line each place stands for. [m]"""
    if len(places) < 2:
        return np.zeros(len(places))
    steps = np.hypot(*np.diff(places, axis=0).T)
    steps = np.where(steps > 0.11, 0.0, steps)  # from one line to the next
    made = np.zeros(len(places))
    made[:-1] += steps / 2
    made[1:] += steps / 2
    return made

"""What the survey knows of the wall inside one picture: flat, folded at a hinge, or curved."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Finding, Severity
from giornata.core.projection.planned_poses import planned_pose
from giornata.core.projection.poses import PoseMap
from giornata.core.projection.setups import SetUp
from giornata.core.survey import DevelopedWall

__all__ = ["WallShape", "wall_shape"]

_RIM = 0.05  # of the picture's width: a bend nearer to its side bends nothing that is drawn
_FLAT = 0.002  # m of rise over a picture: below what a mark is good for


@dataclass(frozen=True, slots=True, kw_only=True)
class WallShape:
    """The wall inside a picture.

    Parameters
    ----------
    hinge : float or None
        Chainage where it bends; None where it does not. [m]
    fold : float
        Turn there, towards you above 0. [rad]
    curvature : float
        One over its radius, above 0 where it bulges towards you. [1/m]
    turns : tuple of float
        Of all bends inside the picture, left to right; one of them is followed. [rad]
    """

    hinge: float | None = None
    fold: float = 0.0
    curvature: float = 0.0
    turns: tuple[float, ...] = ()

    def pose(self, set_up: SetUp) -> PoseMap:
        """Where the plan puts the projector before this wall.

        Parameters
        ----------
        set_up : SetUp
        """
        return planned_pose(set_up, hinge=self.hinge, fold=self.fold, curvature=self.curvature)


def wall_shape(wall: DevelopedWall, set_up: SetUp) -> tuple[WallShape, tuple[Finding, ...]]:
    """The wall inside a set-up's picture, and what of it no one map can follow.

    Parameters
    ----------
    wall : DevelopedWall
    set_up : SetUp

    Notes
    -----
    One hinge, or one curve over the whole picture, can be followed; of several the strongest is.
    """
    rim = _RIM * set_up.width
    inside = [bend for bend in wall.bends if set_up.start + rim < bend.at < set_up.end - rim]
    curves = []
    for arc in wall.arcs:
        reach = min(arc.end, set_up.end) - max(arc.start, set_up.start)
        rise = reach * reach / (8 * arc.radius)
        if reach > rim and rise > _FLAT:
            curves.append((rise, reach, arc))
    bend = max(inside, key=lambda one: abs(one.angle), default=None)
    curve = max(curves, key=lambda one: one[0], default=None)
    ends = max(set_up.start, 0.0), min(set_up.end, wall.length)
    partly = curve is not None and curve[1] < ends[1] - ends[0] - 2 * rim
    turns = tuple(one.angle for one in inside)
    several = len(inside) + len(curves) > 1
    findings: tuple[Finding, ...] = ()
    if several or partly:
        findings = (_not_one(set_up, len(inside), len(curves)),)
    if curve is not None and (bend is None or curve[0] > abs(bend.angle) * set_up.width / 8):
        return WallShape(curvature=-curve[2].curvature, turns=turns), findings
    if bend is not None:
        return WallShape(hinge=bend.at, fold=bend.angle, turns=turns), findings
    return WallShape(), findings


def _not_one(set_up: SetUp, bends: int, curves: int) -> Finding:
    parts = [
        f"{count} {name}{'s' if count > 1 else ''}"
        for count, name in ((bends, "bend"), (curves, "curve"))
        if count
    ]
    return Finding(
        code="projection.square_shape",
        severity=Severity.WARN,
        subject=f"set-up {set_up.number}",
        message=f"Its picture holds {' and '.join(parts)} that do not fill it; one map follows one "
        "bend, or one curve over all of the picture.",
        remedy="Mark and square each part by a set-up of its own, or trust only the part beside "
        "the strongest one.",
    )

"""Drift check: whether a projector moved since its marks were last read, and what it spoilt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from giornata.core.foundation import Assumption, Finding, Floats, Severity, readonly
from giornata.core.geometry import Coverage
from giornata.core.projection.alignment import Alignment
from giornata.core.projection.falling import cross_misses, wall_from_px
from giornata.core.projection.line_errors import lines_inside
from giornata.core.projection.nudged import (
    CrossSeen,
    Nudge,
    Similarity,
    miss_rms,
    nudged,
    odd_cross,
    similarity,
)
from giornata.core.projection.setups import SetUp
from giornata.core.projection.sightings import MarkSeen
from giornata.core.projection.wall_maps import WallMap

__all__ = ["DRIFT_LIMIT", "DriftCheck", "LineMoved", "drift_check", "drift_crosses"]

DRIFT_LIMIT = Assumption(
    name="drift of a picture that is let pass, root mean square at its marks",
    value=0.010,
    unit="m",
    source="common practice, no source: a step of 5 to 10 mm in free shapes goes unnoticed",
    usual=(0.005, 0.010),
)

_SHOWN = math.radians(0.02)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineMoved:
    """A line of the artwork whose light moved.

    Parameters
    ----------
    edge : int
        Index of the edge in the coverage. [-]
    left, right : int
        Numbers of the paints that meet there. [-]
    length : float
        Of the part that the set-up draws. [m]
    worst : float
        How far its light moved, at most. [m]
    chainage, level : float
        Where. [m]
    """

    edge: int
    left: int
    right: int
    length: float
    worst: float
    chainage: float
    level: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DriftCheck:
    """A set-up's marks beside where its picture had them before.

    Parameters
    ----------
    crosses : tuple of CrossSeen
        Each mark, and where the light that lay on it falls now.
    rms : float
        Root mean square of how far it moved; the odd cross included. [m]
    moved : Similarity or None
        The best move, turn and change of size; None below two crosses.
    nudge : Nudge or None
        How the projector turned; None where the wall is not flat or a turn does not explain it.
    odd : str or None
        The one mark that does not go with the turn of all others.
    passes : bool
        Whether the root mean square keeps the limit.
    lines : tuple of LineMoved
        Those whose light moved by more than the limit, the farthest first.
    findings : tuple of Finding
    """

    crosses: tuple[CrossSeen, ...]
    rms: float
    moved: Similarity | None
    nudge: Nudge | None
    odd: str | None
    passes: bool
    lines: tuple[LineMoved, ...]
    findings: tuple[Finding, ...]


def drift_crosses(
    before: WallMap, then: Sequence[MarkSeen], found: Alignment, now: Sequence[MarkSeen]
) -> tuple[CrossSeen, ...]:
    """Marks that are seen now, and where the light that lay on them then falls now.

    Parameters
    ----------
    before : WallMap
        By which the picture lay on the wall then.
    then : sequence of MarkSeen
        Marks as they were seen then: of these, what was read counts, not what was fitted.
    found : Alignment
        How the picture lies on the wall now.
    now : sequence of MarkSeen
    """
    places = readonly([(one.chainage, one.level) for one in now], columns=2)
    lay = np.array(before.px_from_wall(places))
    read = {one.name: (one.x_px, one.y_px) for one in then}
    for number, one in enumerate(now):
        if one.name in read:
            lay[number] = read[one.name]
    missed = cross_misses(found, now, lay)
    return tuple(
        CrossSeen(name=one.name, aimed=(x, y), seen=(x + right, y + up))
        for one, (x, y), (right, up) in zip(now, places.tolist(), missed.tolist(), strict=True)
    )


def drift_check(
    set_up: SetUp,
    before: WallMap,
    found: Alignment,
    crosses: Sequence[CrossSeen],
    coverage: Coverage,
    cell: Any,
    *,
    flat: bool,
    precision: float,
    since: str,
    limit: float = DRIFT_LIMIT.value,
) -> DriftCheck:
    """Whether a projector moved, how, and which lines are wrong that were drawn in the meantime.

    Parameters
    ----------
    set_up : SetUp
    before : WallMap
        By which the picture lay on the wall when it was last checked.
    found : Alignment
        How it lies now.
    crosses : sequence of CrossSeen
        As from `drift_crosses`; at least one.
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    cell : shapely.Polygon
        The part that the set-up draws. [m]
    flat : bool
        Whether the wall is flat there.
    precision : float
        How well a cross is read; above 0. [m]
    since : str
        When it was last checked, in words.
    limit : float
        Above 0. [m]
    """
    lens = (set_up.centre, set_up.lens_level, set_up.distance)
    rms = miss_rms(crosses)
    nudge, odd = None, None
    if flat and len(crosses) >= 2:
        if len(crosses) >= 4:
            odd = odd_cross(crosses, lens, precision)
        kept = [one for one in crosses if one.name != odd]
        nudge = nudged(kept, lens)
        if nudge.left_over > 2 * precision:
            nudge = None
    passes = rms <= limit
    lines = () if passes else _lines_moved(before, found, coverage, cell, limit)
    made = DriftCheck(
        crosses=tuple(crosses),
        rms=rms,
        moved=similarity(crosses) if len(crosses) >= 2 else None,
        nudge=nudge,
        odd=odd,
        passes=passes,
        lines=lines,
        findings=(),
    )
    findings = _findings(made, set_up, since, limit)
    return DriftCheck(
        crosses=made.crosses, rms=rms, moved=made.moved, nudge=nudge, odd=odd, passes=passes,
        lines=lines, findings=findings,
    )  # fmt: skip


def _lines_moved(
    before: WallMap, found: Alignment, coverage: Coverage, cell: Any, limit: float
) -> tuple[LineMoved, ...]:
    lines = lines_inside(coverage, cell)
    if not lines:
        return ()
    places: Floats = readonly(np.concatenate([one for _, _, one in lines]))
    fell = wall_from_px(found.on_wall, before.px_from_wall(places), places)
    moved = np.nan_to_num(np.hypot(*(fell - places).T), nan=np.inf)
    made, first = [], 0
    for index, length, here in lines:
        of_line = moved[first : first + len(here)]
        first += len(here)
        worst = int(np.argmax(of_line))
        if of_line[worst] > limit:
            made.append(
                LineMoved(
                    edge=index,
                    left=int(coverage.left[index]),
                    right=int(coverage.right[index]),
                    length=length,
                    worst=float(of_line[worst]),
                    chainage=float(here[worst, 0]),
                    level=float(here[worst, 1]),
                )
            )
    return tuple(sorted(made, key=lambda one: -one.worst))


def _findings(made: DriftCheck, set_up: SetUp, since: str, limit: float) -> tuple[Finding, ...]:
    found: list[Finding] = []
    subject = f"set-up {set_up.number}"
    if not made.passes:
        turned = "" if made.nudge is None else f" The projector {_turned(made.nudge)}."
        length = sum(line.length for line in made.lines)
        wrong = "Nothing that it draws is a line between paints."
        if made.lines:
            wrong = (
                f"Lines drawn since then are wrong: up to {len(made.lines)} of them, "
                f"{length:.1f} m."
            )
        found.append(
            Finding(
                code="projection.drifted",
                severity=Severity.WARN,
                subject=subject,
                message=f"Its picture moved by {1000 * made.rms:.1f} mm rms since {since}; the "
                f"limit is {1000 * limit:.0f} mm.{turned} {wrong}",
                remedy=_remedy(made.nudge),
            )
        )
    if made.odd is not None:
        found.append(
            Finding(
                code="projection.drift_odd_mark",
                severity=Severity.WARN,
                subject=f"{subject}, {made.odd}",
                message=f"{made.odd} does not go with the others: a turn of the projector explains "
                "all but it.",
                remedy=f"Read {made.odd} again, and look whether its chalk was touched.",
            )
        )
    return tuple(found)


def _angles(nudge: Nudge, sign: float) -> str:
    words = []
    for value, plus, minus in (
        (sign * nudge.pan, "to the right", "to the left"),
        (sign * nudge.tilt, "up", "down"),
        (sign * nudge.roll, "clockwise", "anticlockwise"),
    ):
        if abs(value) >= _SHOWN:
            words.append(f"{abs(math.degrees(value)):.2f} degrees {plus if value > 0 else minus}")
    return ", ".join(words)


def _turned(nudge: Nudge) -> str:
    said = _angles(nudge, 1.0)
    return f"turned {said}" if said else "did not turn"


def _remedy(nudge: Nudge | None) -> str:
    back = "" if nudge is None else _angles(nudge, -1.0)
    first = f"Turn it back {back}, or take" if back else "Take"
    return (
        f"{first} the picture squared on the marks as they were read now. Then look at the lines "
        "drawn since the last check and draw those named again; weight the tripod."
    )

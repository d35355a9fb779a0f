"""Squared pictures that were written: by which map, with which crosses, by which moved design."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np

from giornata.core.foundation import JobFolderError, readonly
from giornata.core.geometry import RowShift, shifted_in_rows
from giornata.core.job import JobResults
from giornata.core.projection import PoseMap, ProjectiveMap, Squared, WallMap
from giornata.desk.picture_moves import MOVED_BY_HAND
from giornata.desk.squared_frames import write_squared
from giornata.desk.squaring import KIND as SEEN
from giornata.desk.squaring import Means
from giornata.desk.verbs import events, job_path
from giornata.files.site_log import Event, SiteLog

__all__ = ["PictureMade", "moved_knots", "pictures_made", "record_picture", "write_squared_again"]

KIND = "picture squared"
"""Of the events that say by which map a squared picture was written."""
MOVED = "design moved"
"""Of the events that say by how much the design is moved in a set-up's pictures."""

_POSE = ("axes", "lens", "focal", "centre", "bend", "origin", "curvature", "fold")
_PROJECTIVE = ("matrix", "hinge", "middle", "spread", "centre", "half")
_ARRAYS = ("axes", "lens", "centre", "matrix", "middle")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PictureMade:
    """A squared picture as it was written.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    on_wall : WallMap
        The map that it was drawn by.
    crosses : mapping of str to (float, float)
        Where it has the crosses of marks, by their names. [px]
    """

    set_up: int
    on_wall: WallMap
    crosses: Mapping[str, tuple[float, float]]


def record_picture(folder: Path, made: Squared, *, at: datetime) -> Event:
    """Write down by which map a set-up's squared picture was made.

    Parameters
    ----------
    at : datetime
        When, with its time zone.

    Raises
    ------
    ValueError
        If it could not be squared.
    JobFolderError
        If the log cannot be written.
    """
    if made.on_wall is None:
        raise ValueError("only a picture that was squared has a map")
    places = readonly([(mark.chainage, mark.level) for mark in made.marks], columns=2)
    px = made.on_wall.px_from_wall(places).round(4).tolist()
    data = {
        "map": _written(made.on_wall),
        "crosses": {mark.name: xy for mark, xy in zip(made.marks, px, strict=True)},
    }
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        return log.append(KIND, str(made.set_up.number), data, at=at)


def pictures_made(folder: Path) -> dict[int, PictureMade]:
    """The last squared picture of each set-up that may still be thrown.

    Marks that are dragged or photographed afterwards, and a picture that is moved by hand, square
    it anew at the projector; marks that are typed afterwards check it, until it is written again.

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    found: dict[int, PictureMade] = {}
    for event in events(folder):
        if event.kind == KIND:
            one = _read(event)
            found[one.set_up] = one
        elif event.kind == MOVED_BY_HAND or (
            event.kind == SEEN and event.data.get("means") != Means.TYPED
        ):
            found.pop(int(event.subject) if event.subject.isdigit() else 0, None)
    return found


def moved_knots(event: Event) -> tuple[tuple[float, float, float], ...]:
    """Chainages of a moved design, each with how far it was moved right and up. [m]

    Parameters
    ----------
    event : Event
        Of that kind; an older one has no way up.
    """
    return tuple(
        (float(knot[0]), float(knot[1]), float(knot[2]) if len(knot) > 2 else 0.0)
        for knot in event.data["moved"]
    )


def write_squared_again(
    folder: Path, results: JobResults, made: Squared, *, at: datetime
) -> tuple[tuple[Path, ...], bool]:
    """Write a squared set-up's pictures, by the design as it was last moved in them; and say so.

    Parameters
    ----------
    results : JobResults
        Of the job in that folder.
    at : datetime
        When, with its time zone.

    Returns
    -------
    files : tuple of Path
    moved : bool
        Whether a closure had moved the design in this set-up's pictures.

    Raises
    ------
    ValueError
        If it could not be squared.
    JobFolderError
        If the folder or the log cannot be written.
    RenderError
        If the picture does not meet the wall.
    """
    number = made.set_up.number
    knots: tuple[tuple[float, float, float], ...] = ()
    for event in events(folder):
        if event.kind == MOVED and event.subject == str(number):
            knots = moved_knots(event)
    target = results
    if knots:
        design = results.design
        x, right, up = np.array(knots).T
        row = RowShift(top=math.inf, knots=x, shifts=right, lifts=up)
        coverage = shifted_in_rows(design.placed.coverage, [row])
        placed = replace(design.placed, coverage=coverage)
        target = replace(
            results,
            designs=tuple(
                replace(one, placed=placed) if one is design else one for one in results.designs
            ),
        )
    files = write_squared(folder, target, made)
    record_picture(folder, made, at=at)
    if knots:
        with SiteLog(job_path(folder).parent / "site.sqlite") as log:
            log.append(MOVED, str(number), {"moved": [list(one) for one in knots]}, at=at)
    return files, bool(knots)


def _written(on_wall: WallMap) -> dict[str, Any]:
    names = _POSE if isinstance(on_wall, PoseMap) else _PROJECTIVE
    values = {name: getattr(on_wall, name) for name in names}
    return {name: value.tolist() if name in _ARRAYS else value for name, value in values.items()}


def _read(event: Event) -> PictureMade:
    try:
        form: dict[str, Any] = {
            name: readonly(value) if name in _ARRAYS else value
            for name, value in event.data["map"].items()
        }
        on_wall: WallMap = PoseMap(**form) if "axes" in form else ProjectiveMap(**form)
        return PictureMade(
            set_up=int(event.subject),
            on_wall=on_wall,
            crosses={name: (float(x), float(y)) for name, (x, y) in event.data["crosses"].items()},
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        raise JobFolderError(
            f"site.sqlite: event {event.number} does not say by which map a picture was made.",
            remedy=f"Write it again: giornata square {event.subject} --frames",
        ) from None

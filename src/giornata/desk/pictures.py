"""Squared pictures that were written: by which map, with which crosses, by which moved design."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
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

__all__ = [
    "MovedDesign",
    "PictureMade",
    "cross_places",
    "designs_moved",
    "pictures_made",
    "record_picture",
    "with_design_moved",
    "write_squared_again",
]

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
    event : int
        Number of the event that says so. [-]
    live : bool
        Whether the projector's window drew it, not a file: that one follows every reading.
    """

    set_up: int
    on_wall: WallMap
    crosses: Mapping[str, tuple[float, float]]
    event: int
    live: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedDesign:
    """How a closure moved the design in one set-up's pictures.

    Parameters
    ----------
    event : int
        Number of the event that says so. [-]
    knots : tuple of (float, float, float)
        Chainages, rising, each with how far it was moved right and up. [m]
    """

    event: int
    knots: tuple[tuple[float, float, float], ...]


def cross_places(made: Squared) -> dict[str, tuple[float, float]]:
    """Where a squared set-up's picture has the crosses of its marks, by their names. [px]

    Raises
    ------
    ValueError
        If it could not be squared.
    """
    if made.on_wall is None:
        raise ValueError("only a picture that was squared has a map")
    places = readonly([(mark.chainage, mark.level) for mark in made.marks], columns=2)
    px = made.on_wall.px_from_wall(places).round(4).tolist()
    return {mark.name: (x, y) for mark, (x, y) in zip(made.marks, px, strict=True)}


def record_picture(
    folder: Path, made: Squared, *, at: datetime, live: bool = False
) -> Event | None:  # fmt: skip
    """Write down by which map a set-up's squared picture was made.

    Parameters
    ----------
    at : datetime
        When, with its time zone.
    live : bool
        Whether lines are drawn from the projector's window; what the log has already is then not
        written again, and None returned.

    Raises
    ------
    ValueError
        If it could not be squared.
    JobFolderError
        If the log cannot be written.
    """
    if made.on_wall is None:
        raise ValueError("only a picture that was squared has a map")
    data: dict[str, Any] = {
        "map": _written(made.on_wall),
        "crosses": {name: list(px) for name, px in cross_places(made).items()},
    }
    if live:
        data["live"] = True
        last = pictures_made(folder).get(made.set_up.number)
        if last is not None and any(
            event.number == last.event and event.data == data for event in events(folder)
        ):
            return None
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


def designs_moved(standing: Iterable[Event]) -> dict[int, MovedDesign]:
    """How the design is moved in pictures of set-ups: as the last closure of each says.

    Parameters
    ----------
    standing : iterable of Event
        Of the site log, less those taken back; an older one has no way up.
    """
    return {
        int(event.subject): MovedDesign(
            event=event.number,
            knots=tuple(
                (float(knot[0]), float(knot[1]), float(knot[2]) if len(knot) > 2 else 0.0)
                for knot in event.data["moved"]
            ),
        )
        for event in standing
        if event.kind == MOVED and event.subject.isdigit()
    }


def with_design_moved(results: JobResults, moved: MovedDesign | None) -> JobResults:
    """A job's results with the chosen option's design moved; the same ones where it is not."""
    if moved is None or not moved.knots:
        return results
    design = results.design
    x, right, up = np.array(moved.knots).T
    row = RowShift(top=math.inf, knots=x, shifts=right, lifts=up)
    placed = replace(design.placed, coverage=shifted_in_rows(design.placed.coverage, [row]))
    return replace(
        results,
        designs=tuple(
            replace(one, placed=placed) if one is design else one for one in results.designs
        ),
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
    moved = designs_moved(events(folder)).get(made.set_up.number)
    target = with_design_moved(results, moved)
    files = write_squared(folder, target, made)
    record_picture(folder, made, at=at)
    return files, target is not results


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
            event=event.number,
            live=bool(event.data.get("live")),
        )
    except (KeyError, TypeError, ValueError, AttributeError):
        raise JobFolderError(
            f"site.sqlite: event {event.number} does not say by which map a picture was made.",
            remedy=f"Write it again: giornata square {event.subject} --frames",
        ) from None

"""A set-up's marks seen in photos: read from files, found, drawn upon the photo, written down."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import numpy as np

from giornata.core.boards import Levels, Pattern, PlannedMark, Shots, Sighting, Tap, sighting
from giornata.core.foundation import Assumption, Finding, PhotoError, Severity, affine_applied
from giornata.core.job import JobResults
from giornata.core.projection import SetUp, frame_from_wall, wall_shape
from giornata.core.setting_out import ControlMark
from giornata.desk.squaring import MarkInPicture, Means, record_marks_seen
from giornata.files import saving
from giornata.files.photos import photo_pixels
from giornata.files.seen_picture import seen_jpeg
from giornata.files.site_log import Event

__all__ = [
    "SeenInPhoto", "photographed", "picture_of_seen", "record_photographed", "write_seen",
]  # fmt: skip

FOLD_LEAST = Assumption(
    name="least turn of a wall that counts as a fold in photos",
    value=math.radians(2),
    unit="rad",
    source="worked by hand, not measured: what the nearest saddles leave of a bend of 2 degrees is "
    "under 1 mm",
    usual=(math.radians(1), math.radians(5)),
)

_STEP = 0.001  # m: over which the change of a picture with the wall is taken

SEEN_FOLDER = "photos-seen"
"""Of the job, where photos are kept with what was found drawn upon them."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeenInPhoto:
    """A set-up's marks as photos show them.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    marks : tuple of MarkInPicture
        Those found, in the projector's picture.
    board_sigma_px : float or None
        How well a corner of the pattern was found. [px]
    means : Means
        One photo of the pattern, or the pair.
    findings : tuple of Finding
    sighting : Sighting or None
        None where a file could not be read.
    shown : Levels or None
        The photo that what was found is drawn upon.
    photo : Path
        The file of the positive.
    digest : str
        Of all the files, as they are read.
    """

    set_up: int
    marks: tuple[MarkInPicture, ...]
    board_sigma_px: float | None
    means: Means
    findings: tuple[Finding, ...]
    sighting: Sighting | None
    shown: Levels | None
    photo: Path
    digest: str

    @property
    def refused(self) -> Finding | None:
        """Why the picture cannot be squared by these photos; None where it can."""
        stops = (one for one in self.findings if one.severity is Severity.STOP)
        return next(stops, None)


def photographed(
    results: JobResults,
    one: SetUp,
    positive: Path,
    negative: Path | None = None,
    white: Path | None = None,
    taps: Sequence[Tap] = (),
) -> SeenInPhoto:
    """The marks that a set-up aims at, found in photos of its pattern and of white light.

    Parameters
    ----------
    results : JobResults
    one : SetUp
        Whose pattern was shown.
    positive : Path
        Photo of the pattern.
    negative, white : Path or None
        Photos of its negative and of plain white light.
    taps : sequence of Tap
        Marks pointed at in the photo, to start the search.

    Notes
    -----
    Reads files and writes none. A file that is no photo is a finding, like all that is wrong with
    photos.
    """
    means = Means.PHOTO if negative is None else Means.PHOTO_PAIR
    read: list[Levels | None] = []
    faults: list[Finding] = []
    for path in (positive, negative, white):
        try:
            read.append(None if path is None else photo_pixels(path))
        except PhotoError as fault:
            faults.append(_unreadable(path, fault))
            read.append(None)
    first, second, plain = read
    digest = "" if faults else _digest(positive, negative, white)
    if faults or first is None:
        return SeenInPhoto(
            set_up=one.number, marks=(), board_sigma_px=None, means=means, findings=tuple(faults),
            sighting=None, shown=None, photo=positive, digest=digest,
        )  # fmt: skip
    made = sighting(
        Shots(positive=first, negative=second, white=plain),
        Pattern(columns=one.columns, rows=one.rows, set_up=one.number),
        _planned(results, one, [mark for mark in results.marks if one.number in mark.set_ups]),
        one.pitch,
        others=[other.number for other in results.set_ups.set_ups if other.number != one.number],
        beside=[near for near in _planned(results, one, _beside(results, one)) if near.in_front],
        taps=taps,
        folds=_folds(results, one),
    )
    return SeenInPhoto(
        set_up=one.number,
        marks=tuple(
            MarkInPicture(
                name=mark.name, x_px=mark.cross.x_px, y_px=mark.cross.y_px,
                px_sigma=mark.cross.px_sigma,
            )
            for mark in made.found
        ),
        board_sigma_px=made.board_sigma_px,
        means=Means.PHOTO_PAIR if made.differenced else Means.PHOTO,
        findings=made.findings,
        sighting=made,
        shown=first if plain is None else plain,
        photo=positive,
        digest=digest,
    )  # fmt: skip


def _digest(*paths: Path | None) -> str:
    """Of the files' contents, in their order."""
    each = ["" if p is None else hashlib.sha256(p.read_bytes()).hexdigest() for p in paths]
    return hashlib.sha256(" ".join(each).encode()).hexdigest()


def _unreadable(path: Path | None, fault: PhotoError) -> Finding:
    remedy = fault.remedy
    if path is not None and not path.is_file():
        remedy = "Look at the file's name, and from which folder its path begins."
    return Finding(
        code="boards.unreadable",
        severity=Severity.STOP,
        subject="photo" if path is None else f"photo {path.name}",
        message=fault.message,
        remedy=remedy,
    )


def _folds(results: JobResults, one: SetUp) -> int:
    """Bends inside the picture over which one map would carry places wrongly. [-]"""
    shape, _ = wall_shape(results.wall, one)
    return sum(abs(turn) >= FOLD_LEAST.value for turn in shape.turns)


def _beside(results: JobResults, one: SetUp) -> list[ControlMark]:
    """Marks of other set-ups that the picture may hold if it stands beside its plan."""
    low, high = one.start - one.width, one.end + one.width
    return [
        mark
        for mark in results.marks
        if one.number not in mark.set_ups and low < mark.chainage < high
    ]


def _planned(
    results: JobResults, one: SetUp, aimed: Sequence[ControlMark]
) -> tuple[PlannedMark, ...]:
    """Marks as the plan has them in a set-up's picture, or beyond its rim."""
    places = np.array([(mark.chainage, mark.level) for mark in aimed]).reshape(-1, 2)
    shape, _ = wall_shape(results.wall, one)
    flat = shape.hinge is None and shape.curvature == 0
    px = affine_applied(frame_from_wall(one), places)
    if flat or not len(aimed):
        return tuple(
            PlannedMark(name=mark.name, x_px=x, y_px=y)
            for mark, (x, y) in zip(aimed, px.tolist(), strict=True)
        )
    pose = shape.pose(one)  # over a fold or a curve the picture does not lie evenly
    here, along, up = (
        np.column_stack([pose.px_from_wall(at), pose.relief(at)])
        for at in (places, *(places + step for step in _STEP * np.eye(2)))
    )
    return tuple(
        PlannedMark(
            name=mark.name, x_px=x, y_px=y, relief=off, along=tuple(right), up=tuple(higher)
        )
        for mark, (x, y, off), right, higher in zip(
            aimed, here.tolist(), ((along - here) / _STEP).tolist(),
            ((up - here) / _STEP).tolist(), strict=True,
        )
    )  # fmt: skip


def record_photographed(
    folder: Path, seen: SeenInPhoto, *, at: datetime, key: str | None = None
) -> Event:
    """Write the marks found into the site log; the same photos again count once.

    Parameters
    ----------
    seen : SeenInPhoto
        Not refused.
    at : datetime
        When, with its time zone.
    key : str or None
        Name of the press, so that a retry counts once.

    Raises
    ------
    ValueError
        If it was refused.
    JobFolderError
        If the log cannot be written.
    """
    if seen.refused is not None:
        raise ValueError("refused photos say nothing that could be written down")
    inside = folder.resolve() in seen.photo.resolve().parents
    name = seen.photo.resolve().relative_to(folder.resolve()).as_posix() if inside else None
    sigma = seen.board_sigma_px
    return record_marks_seen(
        folder,
        seen.set_up,
        seen.marks,
        means=seen.means,
        at=at,
        photo=name,
        board_sigma_px=None if sigma is None else round(sigma, 4),
        photo_digest=seen.digest,
        key=key,
    )


def picture_of_seen(folder: Path, set_up: int) -> Path:
    """Where the last readable photo of a set-up is kept with what was found drawn upon it."""
    return folder / SEEN_FOLDER / f"set-up-{set_up:02d}.jpg"


def write_seen(folder: Path, seen: SeenInPhoto) -> tuple[Path, ...]:
    """Write the photo with what was found drawn upon it; the file, or none without a photo.

    Raises
    ------
    JobFolderError
        If the folder is read-only or full.
    RenderError
        If the picture cannot be made.
    """
    if seen.sighting is None or seen.shown is None:
        return ()
    made = seen.sighting
    lines = [
        f"Set-up {seen.set_up}: {len(made.found)} of {len(made.found) + len(made.missed)} crosses"
    ]
    if made.board is not None:
        lines[0] += (
            f", {len(made.board.seen)} of {len(made.board.expected)} corners of the pattern, "
            f"each to {made.board.noise:.2f} px of the photo"
        )
    if seen.refused is not None:
        lines.append(f"Refused: {seen.refused.message}")
    path = picture_of_seen(folder, seen.set_up)
    content = seen_jpeg(seen.shown, made, lines)
    with saving.outside_faults(path.parent, "Making"):
        path.parent.mkdir(exist_ok=True)
    saving.replace_file(path, content)
    return (path,)

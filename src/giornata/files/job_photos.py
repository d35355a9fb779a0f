"""Tables of the job file for photos of the wall: known points, and outlines drawn on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import PurePosixPath
from typing import Any

from pydantic import field_validator

from giornata.core import photography
from giornata.core.foundation import readonly
from giornata.files.job_measures import Entry, Length, Number, faulty

__all__ = ["PHOTOS", "PhotoOutlineTable", "PhotoPointTable", "PhotoTable", "names_twice"]

PHOTOS = "photos"
"""Folder of the job's photos."""


class PhotoPointTable(Entry):
    """One known point: a place of the wall by name or by chainage and level, and its pixels."""

    name: str = ""
    place: str | None = None
    at: Length | None = None
    level: Length | None = None
    precision: Length | None = None
    x: Number
    y: Number

    def record(self) -> None:
        """Nothing by itself: a place by name needs the wall."""
        measured = (self.at, self.level)
        if (self.place is None) == (measured == (None, None)):
            raise ValueError("a known point has either a place by name, or at and level")
        if self.place is None and None in measured:
            raise ValueError("a known point without a place by name has both at and level")
        if self.precision is not None and not self.precision > 0:
            raise ValueError("the precision of a known point is above 0")

    @property
    def label(self) -> str:
        """What it is called."""
        return self.name or self.place or f"{self.at:.2f} m, {self.level:.2f} m"


class PhotoOutlineTable(Entry):
    """An outline drawn on a photo, in its pixels."""

    name: str
    kind: photography.OutlineKind
    corners: tuple[tuple[Number, Number], ...]

    def record(self) -> photography.DrawnOutline:
        """The outline."""
        return photography.DrawnOutline(
            name=self.name, kind=self.kind, corners=readonly(self.corners, columns=2)
        )


class PhotoTable(Entry):
    """``[[photos]]``."""

    file: str
    name: str = ""
    pixel_precision: Number = photography.PICKING.value
    points: tuple[PhotoPointTable, ...] = ()
    outlines: tuple[PhotoOutlineTable, ...] = ()

    @field_validator("file")
    @classmethod
    def _inside(cls, value: Any) -> Any:
        path = PurePosixPath(value)
        if path.is_absolute() or ".." in path.parts or path.parts[:1] != (PHOTOS,):
            raise faulty(
                "job.photo_outside",
                f'"{value}" does not lie in the job folder\'s {PHOTOS}/.',
                f'Copy the file there and write "{PHOTOS}/{path.name}".',
            )
        return value

    def record(self) -> None:
        """Nothing by itself: a photo needs its file and the wall."""
        if not self.pixel_precision > 0:
            raise ValueError("the precision of a pick is above 0 px")
        repeated = Counter(outline.name for outline in self.outlines).most_common(1)
        if repeated and repeated[0][1] > 1:
            raise ValueError(f'two outlines of one photo are called "{repeated[0][0]}"')

    @property
    def label(self) -> str:
        """What it is called: its name, else its file's."""
        return self.name or PurePosixPath(self.file).stem


def names_twice(photos: Iterable[PhotoTable]) -> tuple[tuple[int, str], ...]:
    """Photos that are called as one before them, by their place in the list."""
    seen: set[str] = set()
    found = []
    for index, photo in enumerate(photos):
        if photo.label in seen:
            found.append((index, photo.label))
        seen.add(photo.label)
    return tuple(found)

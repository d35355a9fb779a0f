"""Records of the page of photos: what it says, the same for its template and for JSON."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.web.records import Choice, FindingGroup, said

__all__ = [
    "ErrorMark", "MarkedPoint", "PhotoOnPage", "PhotoOutline", "PhotosPage", "WrittenCorner",
]  # fmt: skip

Pixel = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedPoint:
    """A known point as it is written, and how it fits."""

    label: str = said("What it is called.")
    name: str = said("Its own name; empty where it has none.")
    place: str = said("Place of the wall by name; empty where it is measured.")
    at: str = said("Chainage as written; empty where the place has a name.")
    level: str = said("Level as written; empty where the place has a name.")
    precision: str = said("Its own precision as written; empty for the tape's.")
    x: float = said("Pixel, from the left edge of the upright picture. [px]")
    y: float = said("Pixel, from its upper edge. [px]")
    off: Pixel | None = said("Picked less expected place; nothing where there is no scale. [px]")
    off_px: str = said("Its size in print, in pixels.")
    off_wall: str = said("Its size on the wall in print, in the small unit.")
    used: bool = said("Whether it took part in the fit.")


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenCorner:
    """A corner of an outline on the wall, in print."""

    at: str = said("Chainage.")
    level: str = said("Level.")
    error: str = said("95 of 100 lie nearer than this.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoOutline:
    """An outline drawn on a photo."""

    name: str = said("As the painter calls it.")
    kind: str = said("opening, top, ground or obstacle.")
    closed: bool = said("Whether it is an area.")
    corners: tuple[Pixel, ...] = said("In order. [px]")
    size: str = said("Width and height in print; empty where it has no place on the wall.")
    area: str = said("In print, with its deviation; empty for a line.")
    error: str = said("At its worst corner, 95 of 100.")
    on_wall: tuple[WrittenCorner, ...] = said("Its corners on the wall.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ErrorMark:
    """How well one place is known, to be written on the photo."""

    at: Pixel = said("Where it shows. [px]")
    text: str = said("95 of 100 lie nearer than this; in the small unit.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoOnPage:
    """One photo, ready to be marked."""

    name: str = said("As the painter calls it.")
    width: int = said("Of the upright picture; 0 where it cannot be read. [px]")
    height: int = said("Of the upright picture. [px]")
    picture: str = said("Address of the picture; empty where it cannot be read.")
    to_scale: str = said("Address of the rectified picture; empty where it is not to scale.")
    verdict: str = said("How far the points bear one another out.")
    facts: tuple[tuple[str, str], ...] = said("What the photo is worth: name and value.")
    hull: tuple[Pixel, ...] = said("Round the points used, where there is a scale. [px]")
    errors: tuple[ErrorMark, ...] = said("The photo's own error on a grid, picking left out.")
    points: tuple[MarkedPoint, ...] = said("In the order of the job file.")
    outlines: tuple[PhotoOutline, ...] = said("In the order of the job file.")
    findings: tuple[FindingGroup, ...] = said("Gravest first.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotosPage:
    """The page of photos."""

    job: str = said("Name of the job.")
    digest: str = said("Of the job file; a change names it.")
    photos: tuple[Choice, ...] = said("All photos of the job.")
    photo: PhotoOnPage | None = said("The one that is shown; nothing where there is none.")
    places: tuple[str, ...] = said("Places of the wall that have a name.")
    small_unit: str = said("In which errors are printed: mm or in.")
    examples: tuple[str, str] = said("How a chainage and a level may be typed.")

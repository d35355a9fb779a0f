"""Building the page of photos: a record from a job's photos, nothing read and nothing kept."""

from __future__ import annotations

import math
from urllib.parse import urlencode

from giornata.core import photography
from giornata.core.foundation import (
    INCH,
    Floats,
    System,
    finding_in_units,
    readonly,
    shown,
    shown_figure,
    shown_place,
)
from giornata.core.photography import DrawnOutline, OutlineOnWall, Rectification
from giornata.desk import PhotosView, PhotoView
from giornata.files.job_photos import PhotoPointTable
from giornata.web.page_building import fault_entries
from giornata.web.photo_records import (
    ErrorMark,
    MarkedPoint,
    PhotoOnPage,
    PhotoOutline,
    PhotosPage,
    WrittenCorner,
)
from giornata.web.records import Choice

__all__ = ["photos_page"]

_SMALL = {System.METRIC: "mm", System.US: "in"}
_EXAMPLES = {System.METRIC: ("3.20 m", "0.10 m"), System.US: ("10 ft 6 in", "4 in")}
_ERROR_STEPS = 4  # of the grid of errors, each way


def photos_page(view: PhotosView, name: str | None) -> PhotosPage:
    """The page of a job's photos, with one of them shown: that asked for, else the first.

    Parameters
    ----------
    view : PhotosView
        All photos.
    name : str or None
        The one asked for.
    """
    system = System(view.title.units)
    names = [photo.name for photo in view.photos]
    current = name if name in names else next(iter(names), None)
    shown_now = next((photo for photo in view.photos if photo.name == current), None)
    places = () if view.wall is None else photography.named_places(view.wall)
    return PhotosPage(
        job=view.title.name,
        digest=view.digest,
        photos=tuple(
            Choice(key=one, name=one, href=_address("/photos", one), current=one == current)
            for one in names
        ),
        photo=None if shown_now is None else _photo(shown_now, system),
        places=tuple(place.name for place in places),
        small_unit=_SMALL[system],
        examples=_EXAMPLES[system],
    )


def _address(path: str, name: str) -> str:
    return f"{path}?{urlencode({'photo': name})}"


def _photo(photo: PhotoView, system: System) -> PhotoOnPage:
    made, facts = photo.rectification, photo.facts
    on_wall = {one.name: one for one in (() if made is None else made.outlines)}
    return PhotoOnPage(
        name=photo.name,
        width=0 if facts is None else facts.width,
        height=0 if facts is None else facts.height,
        picture="" if facts is None else _address("/photos/picture", photo.name),
        to_scale="" if made is None else _address("/photos/to-scale", photo.name),
        verdict="not to scale" if made is None else str(made.agreement.verdict),
        facts=() if made is None else _worth(made, system),
        hull=() if made is None else _pixels(made.view.photo_from_wall(made.hull)),
        errors=() if made is None else _errors(made, system),
        points=_points(photo, made, system),
        outlines=tuple(
            _outline(table.record(), on_wall.get(table.name), system)
            for table in photo.table.outlines
        ),
        findings=fault_entries(tuple(finding_in_units(found, system) for found in photo.findings)),
    )


def _worth(made: Rectification, system: System) -> tuple[tuple[str, str], ...]:
    best, worst = made.errors.best, made.errors.worst
    lens = "taken as straight"
    if made.agreement.fit.bent:
        lens = f"bent, {100 * made.view.bend:.1f} % at the corners"
    return (
        ("Best place", _short(best.error, system)),
        ("Worst place", _short(worst.error, system)),
        ("Lengths", f"{100 * made.scale_error:.2f} %"),
        ("Lens", lens),
        (f"Taken from, by {made.stand.lens_from}", shown(made.stand.distance, "m", system)),
    )


def _errors(made: Rectification, system: System) -> tuple[ErrorMark, ...]:
    found = photography.places_inside(
        photography.error_map(made.view, made.hull, steps=_ERROR_STEPS)
    )
    shown_at = made.view.photo_from_wall(readonly([(p.chainage, p.level) for p in found]))
    return tuple(
        ErrorMark(at=at, text=_number(place.error, system))
        for at, place in zip(_pixels(shown_at), found, strict=True)
    )


def _points(
    photo: PhotoView, made: Rectification | None, system: System
) -> tuple[MarkedPoint, ...]:
    residuals = {
        (one.point.name, one.point.x, one.point.y): one
        for one in (() if made is None else made.residuals)
    }
    found = []
    for table in photo.table.points:
        residual = residuals.get((table.label, table.x, table.y))
        found.append(
            MarkedPoint(
                label=_called(table, system),
                name=table.name,
                place=table.place or "",
                at=_written(table.at),
                level=_written(table.level),
                precision=_written(table.precision),
                x=table.x,
                y=table.y,
                off=None if residual is None else (round(residual.x, 2), round(residual.y, 2)),
                off_px="" if residual is None else f"{residual.pixels:.1f}",
                off_wall="" if residual is None else _number(residual.size, system),
                used=residual is None or residual.used,
            )
        )
    return tuple(found)


def _called(table: PhotoPointTable, system: System) -> str:
    """Name of a point, or where it lies, in the reader's units."""
    if table.name or table.place or table.at is None or table.level is None:
        return table.label
    if system is System.METRIC:
        return table.label
    return f"{shown_place(float(table.at), system)}, {shown_place(float(table.level), system)}"


def _outline(
    drawn: DrawnOutline, found: OutlineOnWall | None, system: System
) -> PhotoOutline:  # fmt: skip
    size = area = error = ""
    corners: tuple[WrittenCorner, ...] = ()
    if found is not None:
        wide, high = (shown(float(f), "m", system) for f in (found.width, found.height))
        size, error = f"{wide} × {high}", _short(found.error, system)
        area = "" if found.area is None else shown_figure(found.area, system)
        corners = tuple(
            WrittenCorner(
                at=shown_place(round(float(at), 4) + 0.0, system),
                level=shown_place(round(float(level), 3) + 0.0, system),
                error=_short(float(off), system),
            )
            for (at, level), off in zip(found.corners, found.errors, strict=True)
        )
    return PhotoOutline(
        name=drawn.name,
        kind=str(drawn.kind),
        closed=drawn.kind.closed,
        corners=_pixels(drawn.corners),
        size=size,
        area=area,
        error=error,
        on_wall=corners,
    )


def _pixels(places: Floats) -> tuple[tuple[float, float], ...]:
    return tuple((round(float(x), 2), round(float(y), 2)) for x, y in places)


def _written(value: float | None) -> str:
    """A length as the job file has it; "" for none."""
    if value is None:
        return ""
    return f"{value:.4f}".rstrip("0").rstrip(".") + " m"


def _number(value: float, system: System) -> str:
    """A short length in the unit that the page's heads name, without it."""
    if not math.isfinite(value):
        return "beyond reckoning"
    return f"{value / INCH:,.2f}" if system is System.US else f"{1000 * value:,.0f}"


def _short(value: float, system: System) -> str:
    text = _number(value, system)
    return f"{text} {_SMALL[system]}" if math.isfinite(value) else text

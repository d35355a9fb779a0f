"""Photos of the wall: points with their residuals, errors, and what was drawn."""

from __future__ import annotations

from giornata.cli.report import Column, Fact, Facts, Measure, Report, Table
from giornata.core.photography import Rectification, error_map, places_inside
from giornata.desk import PhotosView, PhotoView

__all__ = ["photos_page"]

_MM = 1000.0
_STEPS = 4  # of the grid of errors, each way


def photos_page(view: PhotosView, only: str | None = None) -> Report:
    """All photos, or one: how well each is to scale, its points, its outlines."""
    photos = tuple(photo for photo in view.photos if only in (None, photo.name))
    table = Table(
        key="photos",
        title="",
        columns=(
            Column(key="name", head="photo"),
            Column(key="points", head="points"),
            Column(key="verdict", head="verdict"),
            Column(key="best_mm", head="best\n95 %", unit="mm", digits=0),
            Column(key="worst_mm", head="worst\n95 %", unit="mm", digits=0),
            Column(key="length_error", head="lengths", unit="%", digits=2),
            Column(key="distance", head="taken from", unit="m", digits=1),
        ),
        rows=tuple(_row(photo) for photo in photos),
        none="None. Add one: giornata photo --add FILE",
    )
    made = [(one.name, one.rectification) for one in photos if one.rectification is not None]
    facts = Facts(facts=tuple(_lens(photo) for photo in photos if photo.facts is not None))
    tables = (_points(made), _outlines(made), _corners(made), _errors(made))
    return Report(
        title=f"{view.title.name}: photos of the wall",
        sections=(table, *(one for one in tables if one.rows), facts),
        rooms=("photography",),
    )


def _row(photo: PhotoView) -> tuple[str | int | float | None, ...]:
    made = photo.rectification
    count = len(photo.table.points)
    if made is None:
        return (photo.name, count, "not to scale", None, None, None, None)
    return (
        photo.name,
        count,
        str(made.agreement.verdict),
        _MM * made.errors.best.error,
        _MM * made.errors.worst.error,
        100 * made.scale_error,
        made.stand.distance,
    )


def _lens(photo: PhotoView) -> Fact:
    made, facts = photo.rectification, photo.facts
    size = "" if facts is None else f"{facts.width} × {facts.height} px"
    if made is None:
        remark = ""
    elif made.agreement.fit.bent:
        remark = f"lens bent, {100 * made.view.bend:.1f} % at the corners"
    else:
        remark = "lens taken as straight"
    if made is not None:
        remark += f"; its distance by {made.stand.lens_from}"
    return Fact(key=f"size of {photo.name}", name=photo.name, value=size, remark=remark)


def _near_zero(value: float) -> float:
    """Without the sign that a rounded 0 would bear."""
    return 0.0 if abs(value) < 0.05 else value


_Made = list[tuple[str, Rectification]]
_PHOTO = Column(key="photo", head="photo")


def _points(photos: _Made) -> Table:
    return Table(
        key="points",
        title="Known points, picked less expected",
        columns=(
            _PHOTO,
            Column(key="name", head="point"),
            Column(key="at", head="at", unit="m", digits=3, taped=True),
            Column(key="level", head="level", unit="m", digits=3, taped=True),
            Column(key="right_px", head="right", unit="px", digits=1),
            Column(key="down_px", head="down", unit="px", digits=1),
            Column(key="along_mm", head="along", unit="mm", digits=1),
            Column(key="up_mm", head="up", unit="mm", digits=1),
            Column(key="left_out", head=""),
        ),
        rows=tuple(
            (
                name, one.point.name, one.point.chainage, one.point.level,
                _near_zero(one.x), _near_zero(one.y),
                _near_zero(_MM * one.chainage), _near_zero(_MM * one.level),
                "" if one.used else "left out",
            )
            for name, made in photos
            for one in made.residuals
        ),
    )  # fmt: skip


def _outlines(photos: _Made) -> Table:
    return Table(
        key="outlines",
        title="Drawn on them",
        columns=(
            _PHOTO,
            Column(key="name", head="outline"),
            Column(key="kind", head="what"),
            Column(key="width", head="width"),
            Column(key="height", head="height"),
            Column(key="area", head="area"),
            Column(key="error_mm", head="corners\n95 %", unit="mm", digits=0),
        ),
        rows=tuple(
            (
                name, one.name, str(one.kind),
                Measure(value=float(one.width), unit="m"),
                Measure(value=float(one.height), unit="m"), one.area, _MM * one.error,
            )
            for name, made in photos
            for one in made.outlines
        ),
    )  # fmt: skip


def _corners(photos: _Made) -> Table:
    return Table(
        key="corners",
        title="Their corners on the wall",
        columns=(
            _PHOTO,
            Column(key="outline", head="outline"),
            Column(key="at", head="at", unit="m", digits=3, taped=True),
            Column(key="level", head="level", unit="m", digits=3, taped=True),
            Column(key="error_mm", head="95 %", unit="mm", digits=0),
        ),
        rows=tuple(
            (name, one.name, round(float(at), 4), round(float(level), 3) + 0.0, _MM * float(error))
            for name, made in photos
            for one in made.outlines
            for (at, level), error in zip(one.corners, one.errors, strict=True)
        ),
        most=24,
    )


def _errors(photos: _Made) -> Table:
    """The photo's own error on a coarse grid over its known points, picking left out."""
    return Table(
        key="errors",
        title="How well places are known, picking left out",
        columns=(
            _PHOTO,
            Column(key="at", head="at", unit="m", digits=2, taped=True),
            Column(key="level", head="level", unit="m", digits=2, taped=True),
            Column(key="error_mm", head="95 %", unit="mm", digits=0),
        ),
        rows=tuple(
            (name, one.chainage, round(one.level, 6) + 0.0, _MM * one.error)
            for name, made in photos
            for one in places_inside(error_map(made.view, made.hull, steps=_STEPS))
        ),
        most=9,
    )

"""What the photo verb is told, read from words, and what it does."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import typer

from giornata.cli.opened import job_form
from giornata.cli.pages import photos_page
from giornata.cli.report import Fact, Facts, Report
from giornata.cli.speaking import Manner, speak
from giornata.core.foundation import Dimension, Finding, number_of, parse
from giornata.core.photography import OutlineKind
from giornata.desk import (
    KeptOutline,
    PhotosView,
    PhotoView,
    add_photo,
    draw_outlines,
    keep_outline,
    mark_points,
    photo_named,
    view_photos,
)
from giornata.desk.photo_pictures import rectified_picture, write_rectified

__all__ = ["Request", "done", "outline_of", "point_of", "stretch_of"]

_NUMBER = r"-?[0-9]+(?:\.[0-9]+)?"
_PIXEL = re.compile(rf"({_NUMBER})\s*,\s*({_NUMBER})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What was asked of the verb."""

    folder: Path
    name: str | None
    add: Path | None
    points: tuple[Mapping[str, Any], ...]
    outlines: tuple[Mapping[str, Any], ...]
    keep: str | None
    rectify: bool
    out: Path | None
    stretch: tuple[float, float, float, float] | None
    scale: float | None
    seen: str | None


def point_of(text: str) -> dict[str, Any]:
    """A known point from "PLACE @ X,Y" or "AT, LEVEL @ X,Y".

    Raises
    ------
    typer.BadParameter
        If it is spelled otherwise.
    """
    where, sign, pixel = text.rpartition("@")
    match = _PIXEL.fullmatch(pixel.strip())
    if not sign or not where.strip() or match is None:
        raise typer.BadParameter(
            f"a point is 'PLACE @ X,Y' or 'AT, LEVEL @ X,Y', not {text!r}", param_hint="--point"
        )
    place = " ".join(where.split())
    pixels = {"x": float(match[1]), "y": float(match[2])}
    at, comma, level = place.partition(",")
    if comma:
        measured = [parse(one, Dimension.LENGTH, subject="place") for one in (at, level)]
        if not any(isinstance(one, Finding) for one in measured):
            return {"at": at.strip(), "level": level.strip(), **pixels}
    return {"place": place, **pixels}


def outline_of(text: str) -> dict[str, Any]:
    """An outline from "KIND NAME @ X,Y X,Y ...".

    Raises
    ------
    typer.BadParameter
        If it is spelled otherwise.
    """
    what, sign, pixels = text.rpartition("@")
    kind, _, name = " ".join(what.split()).partition(" ")
    corners = [(float(x), float(y)) for x, y in _PIXEL.findall(pixels)]
    rest = _PIXEL.sub("", pixels).strip()
    if not sign or not name or rest or kind not in set(OutlineKind) or not corners:
        kinds = ", ".join(OutlineKind)
        raise typer.BadParameter(
            f"an outline is 'KIND NAME @ X,Y X,Y ...' with one of {kinds}, not {text!r}",
            param_hint="--outline",
        )
    return {"name": name, "kind": kind, "corners": [list(corner) for corner in corners]}


def stretch_of(text: str) -> tuple[float, float, float, float]:
    """Start, end, foot and head from four lengths with commas between. [m]

    Raises
    ------
    typer.BadParameter
        If it is spelled otherwise.
    """
    read = [parse(one, Dimension.LENGTH, subject="stretch") for one in text.split(",")]
    lengths = [one for one in read if not isinstance(one, Finding)]
    if len(read) != 4 or len(lengths) != 4:
        raise typer.BadParameter(
            f"a stretch is four lengths, '2 m, 9 m, 0 m, 3 m', not {text!r}",
            param_hint="--stretch",
        )
    start, end, foot, head = lengths
    return start, end, foot, head


def done(request: Request, manner: Manner) -> int:
    """Do what was asked, then say how the photos stand; the exit code."""
    for option, value in (("--out", request.out), ("--stretch", request.stretch),
                          ("--scale", request.scale)):  # fmt: skip
        if value is not None and not request.rectify:
            raise typer.BadParameter("goes with --rectify", param_hint=option)
    folder, seen, facts = request.folder, request.seen, []
    name = request.name
    if request.add is not None:
        before = {photo.name for photo in view_photos(folder).photos}
        seen = add_photo(folder, request.add, name=name or "", seen=seen)
        name = next(p.name for p in view_photos(folder).photos if p.name not in before)
        facts.append(Fact(key="added", name="added", value=name, whole=True))
    if request.points or request.outlines:
        photo = _chosen(view_photos(folder), name)
        name = photo.name
        if request.points:
            seen = mark_points(folder, name, _points(photo, request.points), seen=seen)
        if request.outlines:
            seen = draw_outlines(folder, name, _outlines(photo, request.outlines), seen=seen)
    if request.keep is not None:
        name = _chosen(view_photos(folder), name).name
        facts += _kept(keep_outline(folder, name, request.keep, seen=seen))
    view = view_photos(folder)
    if request.rectify:
        facts += _rectified(_chosen(view, name), request)
    elif name is not None:
        photo_named(view, name)
    report = photos_page(view, name)
    if facts:
        report = Report(
            title=report.title,
            sections=(Facts(facts=tuple(facts)), *report.sections),
            rooms=report.rooms,
        )
    return speak(
        report,
        manner=manner,
        units=view.title.units,
        folder=folder,
        job=job_form(folder, view.title),
        digest=view.digest,
        findings=tuple(f for p in view.photos if name in (None, p.name) for f in p.findings),
    )


def _chosen(view: PhotosView, name: str | None) -> PhotoView:
    """The photo meant: by its name, or the only one there is."""
    if name is None and len(view.photos) == 1:
        return view.photos[0]
    if name is None:
        known = ", ".join(photo.name for photo in view.photos) or "none yet; add one with --add"
        raise typer.BadParameter(f"say which photo: {known}", param_hint="--name")
    return photo_named(view, name)


def _points(photo: PhotoView, new: tuple[Mapping[str, Any], ...]) -> list[Mapping[str, Any]]:
    """The points it has, each new one in place of the one at the same place."""
    fresh = {_where(one): one for one in new}
    kept = [_as_written(one) for one in photo.table.points]
    return [one for one in kept if _where(one) not in fresh] + list(fresh.values())


def _where(point: Mapping[str, Any]) -> tuple[Any, ...]:
    if "place" in point:
        return (point["place"],)
    read = [parse(point[key], Dimension.LENGTH, subject=key) for key in ("at", "level")]
    return tuple(round(one, 4) for one in read if not isinstance(one, Finding))


def _as_written(point: Any) -> dict[str, Any]:
    """A point of the job file as it is written there."""
    lengths = {
        key: f"{getattr(point, key):.4f}".rstrip("0").rstrip(".") + " m"
        for key in ("at", "level", "precision")
        if getattr(point, key) is not None
    }
    texts = {key: getattr(point, key) for key in ("name", "place") if getattr(point, key)}
    return {**texts, **lengths, "x": point.x, "y": point.y}


def _outlines(photo: PhotoView, new: tuple[Mapping[str, Any], ...]) -> list[Mapping[str, Any]]:
    fresh = {one["name"]: one for one in new}
    kept = [
        {"name": one.name, "kind": str(one.kind), "corners": [list(c) for c in one.corners]}
        for one in photo.table.outlines
        if one.name not in fresh
    ]
    return [*kept, *fresh.values()]


def _kept(kept: KeptOutline) -> list[Fact]:
    said = f"{kept.kind} {kept.name}"
    remarks = [f"corners known to {1000 * kept.error:.0f} mm"]
    if kept.replaced:
        remarks.append("in place of the one that was there")
    if kept.left_out:
        remarks.append(f"{number_of(kept.left_out, 'reading')} left out beside taped ones")
    return [Fact(key="kept", name="written", value=said, remark="; ".join(remarks))]


def _rectified(photo: PhotoView, request: Request) -> list[Fact]:
    start, end, foot, head = request.stretch or (None, None, None, None)
    picture = rectified_picture(
        photo, start=start, end=end, foot=foot, head=head, scale=request.scale
    )
    target = request.out or photo.path.with_name(f"{photo.path.stem}-to-scale.png")
    write_rectified(picture, target)
    coarse = picture.scale > picture.finest
    remark = f"the photo holds {picture.finest:.0f} px/m at most" if coarse else ""
    return [
        Fact(key="picture", name="picture", value=str(target), whole=True),
        Fact(key="scale", name="scale", value=f"{picture.scale:g} px/m", remark=remark),
    ]

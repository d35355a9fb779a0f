"""Routes of the page of photos: a few lines each; what they say is built elsewhere."""

from __future__ import annotations

import tempfile
from pathlib import Path, PurePosixPath
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, UploadFile
from pydantic import BaseModel, ConfigDict, Field
from starlette.responses import RedirectResponse, Response

from giornata.core.foundation import GiornataError, StaleJobError
from giornata.desk import (
    add_photo,
    draw_outlines,
    keep_outline,
    mark_points,
    photo_named,
    view_photos,
)
from giornata.desk.photo_pictures import rectified_picture
from giornata.files.photos import shown_jpeg
from giornata.web.page_building import fault_entries
from giornata.web.photo_page import photos_page
from giornata.web.rendering import page, record_response
from giornata.web.watching import JobWatch

__all__ = ["photo_data", "photo_pages"]

photo_pages = APIRouter()
photo_data = APIRouter(prefix="/api")

LONGEST = 3000  # px of the picture on the page; places stay in the photo's own pixels
_MOST = 200_000_000  # bytes of an upload

Name = Annotated[str | None, Query(max_length=120)]
_Text = Annotated[str, Field(max_length=120)]
_Number = Annotated[float, Field(ge=-100_000, le=100_000)]


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid")

    photo: _Text
    seen: Annotated[str, Field(min_length=16, max_length=16)]


class _Point(BaseModel):
    model_config = ConfigDict(extra="forbid")

    name: _Text = ""
    place: _Text = ""
    at: _Text = ""
    level: _Text = ""
    precision: _Text = ""
    x: _Number
    y: _Number


class _Outline(BaseModel):
    model_config = ConfigDict(extra="forbid")

    name: Annotated[str, Field(min_length=1, max_length=120)]
    kind: Literal["opening", "top", "ground", "obstacle"]
    corners: Annotated[list[tuple[_Number, _Number]], Field(min_length=2, max_length=500)]


class PointsAsked(_Asked):
    """The known points that a photo is to have."""

    points: Annotated[list[_Point], Field(max_length=200)]


class OutlinesAsked(_Asked):
    """The outlines that a photo is to have."""

    outlines: Annotated[list[_Outline], Field(max_length=200)]


class KeepAsked(_Asked):
    """The outline that is to be written into the job."""

    outline: _Text


def _folder(request: Request) -> Path:
    watch: JobWatch = request.app.state.watch
    return watch.folder


def _refused(request: Request, fault: GiornataError) -> Response:
    """What could not be done, without the folder's place on this machine."""
    folder = _folder(request)

    def private(text: str) -> str:
        return text.replace(f"{folder}/", "").replace(str(folder), "the job folder")

    return record_response(
        {
            "message": private(fault.message),
            "remedy": private(fault.remedy),
            "stale": isinstance(fault, StaleJobError),
            "findings": fault_entries(fault.findings),
        },
        status=409,
    )


# ---------------------------------------------------------------- pages
@photo_pages.get("/photos")
def show_photos(request: Request, photo: Name = None) -> Response:
    """Photos of the wall: one of them to be marked, what its points say, what is drawn on it."""
    try:
        record = photos_page(view_photos(_folder(request)), photo)
    except GiornataError as fault:
        return page("faulty.html", fault=fault, groups=fault_entries(fault.findings), status=409)
    return page("photos.html", page=record)


@photo_pages.get("/photos/picture")
def give_picture(request: Request, photo: Name = None) -> Response:
    """The picture of a photo, upright, for the screen."""
    try:
        found = photo_named(view_photos(_folder(request)), photo or "")
        return Response(shown_jpeg(found.path, LONGEST), media_type="image/jpeg")
    except GiornataError as fault:
        return _refused(request, fault)


@photo_pages.get("/photos/to-scale")
def give_rectified(request: Request, photo: Name = None) -> Response:
    """The wall square on, as PNG with its scale bar and errors."""
    try:
        found = photo_named(view_photos(_folder(request)), photo or "")
        return Response(rectified_picture(found).png, media_type="image/png")
    except GiornataError as fault:
        return _refused(request, fault)


@photo_pages.post("/photos/add")
def take_photo(request: Request, file: UploadFile) -> Response:
    """Copy a photo into the job, and show it."""
    called = PurePosixPath((file.filename or "photo.jpg").replace("\\", "/")).name
    try:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / (called.lstrip(".") or "photo.jpg")
            path.write_bytes(file.file.read(_MOST + 1))
            before = {one.name for one in view_photos(_folder(request)).photos}
            add_photo(_folder(request), path)
        names = [one.name for one in view_photos(_folder(request)).photos]
    except GiornataError as fault:
        return page("refused.html", fault=fault, back="/photos", status=409)
    added = next(name for name in names if name not in before)
    return RedirectResponse(request.url_for("show_photos").include_query_params(photo=added), 303)


# ---------------------------------------------------------------- data
@photo_data.get("/photos")
def give_photos(request: Request, photo: Name = None) -> Response:
    """What the page of photos says."""
    try:
        return record_response(photos_page(view_photos(_folder(request)), photo))
    except GiornataError as fault:
        return _refused(request, fault)


@photo_data.post("/photos/points")
def set_points(request: Request, asked: PointsAsked) -> Response:
    """Set the known points of a photo; what the page then says."""
    points = [_without_blanks(one.model_dump()) for one in asked.points]
    try:
        mark_points(_folder(request), asked.photo, points, seen=asked.seen)
        return record_response(photos_page(view_photos(_folder(request)), asked.photo))
    except GiornataError as fault:
        return _refused(request, fault)


@photo_data.post("/photos/outlines")
def set_outlines(request: Request, asked: OutlinesAsked) -> Response:
    """Set what is drawn on a photo; what the page then says."""
    outlines = [one.model_dump() for one in asked.outlines]
    try:
        draw_outlines(_folder(request), asked.photo, outlines, seen=asked.seen)
        return record_response(photos_page(view_photos(_folder(request)), asked.photo))
    except GiornataError as fault:
        return _refused(request, fault)


@photo_data.post("/photos/keep")
def keep(request: Request, asked: KeepAsked) -> Response:
    """Write an outline into the job as what it is on the wall; what the page then says."""
    try:
        keep_outline(_folder(request), asked.photo, asked.outline, seen=asked.seen)
        return record_response(photos_page(view_photos(_folder(request)), asked.photo))
    except GiornataError as fault:
        return _refused(request, fault)


def _without_blanks(entry: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in entry.items() if value != ""}

"""Routes of the night: what its pages ask and do, the same by either door."""

from __future__ import annotations

import asyncio
import json
import shutil
import tempfile
from collections.abc import AsyncIterator, Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Query, Request, UploadFile
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response, StreamingResponse

from giornata.core.foundation import GiornataError, JobFolderError, StaleJobError, in_units
from giornata.desk import steering
from giornata.desk.night_photos import PhotoOf, keep_night_photo
from giornata.desk.paired import Device
from giornata.desk.steering import Shown, View
from giornata.web.night import NightDesk
from giornata.web.pairing import Pairing
from giornata.web.records import record_form
from giornata.web.rendering import record_response

__all__ = ["night_data"]

night_data = APIRouter(prefix="/api/night")

_LOOK = 2.0  # s between looks at the log, which the command line may have written to
_PING = 2  # looks between signs of life on a silent stream; pages wait for them three times over

_Text = Annotated[str, Field(max_length=120)]
_Key = Annotated[str, Field(min_length=16, max_length=64)]
_Number = Annotated[int, Field(ge=1, le=100_000)]
_Px = Annotated[float, Field(ge=-20_000, le=40_000)]
_Line = Annotated[str, Field(max_length=200)]
_Nudge = Annotated[float, Field(ge=-0.5, le=0.5, allow_inf_nan=False)]
_Metres = Annotated[float, Field(ge=-10, le=10)]


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid")


class _Press(_Asked):
    key: _Key


class Begin(_Press):
    """The projector stands for a set-up."""

    do: Literal["begin"]
    set_up: _Number


class Done(_Press):
    """A set-up is done."""

    do: Literal["done"]
    set_up: _Number


class Show(_Press):
    """Show another picture."""

    do: Literal["show"]
    set_up: _Number
    view: View
    paint: _Text = ""
    thick: bool = False
    crosses: bool = True


class FlashMark(_Press):
    """Let a mark be seen."""

    do: Literal["flash"]
    set_up: _Number
    mark: _Text


class _Laid(_Asked):
    name: _Text
    x: _Px
    y: _Px


class Lay(_Press):
    """Crosses were laid on their marks."""

    do: Literal["lay"]
    set_up: _Number
    marks: Annotated[list[_Laid], Field(min_length=1, max_length=200)]
    by: Annotated[str, Field(max_length=64)] = ""
    seq: Annotated[int, Field(ge=0)] = 0


class _Fell(_Laid):
    right: _Metres
    up: _Metres


class Fell(_Press):
    """Crosses fell beside their marks."""

    do: Literal["fell"]
    set_up: _Number
    marks: Annotated[list[_Fell], Field(min_length=1, max_length=200)]


class MovePicture(_Press):
    """Move the whole picture on the wall."""

    do: Literal["nudge"]
    set_up: _Number
    right: _Nudge
    up: _Nudge


class ByPhotos(_Press):
    """Square a set-up by the photos of it."""

    do: Literal["photos"]
    set_up: _Number


class Tick(_Press):
    """Lines are traced, or not after all."""

    do: Literal["tick"]
    set_up: _Number
    lines: Annotated[list[_Line], Field(min_length=1, max_length=2000)]
    traced: bool


class Note(_Press):
    """A note on the set-up."""

    do: Literal["note"]
    set_up: Annotated[int, Field(ge=0, le=100_000)]
    text: Annotated[str, Field(min_length=1, max_length=2000)]


class Undo(_Press):
    """Take back what was done last."""

    do: Literal["undo"]
    number: _Number


class DragAsked(_Asked):
    """A cross that is being dragged."""

    set_up: _Number
    mark: _Text
    x: _Px
    y: _Px
    by: Annotated[str, Field(max_length=64)]
    seq: Annotated[int, Field(ge=0)]


class WindowAsked(_Asked):
    """What the projector's window says of itself."""

    window: Annotated[str, Field(min_length=8, max_length=64)]
    faults: Annotated[list[Annotated[str, Field(max_length=300)]], Field(max_length=8)]


_Act = Annotated[
    Begin | Done | Show | FlashMark | Lay | Fell | MovePicture | ByPhotos | Tick | Note | Undo,
    Field(discriminator="do"),
]


def desk_of(request: Request) -> NightDesk:
    """The night that the door leads to."""
    desk: NightDesk = request.app.state.night
    return desk


def _refused(desk: NightDesk, fault: GiornataError) -> Response:
    def private(text: str) -> str:
        hidden = text.replace(f"{desk.folder}/", "").replace(str(desk.folder), "the job folder")
        return in_units(hidden, desk.system)

    record = {
        "message": private(fault.message),
        "remedy": private(fault.remedy),
        "stale": isinstance(fault, StaleJobError),
    }
    return record_response(record, status=409)


@night_data.get("")
def give_night(request: Request) -> Response:
    """Where the night stands."""
    desk = desk_of(request)
    try:
        return record_response(desk.state())
    except GiornataError as fault:
        return _refused(desk, fault)


@night_data.get("/set-up")
def give_set_up(request: Request, number: Annotated[int, Query(ge=1)]) -> Response:
    """What a set-up's pictures are drawn from."""
    desk = desk_of(request)
    try:
        return record_response(desk.drawing(number))
    except GiornataError as fault:
        return _refused(desk, fault)


@night_data.post("/act")
def act(request: Request, asked: _Act) -> Response:
    """Do something; where the night stands then."""
    desk = desk_of(request)
    try:
        _done(desk, asked)
        return record_response(desk.state())
    except GiornataError as fault:
        return _refused(desk, fault)
    finally:
        desk.hub.changed()  # where it was refused too: what was dragged stands as it did


def _done(desk: NightDesk, asked: _Act) -> None:
    folder, at, key = desk.folder, datetime.now(UTC), asked.key
    match asked:
        case Undo():
            steering.take_back(folder, asked.number, at=at, key=key)
        case Note():
            steering.write_note(folder, asked.set_up, asked.text, at=at, key=key)
        case Lay():
            desk.hub.let_go(asked.by, asked.seq)
            desk.lay(asked.set_up, [(m.name, m.x, m.y) for m in asked.marks], key)
        case Fell():
            desk.fell(asked.set_up, [(m.name, m.x, m.y, m.right, m.up) for m in asked.marks], key)
        case MovePicture():
            desk.move_picture(asked.set_up, asked.right, asked.up, key)
        case ByPhotos():
            desk.by_photos(asked.set_up, key)
        case Begin():
            desk.set_up(asked.set_up)
            steering.begin_set_up(folder, asked.set_up, at=at, key=key)
        case Done():
            desk.drawn_from(asked.set_up)
            steering.finish_set_up(folder, asked.set_up, at=at, key=key)
        case Show():
            picture = Shown(
                view=asked.view, paint=asked.paint, thick=asked.thick, crosses=asked.crosses
            )
            steering.show_picture(folder, asked.set_up, picture, at=at, key=key)
        case FlashMark():
            steering.flash_mark(folder, asked.set_up, asked.mark, at=at, key=key)
        case Tick():
            if not set(asked.lines) <= desk.known_lines(asked.set_up):
                raise JobFolderError(
                    f"Set-up {asked.set_up} draws no such line.",
                    remedy="Load the page again; the design may have changed.",
                )
            if asked.traced:
                desk.drawn_from(asked.set_up)
            steering.tick_lines(folder, asked.set_up, asked.lines, asked.traced, at=at, key=key)


@night_data.get("/pattern")
def give_pattern(
    request: Request, number: Annotated[int, Query(ge=1)], negative: bool = False
) -> Response:
    """The coded pattern of a set-up, at the projector's own pixels."""
    desk = desk_of(request)
    try:
        return Response(desk.pattern(number, negative=negative), media_type="image/png")
    except GiornataError as fault:
        return _refused(desk, fault)


@night_data.post("/photo")
def take_photo(
    request: Request,
    file: UploadFile,
    set_up: Annotated[int, Form(ge=1, le=100_000)],
    of: Annotated[PhotoOf, Form()],
    key: Annotated[str, Form(min_length=16, max_length=64)],
) -> Response:
    """Keep a photo of the wall as the set-up lights it; where the night stands then."""
    desk = desk_of(request)
    try:
        desk.set_up(set_up)
        with tempfile.TemporaryDirectory() as scratch:
            taken = Path(scratch) / "photo"
            with taken.open("wb") as sink:
                shutil.copyfileobj(file.file, sink)
            keep_night_photo(desk.folder, set_up, of, taken, at=datetime.now(UTC), key=key)
        desk.hub.changed()
        return record_response(desk.state())
    except GiornataError as fault:
        return _refused(desk, fault)


@night_data.post("/drag")
async def drag(request: Request, asked: DragAsked) -> Response:
    """Pass on where a cross is being dragged; it is written down when it is let go."""
    desk_of(request).hub.dragged(asked.model_dump())
    return Response(status_code=204)


@night_data.post("/window")
def window(request: Request, asked: WindowAsked) -> Response:
    """Note what the projector's window says of itself."""
    desk_of(request).hub.window_says(asked.window, tuple(asked.faults))
    return Response(status_code=204)


@night_data.get("/stream")
async def stream(
    request: Request, window: Annotated[str, Query(max_length=64)] = ""
) -> Response:  # fmt: skip
    """Where the night stands, again whenever it changes, until the page goes."""
    desk = desk_of(request)
    device: Device | None = request.scope.get("device")
    pairing: Pairing | None = getattr(request.app.state, "pairing", None)

    def may_stay() -> bool:
        return pairing is None or (device is not None and pairing.stands(device))

    return StreamingResponse(_told(desk, window, may_stay), media_type="text/event-stream")


async def _told(
    desk: NightDesk, window: str, may_stay: Callable[[], bool]
) -> AsyncIterator[str]:  # fmt: skip
    hub, silent = desk.hub, 0
    signature: object = None
    # Here and not before: a page that is gone before its stream begins would listen for ever.
    listener = hub.listener(window)
    try:
        yield "retry: 1000\n\n"
        while not hub.closing and may_stay():
            listener.woken.clear()
            dragged, listener.drag = listener.drag, None
            if dragged is not None:
                yield _event("drag", dragged)
            changed, listener.changed = listener.changed, False
            if changed:
                signature = await run_in_threadpool(desk.signature)
                yield _event("night", await run_in_threadpool(_state, desk))
                silent = 0
            try:
                await asyncio.wait_for(listener.woken.wait(), _LOOK)
            except TimeoutError:
                silent += 1
                # The flag may be set by others meanwhile: it is only ever set here, never put back.
                if await run_in_threadpool(desk.signature) != signature:
                    listener.changed = True
                if silent % _PING == 0:
                    yield _event("here", silent)
    finally:
        hub.leave(listener)


def _state(desk: NightDesk) -> object:
    return record_form(desk.state())


def _event(name: str, data: object) -> str:
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return f"event: {name}\ndata: {text}\n\n"

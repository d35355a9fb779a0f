"""Pages of the night: the laptop's, with its pairing, and the phone's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from giornata.core.foundation import GiornataError
from giornata.web.pairing import Pairing, qr_path
from giornata.web.records import said
from giornata.web.rendering import page

__all__ = ["Door", "laptop_pages", "phone_pages"]

laptop_pages = APIRouter()
phone_pages = APIRouter()


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """An open door to the local network."""

    pairing: Pairing = said("Who may come in.")
    addresses: tuple[str, ...] = said("http://... of the laptop, the likeliest first.")


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeShown:
    """A code on the laptop's screen."""

    code: str = said("As it may be typed.")
    address: str = said("Where it leads.")
    side: int = said("Of the QR code, in modules.")
    path: str = said("Its dark modules, as a path.")
    minutes: int = said("How long it lives.")


def _door(request: Request) -> Door | None:
    door: Door | None = request.app.state.door
    return door


@laptop_pages.get("/night")
def show_night(request: Request) -> Response:
    """The laptop's page of the night: which phones may steer it."""
    return page("laptop.html", door=_door(request), shown=None)


@laptop_pages.get("/projector")
def show_projector() -> Response:
    """The window that goes onto the projector's display."""
    return page("projector.html")


@laptop_pages.post("/night/code")
def make_code(request: Request) -> Response:
    """A new code, as a picture for the phone's camera."""
    door = _door(request)
    if door is None:
        return RedirectResponse("/night", status_code=303)
    code = door.pairing.open_code()
    address = f"{door.addresses[0]}/pair?code={code}"
    side, path = qr_path(address)
    shown = CodeShown(
        code=code, address=address, side=side, path=path, minutes=round(door.pairing.left / 60)
    )
    return page("laptop.html", door=door, shown=shown)


@laptop_pages.post("/night/close")
def close_code(request: Request) -> Response:
    """Let nobody else in."""
    door = _door(request)
    if door is not None:
        door.pairing.close_code()
    return RedirectResponse("/night", status_code=303)


@laptop_pages.post("/night/revoke")
def revoke(request: Request, number: Annotated[int, Form()]) -> Response:
    """Take a phone's pairing back."""
    door = _door(request)
    if door is not None:
        try:
            door.pairing.revoke(number)
            request.app.state.night.hub.changed()  # its stream ends
        except GiornataError as fault:
            return page("refused.html", fault=fault, back="/night", status=409)
    return RedirectResponse("/night", status_code=303)


@phone_pages.get("/")
def show_phone(request: Request) -> Response:
    """The phone's page of the night."""
    return page("phone.html", device=request.scope["device"])

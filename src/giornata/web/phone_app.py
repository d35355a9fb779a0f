"""The application behind the door to the local network: paired phones steer the night alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from fastapi import FastAPI, Form, Query, Request
from fastapi.routing import APIRouter
from fastapi.staticfiles import StaticFiles
from starlette.middleware import Middleware
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from giornata.core.foundation import GiornataError
from giornata.web.guard import PageHeaders
from giornata.web.night import NightDesk
from giornata.web.night_pages import phone_pages
from giornata.web.night_routes import night_data
from giornata.web.pairing import CODE_LIVES, Pairing, Refused
from giornata.web.phone_guard import OwnPageOnly, PairedOnly
from giornata.web.rendering import HERE, page

__all__ = ["PHOTO_PATH", "create_phone_app"]

PHOTO_PATH = "/api/night/photo"
_LARGEST = 64_000  # bytes of a request
_LARGEST_PHOTO = 64_000_000  # bytes: a phone's JPEG has 3 to 25 MB
_KEPT = 30 * 86_400  # s that a phone keeps its cookie: a job's nights
_WORDS = {
    Refused.TOO_OFTEN: (
        429,
        "Too many tries from this device.",
        f"Wait {CODE_LIVES / 60:.0f} minutes, or make a new code on the laptop then.",
    ),
    Refused.NO_CODE: (
        403,
        "No code is open, or it has been used.",
        "Make a new one on the laptop, and scan it.",
    ),
    Refused.WRONG: (
        403,
        "That is not the code.",
        "Scan it again, or type it as the laptop shows it.",
    ),
}

pair_pages = APIRouter()

_Text = Annotated[str, Form(max_length=80)]


class _Sized:
    """Requests no larger than they need to be: photos, and all else."""

    def __init__(self, app: ASGIApp) -> None:
        self._small = RequestBodyLimitMiddleware(app, max_body_size=_LARGEST)
        self._photo = RequestBodyLimitMiddleware(app, max_body_size=_LARGEST_PHOTO)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse what is too large."""
        limited = self._photo if scope.get("path") == PHOTO_PATH else self._small
        await limited(scope, receive, send)


def _unpaired() -> Response:
    return page("unpaired.html", status=403)


@pair_pages.get("/pair")
def show_pairing(
    request: Request, code: Annotated[str, Query(max_length=80)] = ""
) -> Response:  # fmt: skip
    """The page on which a phone pairs: it does so by a press, not by being looked at."""
    return page("pair.html", code=code, device=request.scope["device"], refused=None)


@pair_pages.post("/pair")
def pair(request: Request, code: _Text, name: _Text = "") -> Response:
    """Pair the phone that holds the open code."""
    pairing: Pairing = request.app.state.pairing
    address = "" if request.client is None else request.client.host
    try:
        made = pairing.pair(code, name, address)
    except GiornataError as fault:
        return page("refused.html", fault=fault, back="/pair", status=409)
    if isinstance(made, Refused):
        status, message, remedy = _WORDS[made]
        return page("pair.html", code="", device=None, refused=(message, remedy), status=status)
    answer = RedirectResponse("/", status_code=303)
    answer.set_cookie(
        request.app.state.cookie, made[1], max_age=_KEPT, httponly=True, samesite="strict"
    )
    return answer


def create_phone_app(
    night: NightDesk, pairing: Pairing, *, cookie: str, hosts: Sequence[str]
) -> FastAPI:
    """What the local network is shown of one job folder.

    Parameters
    ----------
    night : NightDesk
        The night, shared with the laptop's own pages.
    pairing : Pairing
    cookie : str
        Name of the cookie that keeps a device's token.
    hosts : sequence of str
        Addresses that the door is asked by; any other is refused.
    """
    app = FastAPI(
        title="giornata, the night",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        middleware=[
            Middleware(PageHeaders),
            Middleware(TrustedHostMiddleware, allowed_hosts=list(hosts), www_redirect=False),
            Middleware(OwnPageOnly),
            Middleware(PairedOnly, pairing=pairing, cookie=cookie, refusal=_unpaired),
            Middleware(_Sized),
            Middleware(GZipMiddleware, minimum_size=1000, compresslevel=6),
        ],
    )
    app.state.night = night
    app.state.pairing = pairing
    app.state.cookie = cookie
    app.include_router(pair_pages)
    app.include_router(phone_pages)
    app.include_router(night_data)
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    return app

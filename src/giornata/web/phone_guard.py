"""Guard of the door to the local network: only paired devices, only from their own page."""

from __future__ import annotations

from collections.abc import Callable
from http.cookies import CookieError, SimpleCookie
from urllib.parse import urlsplit

from starlette.datastructures import Headers
from starlette.responses import JSONResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from giornata.web.pairing import Pairing

__all__ = ["ByDoor", "OwnPageOnly", "PairedOnly", "cookie_of"]

_SAFE = {"GET", "HEAD"}


def cookie_of(scope: Scope, name: str) -> str:
    """A cookie that the browser sent; "" for none."""
    jar: SimpleCookie = SimpleCookie()
    try:
        jar.load(Headers(scope=scope).get("cookie", ""))
    except CookieError:
        return ""
    kept = jar.get(name)
    return "" if kept is None else kept.value


class ByDoor:
    """Who comes by the laptop's own door gets the job's pages; everyone else the phone's.

    Parameters
    ----------
    own, network : ASGI application
        Behind the laptop's own door, and behind any other.
    door : tuple of (str, int)
        Address and port of the laptop's own door.

    Notes
    -----
    The door is the socket that took the connection, which no header can change.
    """

    def __init__(self, own: ASGIApp, network: ASGIApp, *, door: tuple[str, int]) -> None:
        self._own, self._network, self._door = own, network, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer by the door."""
        by = scope.get("server") or ("", None)
        own = scope["type"] == "lifespan" or (by[0], by[1]) == self._door
        await (self._own if own else self._network)(scope, receive, send)


class OwnPageOnly:
    """What changes anything needs an Origin, and it must be the host that is asked.

    Parameters
    ----------
    app : ASGI application
        What answers.

    Notes
    -----
    On plain http a browser sends no Sec-Fetch-Site, but with every write its Origin. What sends
    none is no browser, and no phone is anything else.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse what comes from elsewhere."""
        if scope["type"] != "http":
            if scope["type"] == "websocket":
                await send({"type": "websocket.close", "code": 1008})
            return
        headers = Headers(scope=scope)
        origin, site = headers.get("origin"), headers.get("sec-fetch-site")
        own = origin is not None and urlsplit(origin).netloc == headers.get("host")
        if scope["method"] not in _SAFE and not (own and site in {None, "same-origin"}):
            refusal = JSONResponse({"detail": "This came from another page."}, status_code=403)
            await refusal(scope, receive, send)
            return
        await self.app(scope, receive, send)


class PairedOnly:
    """Only a paired device is answered; the page that pairs is open, and its style.

    Parameters
    ----------
    app : ASGI application
        What answers; it finds the device in ``scope["device"]``.
    pairing : Pairing
    cookie : str
        Name of the cookie that holds a device's token.
    refusal : callable
        Page for everyone else.
    """

    def __init__(
        self, app: ASGIApp, *, pairing: Pairing, cookie: str, refusal: Callable[[], Response]
    ) -> None:
        self.app = app
        self._pairing = pairing
        self._cookie = cookie
        self._refusal = refusal

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse who is not paired."""
        path = str(scope.get("path", ""))
        device = self._pairing.device_of(cookie_of(scope, self._cookie))
        if device is not None or path == "/pair" or path.startswith("/static/"):
            await self.app({**scope, "device": device}, receive, send)
            return
        if path.startswith("/api/"):
            refusal: Response = JSONResponse({"detail": "Not paired."}, status_code=403)
        else:
            refusal = self._refusal()
        await refusal(scope, receive, send)

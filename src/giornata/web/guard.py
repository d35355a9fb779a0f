"""Guard: who may ask what of the pages, and what a page may load."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable
from http.cookies import SimpleCookie
from urllib.parse import parse_qsl, urlencode, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["KeyHolders", "PageHeaders", "SameOriginOnly", "cookie_value"]

_SAFE = {"GET", "HEAD", "OPTIONS"}
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
_HEADERS = {
    "Content-Security-Policy": _POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",  # with "no-referrer" a form would send no Origin
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}


class PageHeaders:
    """Every answer says what its page may load: from here only, nothing written into the page.

    Parameters
    ----------
    app : ASGI application
        What answers.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, with the headers put in."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        await self.app(scope, receive, send_with_headers)


class SameOriginOnly:
    """What changes anything is taken from the pages' own origin only.

    Parameters
    ----------
    app : ASGI application
        What answers.

    Notes
    -----
    A browser says with Sec-Fetch-Site where a request comes from; an older one with Origin, which
    must then be the host it asks. A request with neither comes from no browser, so no foreign
    page can have made it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse what comes from elsewhere."""
        if scope["type"] in {"http", "websocket"} and not _own(scope):
            refusal = JSONResponse({"detail": "This came from another page."}, status_code=403)
            if scope["type"] == "websocket":
                await send({"type": "websocket.close", "code": 1008})
            else:
                await refusal(scope, receive, send)
            return
        await self.app(scope, receive, send)


def _own(scope: Scope) -> bool:
    if scope["type"] == "http" and scope["method"] in _SAFE:
        return True
    headers = Headers(scope=scope)
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in {"same-origin", "none"}
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc == headers.get("host")


def cookie_value(key: str) -> str:
    """What the browser keeps once it has shown the key; the key cannot be read from it."""
    return hashlib.blake2b(b"giornata pages", key=key.encode(), digest_size=24).hexdigest()


class KeyHolders:
    """Only a browser that opened the start address with its key sees the job.

    Parameters
    ----------
    app : ASGI application
        What answers.
    key : str
        In the start address, once.
    cookie : str
        Name of the cookie; cookies do not know ports, so each server has its own.
    refusal : callable
        Page for everyone else.
    open_to_all : str
        Path whose files need no key: style and typeface of the page that refuses.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        key: str,
        cookie: str,
        refusal: Callable[[], Response],
        open_to_all: str = "/static/",
    ) -> None:
        self.app = app
        self._key = key.encode()
        self._cookie = cookie
        self._kept = cookie_value(key)
        self._refusal = refusal
        self._open = open_to_all

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer who holds the key, take the key from a start address, refuse the rest."""
        if scope["type"] == "lifespan" or str(scope.get("path", "")).startswith(self._open):
            await self.app(scope, receive, send)
        elif scope["type"] == "websocket":
            if self._holds(scope):
                await self.app(scope, receive, send)
            else:
                await send({"type": "websocket.close", "code": 1008})
        else:
            await self._answer(scope, receive, send)

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        asked = parse_qsl(scope["query_string"].decode("ascii", "replace"))
        shown = [value for name, value in asked if name == "key"]
        if scope["method"] == "GET" and shown:
            if secrets.compare_digest(shown[0].encode(), self._key):
                rest = urlencode([pair for pair in asked if pair[0] != "key"])
                answer: Response = RedirectResponse(
                    scope["path"] + (f"?{rest}" if rest else ""), status_code=303
                )
                answer.set_cookie(self._cookie, self._kept, httponly=True, samesite="lax")
            else:
                answer = self._refusal()
        elif self._holds(scope):
            await self.app(scope, receive, send)
            return
        else:
            answer = self._refusal()
        await answer(scope, receive, send)

    def _holds(self, scope: Scope) -> bool:
        jar: SimpleCookie = SimpleCookie()
        jar.load(Headers(scope=scope).get("cookie", ""))
        kept = jar.get(self._cookie)
        return kept is not None and secrets.compare_digest(kept.value.encode(), self._kept.encode())

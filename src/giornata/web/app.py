"""The application: guards around a few routes, one watched job behind them."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware

from giornata.web.guard import KeyHolders, PageHeaders, SameOriginOnly
from giornata.web.hub import Hub
from giornata.web.night import NightDesk
from giornata.web.night_pages import Door, laptop_pages
from giornata.web.night_routes import night_data
from giornata.web.photo_routes import photo_data, photo_pages
from giornata.web.rendering import HERE, refusal_page
from giornata.web.routes import data, pages
from giornata.web.watching import JobWatch

__all__ = ["create_app"]

_HOSTS = ("127.0.0.1", "localhost")


def create_app(
    folder: Path,
    *,
    key: str,
    cookie: str = "giornata",
    hosts: Sequence[str] = _HOSTS,
    door: Door | None = None,
    hub: Hub | None = None,
) -> FastAPI:
    """The pages of one job folder.

    Parameters
    ----------
    folder : Path
        The job folder.
    key : str
        Without which nothing of the job is shown; in the start address.
    cookie : str
        Name of the cookie that remembers it; its own for each server on this machine.
    hosts : sequence of str
        Names this server is asked by; any other is refused.
    door : Door or None
        An open door to the local network, by which phones come in; None for none.
    hub : Hub or None
        Tells the pages of the night what changes; None for a new one.
    """
    watch = JobWatch(folder)
    night = NightDesk(watch, Hub() if hub is None else hub)

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        watch.look()
        yield
        night.close()
        watch.close()

    app = FastAPI(
        title="giornata",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        lifespan=life,
        middleware=[
            Middleware(PageHeaders),
            Middleware(TrustedHostMiddleware, allowed_hosts=list(hosts), www_redirect=False),
            Middleware(SameOriginOnly),
            Middleware(KeyHolders, key=key, cookie=cookie, refusal=refusal_page),
            Middleware(GZipMiddleware, minimum_size=1000, compresslevel=6),
        ],
    )
    app.state.watch = watch
    app.state.door = door
    app.state.night = night
    app.include_router(pages)
    app.include_router(data)
    app.include_router(photo_pages)
    app.include_router(photo_data)
    app.include_router(laptop_pages)
    app.include_router(night_data)
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    return app

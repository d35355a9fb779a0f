"""Serving: the pages on this machine's own address, and a door for phones where asked."""

from __future__ import annotations

import secrets
import socket
import sys
import threading
import webbrowser
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from types import FrameType

import uvicorn
from starlette.types import ASGIApp

from giornata.core.foundation import GiornataError, JobFolderError
from giornata.web.addresses import local_addresses, own_address
from giornata.web.app import create_app
from giornata.web.hub import Hub
from giornata.web.night_pages import Door
from giornata.web.pairing import Pairing
from giornata.web.phone_app import create_phone_app
from giornata.web.phone_guard import ByDoor

__all__ = ["night_app", "serve"]

_HOST = "127.0.0.1"


def serve(
    folder: Path,
    *,
    port: int = 8765,
    open_browser: bool = True,
    phone: bool = False,
    addresses: Sequence[str] = (),
) -> None:
    """Serve the pages of a job folder; returns when it is stopped.

    Parameters
    ----------
    folder : Path
        The job folder, or its job file.
    port : int
        0 takes any that is free. [-]
    open_browser : bool
        Open the start address in the browser.
    phone : bool
        Open a door to the local network, by which paired phones steer the night. Without it the
        pages are served on this machine alone.
    addresses : sequence of str
        This machine's addresses on that network; none to find them.

    Raises
    ------
    JobFolderError
        If there is no such folder.
    GiornataError
        If the port is taken, or this machine has no address on a local network.

    Notes
    -----
    Faults in the job are shown on its page, so that they can be mended while it is open.
    """
    folder = folder.parent if folder.name == "job.toml" and folder.is_file() else folder
    if not folder.is_dir():
        raise JobFolderError(
            f"{folder}: there is no such folder.",
            remedy="Name the job's folder, or begin a job with: giornata new FOLDER",
        )
    with ExitStack() as doors:
        own = doors.enter_context(_listening(_HOST, port))
        bound = own.getsockname()[1]
        named = _network(addresses) if phone else ()
        sockets = [own, *(doors.enter_context(_listening(one, bound)) for one in named)]
        key = secrets.token_urlsafe(18)
        hub = Hub()
        app = night_app(folder.resolve(), key=key, port=bound, addresses=named, hub=hub)
        address = f"http://{_HOST}:{bound}/?key={key}"
        sys.stdout.write(f"{address}\n{_opened(named, bound)}")
        sys.stdout.write("The pages stay open until you press Ctrl-C.\n")
        sys.stdout.flush()
        if open_browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            timeout_graceful_shutdown=1,
        )
        server = _Server(config, hub)
        server.run(sockets=sockets)


class _Server(uvicorn.Server):
    """Lets the pages that listen go when it is told to end; it would wait for them otherwise."""

    def __init__(self, config: uvicorn.Config, hub: Hub) -> None:
        super().__init__(config)
        self._hub = hub

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """End by a signal."""
        self._hub.close()
        super().handle_exit(sig, frame)


def night_app(
    folder: Path, *, key: str, port: int, addresses: Sequence[str], hub: Hub | None = None
) -> ASGIApp:
    """What is served: the job's pages, and where there are addresses the door for phones.

    Parameters
    ----------
    port : int
        Of every door. [-]
    addresses : sequence of str
        Of this machine on the local network; none for no door.
    hub : Hub or None
        Tells the pages what changes; None for a new one.
    """
    cookie = f"giornata_{port}"
    if not addresses:
        return create_app(folder, key=key, cookie=cookie, hub=hub)
    door = Door(
        pairing=Pairing(folder), addresses=tuple(f"http://{one}:{port}" for one in addresses)
    )
    own = create_app(folder, key=key, cookie=cookie, door=door, hub=hub)
    network = create_phone_app(
        own.state.night, door.pairing, cookie=f"{cookie}_phone", hosts=addresses
    )
    return ByDoor(own, network, door=(_HOST, port))


def _network(addresses: Sequence[str]) -> tuple[str, ...]:
    """Addresses of this machine on the local network; never one of the open internet."""
    for one in addresses:
        if not own_address(one):
            raise GiornataError(
                f"{one} is no address of a private network.",
                remedy="Name this machine's address there, as in --address 192.168.7.2; the night "
                "is not served to the internet.",
            )
    found = tuple(addresses) or local_addresses()
    if not found:
        raise GiornataError(
            "This machine is on no local network, so no phone can reach it.",
            remedy="Join one, or let this machine or the phone make one (a hotspot needs no "
            "internet); or name the address: --address 192.168.7.2",
        )
    return found


def _opened(addresses: Sequence[str], port: int) -> str:
    """What an open door lets in, in words."""
    if not addresses:
        return ""
    where = ", ".join(f"http://{one}:{port}" for one in addresses)
    return (
        f"A door is open to the local network at {where}: plain http, so who shares the network "
        "can read what a phone and this machine say to each other; use one of your own, with a "
        "password.\nOnly a phone paired by the code on the page Night is let in. It steers the "
        "projector, sees the drawing of each set-up, and writes to the site log with its photos; "
        "it cannot see prices or change the job. The page Night takes a pairing back.\n"
    )


def _listening(host: str, port: int) -> socket.socket:
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((host, port))
        door.listen()
    except OSError as fault:
        door.close()
        raise GiornataError(
            f"The pages cannot be served at {host}, port {port}: {fault.strerror or fault}.",
            remedy="Stop the other program there, or name another port (--port 8766) or another "
            "address of this machine (--address).",
        ) from fault
    return door

"""Serving: the pages on this machine's own address, until stopped."""

from __future__ import annotations

import secrets
import socket
import sys
import threading
import webbrowser
from pathlib import Path

import uvicorn

from giornata.core.foundation import GiornataError, JobFolderError
from giornata.web.app import create_app

__all__ = ["serve"]

_HOST = "127.0.0.1"


def serve(folder: Path, *, port: int = 8765, open_browser: bool = True) -> None:
    """Serve the pages of a job folder on this machine alone; returns when it is stopped.

    Parameters
    ----------
    folder : Path
        The job folder, or its job file.
    port : int
        0 takes any that is free. [-]
    open_browser : bool
        Open the start address in the browser.

    Raises
    ------
    JobFolderError
        If there is no such folder.
    GiornataError
        If the port is taken.

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
    with _listening(port) as door:
        bound = door.getsockname()[1]
        key = secrets.token_urlsafe(18)
        app = create_app(folder.resolve(), key=key, cookie=f"giornata_{bound}")
        address = f"http://{_HOST}:{bound}/?key={key}"
        sys.stdout.write(f"{address}\nThe pages stay open until you press Ctrl-C.\n")
        sys.stdout.flush()
        if open_browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        server = uvicorn.Server(
            uvicorn.Config(
                app,
                log_level="warning",
                access_log=False,
                server_header=False,
                timeout_graceful_shutdown=1,
            )
        )
        server.run(sockets=[door])


def _listening(port: int) -> socket.socket:
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((_HOST, port))
        door.listen()
    except OSError as fault:
        door.close()
        raise GiornataError(
            f"The pages cannot be served at port {port}: {fault.strerror or fault}.",
            remedy="Stop the other program there, or name another port: --port 8766",
        ) from fault
    return door

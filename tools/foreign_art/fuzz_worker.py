"""Reads one file after another in a process that can open nothing, and answers what came of each.

Standard input is a row of cases, each a line ``KIND LENGTH`` and so many bytes; standard output a
line of JSON for each: what came of it, seconds, and what Python was asked to open meanwhile.

Once a seed of each kind has been read, so that every library is loaded, all file handles are taken
and no more are given (RLIMIT_NOFILE): whatever a library would open, a file or a socket, it cannot.
"""

from __future__ import annotations

import json
import os
import resource
import socket
import sys
import time
from pathlib import Path

from giornata.files.artwork.child import read_vector
from giornata.files.artwork.inflation import CannotUnpack, unpacked
from giornata.files.artwork.kinds import Kind
from giornata.files.artwork.transfer import from_bytes, to_bytes

__all__ = ["main"]

_WATCHED = ("open", "socket.", "subprocess.", "os.exec", "os.posix_spawn", "os.system", "ctypes.")
_UNPACKED = 4 * 2**20  # bytes

asked: list[str] = []
watching = False


def _heard(event: str, arguments: tuple[object, ...]) -> None:
    if watching and event.startswith(_WATCHED):
        asked.append(f"{event} {arguments!r}"[:200])


def _read(kind: str, data: bytes) -> str:
    """Whether it was "read", "refused" or "too much"; all else that happens is an exception."""
    if kind == "OPEN":  # what a reader must never do, to see that it is seen and fails
        Path(data.decode()).read_bytes()
    if kind == "CALL":
        socket.socket()
    try:
        if kind == "SVGZ":
            data, kind = unpacked(data, _UNPACKED), "SVG"
        reading = read_vector(data, "drawing", Kind[kind])
        again = from_bytes(to_bytes(reading))
    except CannotUnpack:
        return "refused"
    except MemoryError:
        return "too much"
    if again.findings != reading.findings:
        raise ValueError("the findings do not come through")
    if reading.picture is None:
        if not reading.findings:
            raise ValueError("nothing read, nothing said")
        return "refused"
    if not all(flat.area.is_valid for flat in reading.picture.shapes):
        raise ValueError("a shape is not valid")
    return "read"


def _take_all_handles() -> None:
    _, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    highest = max(int(entry.name) for entry in Path("/proc/self/fd").iterdir())
    resource.setrlimit(resource.RLIMIT_NOFILE, (highest + 1, hard))
    try:
        while True:
            os.dup(0)
    except OSError:
        pass


def main(memory: int) -> None:
    """Answer cases until there are no more; the first ones load what is needed."""
    global watching
    resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    answer = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    source = sys.stdin.buffer
    sys.addaudithook(_heard)
    while line := source.readline():
        kind, length = line.decode("ascii").split()
        data = source.read(int(length))
        if kind == "SHUT":
            _take_all_handles()
            watching = True
            continue
        asked.clear()
        begun = time.perf_counter()
        try:
            outcome = _read(kind, data)
        except Exception as error:  # noqa: BLE001 - whatever it is, it is what is looked for
            outcome = f"{type(error).__name__}: {error}"[:300]
        seconds = time.perf_counter() - begun
        answer.write(json.dumps([outcome, seconds, asked]) + "\n")
        answer.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]))

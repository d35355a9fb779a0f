"""The process that reads a vector file, and nothing else: started, limited, watched by another.

Standard input is the file, standard output the reading. It may use so much memory and processor
time, and may write no file at all.
"""

from __future__ import annotations

import os
import sys

from giornata.files.artwork.kinds import Kind
from giornata.files.artwork.reading import Reading

__all__ = ["main", "read_vector"]

_DEEPEST_CALLS = 6_000


def read_vector(data: bytes, name: str, kind: Kind) -> Reading:
    """A vector file read in this process, without limits on time and memory.

    Parameters
    ----------
    data : bytes
        The file, not compressed.
    name : str
        File name, for findings.
    kind : Kind
        SVG or PDF.
    """
    sys.setrecursionlimit(max(sys.getrecursionlimit(), _DEEPEST_CALLS))
    if kind is Kind.PDF:
        from giornata.files.artwork.pdf import read_pdf

        return read_pdf(data, name)
    from giornata.files.artwork.svg import read_svg

    return read_svg(data, name)


def _limit(memory: int, seconds: int) -> None:
    """Limit this process, where the system can (POSIX; elsewhere only the watcher's clock)."""
    try:
        import resource
    except ImportError:  # pragma: no cover - not POSIX
        return
    for kind, value in (
        (resource.RLIMIT_AS, memory),
        (resource.RLIMIT_CPU, seconds),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        _, hard = resource.getrlimit(kind)
        soft = value if hard == resource.RLIM_INFINITY else min(value, hard)
        resource.setrlimit(kind, (soft, hard))


def main(arguments: list[str]) -> int:
    """Read standard input; arguments are name, kind, bytes of memory, seconds."""
    from giornata.files.artwork.transfer import to_bytes

    name, kind, memory, seconds = arguments
    # What libraries print must not mix with the reading.
    answer = os.dup(1)
    os.dup2(2, 1)
    _limit(int(memory), int(seconds))
    try:
        reply = to_bytes(read_vector(sys.stdin.buffer.read(), name, Kind[kind]))
    except MemoryError:
        return 3
    with os.fdopen(answer, "wb") as out:
        out.write(reply)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Unpacking compressed SVG within a limit."""

from __future__ import annotations

import zlib

__all__ = ["CannotUnpack", "unpacked"]

_GZIP = 31  # window bits that make zlib expect a gzip header


class CannotUnpack(Exception):
    """The data is damaged, cut short, or unpacks to more than is allowed."""


def unpacked(data: bytes, most: int) -> bytes:
    """Content of a gzip file of one member.

    Parameters
    ----------
    data : bytes
        The file.
    most : int
        Bytes it may unpack to. [-]

    Raises
    ------
    CannotUnpack
        If it is damaged, cut short, or unpacks to more.
    """
    inflater = zlib.decompressobj(_GZIP)
    try:
        content = inflater.decompress(data, most + 1)
    except zlib.error as error:
        raise CannotUnpack(f"It is damaged ({error}).") from error
    if len(content) > most:
        raise CannotUnpack(f"It unpacks to more than {most} bytes; that is the limit.")
    if not inflater.eof:
        raise CannotUnpack("It ends before its end: the file was cut short.")
    return content

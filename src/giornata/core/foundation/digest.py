"""Digest: one short name for equal content, the same in every process."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Mapping
from datetime import date, datetime, tzinfo
from decimal import Decimal
from enum import Enum
from typing import Any

import numpy as np
import shapely

__all__ = ["digest"]


def digest(content: Any, *, known: dict[int, bytes] | None = None) -> str:
    """Digest of a record, 32 hexadecimal digits; equal content gives equal digests.

    Parameters
    ----------
    content : record, array, geometry, text, number, date, zone, enum, mapping or sequence of these
        Mappings are read in key order, so their order of entry does not matter.
    known : dict, optional
        Records read before, by identity. A caller that shares it between calls keeps every
        content alive as long as the dict, so that no identity is used twice.

    Raises
    ------
    ValueError
        If the content holds something that has no stable form.

    Examples
    --------
    >>> digest({"b": 2, "a": 1.5}) == digest({"a": 1.5, "b": 2})
    True
    >>> digest((1,)) == digest((1.0,))
    False
    """
    sink = hashlib.blake2b(digest_size=16)
    _feed(sink, content, {} if known is None else known)
    return sink.hexdigest()


def _feed(sink: Any, content: Any, known: dict[int, bytes]) -> None:  # one arm per kind of content
    def mark(kind: str, data: bytes = b"") -> None:
        sink.update(f"{kind}:{len(data)};".encode())
        sink.update(data)

    match content:
        case None:
            mark("none")
        case Enum():
            mark("enum", f"{type(content).__qualname__}.{content.name}".encode())
        case bool():
            mark("bool", bytes([content]))
        case int():
            mark("int", str(content).encode())
        case float():
            mark("float", np.float64(content).tobytes())
        case str():
            mark("str", content.encode())
        case bytes():
            mark("bytes", content)
        case Decimal():
            mark("decimal", str(content).encode())
        case datetime() | date():
            mark("date", content.isoformat().encode())
        case tzinfo():
            mark("zone", str(content).encode())
        case shapely.Geometry():
            mark("geometry", shapely.to_wkb(content, flavor="iso"))
        case np.ndarray():
            _feed_array(mark, sink, content)
        case np.generic():
            _feed(sink, content.item(), known)
        case Mapping():
            mark("mapping", str(len(content)).encode())
            for key in sorted(content):
                _feed(sink, key, known)
                _feed(sink, content[key], known)
        case tuple() | list():
            mark("sequence", str(len(content)).encode())
            for item in content:
                _feed(sink, item, known)
        case frozenset() | set():
            _feed(sink, sorted(digest(item) for item in content), known)
        case _ if dataclasses.is_dataclass(content) and not isinstance(content, type):
            # Records share parts (a figure stands under many others): each is read once.
            if id(content) not in known:
                known[id(content)] = _record(content, known)
            mark("record", known[id(content)])
        case _:
            raise ValueError(f"{type(content).__name__} has no stable form to digest")


def _record(content: Any, known: dict[int, bytes]) -> bytes:
    sink = hashlib.blake2b(type(content).__qualname__.encode(), digest_size=16)
    for field in dataclasses.fields(content):
        sink.update(f"field:{field.name};".encode())
        _feed(sink, getattr(content, field.name), known)
    return sink.digest()


def _feed_array(mark: Any, sink: Any, array: np.ndarray[Any, Any]) -> None:
    if array.dtype == object:
        coordinates = shapely.to_wkb(array, flavor="iso") if array.size else array
        mark("geometries", str(array.shape).encode())
        for one in coordinates.ravel():
            mark("geometry", one)
        return
    mark("array", f"{array.dtype.str}{array.shape}".encode())
    sink.update(np.ascontiguousarray(array).tobytes())

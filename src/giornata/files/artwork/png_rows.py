"""Rows of a PNG file, a few at a time, however large the picture is.

Chunks and compressed data are read here. Filters that add up the pixels to the left or above are
undone by sums of whole rows; rows with the others are handed to Pillow as a small PNG of their
bytes, the row before them first.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from pathlib import Path
from typing import BinaryIO

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import PngImagePlugin

from giornata.files.artwork.processors import ahead

__all__ = ["BEST_PACKING", "PngHead", "png_head", "png_strips"]

BEST_PACKING = 1_032  # times; deflate packs no tighter: 258 bytes in 2 bits (RFC 1951, 3.2.5)
_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_STRIP_BYTES = 8_000_000  # packed bytes of rows undone at once
_AHEAD = 2  # strips inflated before they are undone
_PIECE = 65_536
_LONGEST_EXIF = 65_533  # bytes, as in JPEG (Exif 2.32, 4.7.2)
_LONGEST_BLOCK = 65_535  # bytes in a stored block (RFC 1951, 3.2.4)
_MODE = {1: "L", 2: "LA", 3: "RGB", 4: "RGBA"}  # Pillow's, by bytes in a pixel
_TYPE = {1: 0, 2: 4, 3: 2, 4: 6}  # PNG's, likewise
_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}  # by PNG's colour type
GREY, INDEXED = 0, 3
_NONE, _SUB, _UP, _AVERAGE = range(4)  # filters of a row (ISO/IEC 15948, 9.2)

Bytes = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class PngHead:
    """What a PNG says of itself before its pixels.

    Parameters
    ----------
    width, height : int
        Size. [px]
    depth : int
        Bits of a channel. [-]
    colour : int
        Colour type of ISO/IEC 15948. [-]
    laced : bool
        Whether rows come in seven passes.
    palette, clear, exif : bytes
        PLTE, tRNS and eXIf, empty where there is none.
    """

    width: int
    height: int
    depth: int
    colour: int
    laced: bool
    palette: bytes = b""
    clear: bytes = b""
    exif: bytes = b""

    @property
    def row_bytes(self) -> int:
        """Bytes of a row without its filter. [-]"""
        return (self.width * _CHANNELS[self.colour] * self.depth + 7) // 8

    @property
    def pixel_bytes(self) -> int:
        """Bytes from a pixel to the next, at least 1. [-]"""
        return max(1, _CHANNELS[self.colour] * self.depth // 8)

    @property
    def in_strips(self) -> bool:
        """Whether its rows can be read a few at a time."""
        return not self.laced and self.pixel_bytes in _MODE

    @property
    def mode(self) -> str:
        """Channels that the strips have: "L", "LA", "RGB" or "RGBA"."""
        colour = self.colour in (2, INDEXED, 6)
        opacity = self.colour in (4, 6) or bool(self.clear)
        return ("RGB" if colour else "L") + ("A" if opacity else "")


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def _head_of(body: bytes, parts: dict[bytes, bytes]) -> PngHead:
    if len(body) != 13:
        raise ValueError("its header has another length than 13")
    width, height, depth, colour, packing, filters, laced = struct.unpack(">IIBBBBB", body)
    depths = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}
    if depth not in depths.get(colour, ()) or packing or filters or laced > 1:
        raise ValueError(f"its header names colour type {colour} with {depth} bits")
    palette, clear = parts.get(b"PLTE", b""), parts.get(b"tRNS", b"")
    if colour == INDEXED and (not palette or len(palette) % 3 or len(palette) > 768):
        raise ValueError("it has no whole palette")
    if clear and (colour > INDEXED or (colour < INDEXED and len(clear) != 2 * _CHANNELS[colour])):
        raise ValueError("its clear colour does not fit its colours")
    return PngHead(
        width=width, height=height, depth=depth, colour=colour, laced=bool(laced),
        palette=palette, clear=clear, exif=parts.get(b"eXIf", b""),
    )  # fmt: skip


def _up_to_pixels(file: BinaryIO) -> tuple[PngHead, int]:
    """The head, and the length of the first chunk of pixels, whose body comes next."""
    if file.read(8) != _SIGNATURE:
        raise ValueError("it has no PNG signature")
    parts: dict[bytes, bytes] = {}
    while True:
        length, kind = struct.unpack(">I4s", _exactly(file, 8))
        if kind == b"IDAT":
            break
        if kind in (b"IHDR", b"PLTE", b"tRNS", b"eXIf") and kind not in parts:
            if length > (_LONGEST_EXIF if kind == b"eXIf" else 1_024):
                raise ValueError(f"its chunk {kind.decode('ascii')} is too long")
            parts[kind] = _exactly(file, length)
            if struct.unpack(">I", _exactly(file, 4))[0] != zlib.crc32(kind + parts[kind]):
                raise ValueError(f"its chunk {kind.decode('ascii')} is damaged")
            continue
        if kind == b"IEND":
            raise ValueError("it has no pixels")
        file.seek(length + 4, io.SEEK_CUR)
    if b"IHDR" not in parts:
        raise ValueError("it has no header")
    return _head_of(parts[b"IHDR"], parts), length


def _exactly(file: BinaryIO, count: int) -> bytes:
    data = file.read(count)
    if len(data) != count:
        raise ValueError("it is cut off")
    return data


def png_head(path: Path) -> PngHead:
    """What a PNG says of itself before its pixels.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    ValueError
        If it is damaged or cut off.
    OSError
        If it cannot be read.
    """
    with path.open("rb") as file:
        head, length = _up_to_pixels(file)
        kind = b"IDAT"
        while kind != b"IEND" and not head.exif:
            if kind == b"eXIf" and length <= _LONGEST_EXIF:
                head = replace(head, exif=_exactly(file, length))
            file.seek(length + 4, io.SEEK_CUR)
            start = file.read(8)
            if len(start) < 8:
                break
            length, kind = struct.unpack(">I4s", start)
    return head


def _packed(file: BinaryIO, length: int) -> Iterator[bytes]:
    """Compressed bytes of all chunks of pixels, the first of them ``length`` long."""
    kind = b"IDAT"
    while kind == b"IDAT":
        check = zlib.crc32(kind)
        while length:
            piece = _exactly(file, min(length, _PIECE))
            length -= len(piece)
            check = zlib.crc32(piece, check)
            yield piece
        if struct.unpack(">I", _exactly(file, 4))[0] != check:
            raise ValueError("a chunk of its pixels is damaged")
        length, kind = struct.unpack(">I4s", _exactly(file, 8))


def _filtered(file: BinaryIO, length: int, head: PngHead) -> Iterator[bytes]:
    """Whole rows, each with its filter in front, some megabytes at a time."""
    inflater = zlib.decompressobj()
    packed = _packed(file, length)
    row = head.row_bytes + 1
    left = head.height
    tail = b""
    while left:
        rows = min(left, max(1, _STRIP_BYTES // row))
        wanted, parts = rows * row, []
        while wanted:
            if not tail:
                tail = next(packed, b"")
                if not tail or inflater.eof:
                    raise ValueError("its pixels are cut off")
            part = inflater.decompress(tail, wanted)
            tail = inflater.unconsumed_tail
            wanted -= len(part)
            parts.append(part)
        left -= rows
        yield b"".join(parts)


def _stored(*parts: bytes) -> list[bytes | memoryview]:
    """Bytes as a deflate stream that packs nothing; left open, so that none is checked."""
    blocks: list[bytes | memoryview] = [b"\x78\x01"]
    for part in parts:
        view = memoryview(part)
        for start in range(0, len(part), _LONGEST_BLOCK):
            block = view[start : start + _LONGEST_BLOCK]
            blocks += [struct.pack("<BHH", 0, len(block), len(block) ^ 0xFFFF), block]
    return blocks


def _undone(data: bytes, before: Bytes, head: PngHead) -> Bytes:
    """Rows without their filters, as bytes, shape (n, row bytes)."""
    filtered = np.frombuffer(data, np.uint8).reshape(-1, head.row_bytes + 1)
    rows = np.empty((len(filtered), head.row_bytes), np.uint8)
    at = 0
    for kind, group in groupby(np.minimum(filtered[:, 0], _AVERAGE).tolist()):
        end = at + len(list(group))
        part, out = filtered[at:end, 1:], rows[at:end]
        above = rows[at - 1] if at else before
        if kind == _NONE:
            out[:] = part
        elif kind == _SUB:
            pixels = (end - at, -1, head.pixel_bytes)
            np.add.accumulate(part.reshape(pixels), axis=1, dtype=np.uint8, out=out.reshape(pixels))
        elif kind == _UP:
            for one, row in zip(part, out, strict=True):
                above = np.add(one, above, out=row)
        else:
            out[:] = _undone_by_pillow(filtered[at:end].tobytes(), above.tobytes(), head)
        at = end
    return rows


def _undone_by_pillow(data: bytes, before: bytes, head: PngHead) -> Bytes:
    """The same of rows with any filter."""
    size = head.pixel_bytes
    width = head.row_bytes // size
    rows = len(data) // (head.row_bytes + 1)
    header = struct.pack(">IIBBBBB", width, rows + 1, 8, _TYPE[size], 0, 0, 0)
    body = _stored(b"\0" + before, data)
    picture = b"".join(
        (
            _SIGNATURE,
            _chunk(b"IHDR", header),
            struct.pack(">I", sum(map(len, body))) + b"IDAT",
            *body,
            b"\0\0\0\0",  # Pillow does not check it
            _chunk(b"IEND", b""),
        )
    )
    with PngImagePlugin.PngImageFile(io.BytesIO(picture)) as image:
        mode = _MODE[size]
        plain = np.frombuffer(image.tobytes("raw", "RGBX" if mode == "RGB" else mode), np.uint8)
    if mode == "RGB":  # four bytes a pixel, as Pillow holds them, are got at much quicker
        wide = plain.reshape(rows + 1, width, 4)
        plain = np.asarray(cv2.cvtColor(wide, cv2.COLOR_RGBA2RGB), dtype=np.uint8)
    return plain.reshape(rows + 1, -1)[1:]


def _eight_bits(samples: Bytes, head: PngHead) -> Bytes:
    """Samples of one channel each in eight bits, shape (n, w × channels)."""
    count = head.width * _CHANNELS[head.colour]
    if head.depth == 16:
        wide = samples.reshape(len(samples), count, 2)
        level = wide[..., 0].astype(np.uint32) * 256 + wide[..., 1]
        return ((level * 255 + 32_767) // 65_535).astype(np.uint8)
    if head.depth == 8:
        return samples
    bits = np.unpackbits(samples, axis=1).reshape(len(samples), -1, head.depth)
    weights = (1 << np.arange(head.depth)[::-1]).astype(np.uint8)
    found = (bits @ weights)[:, :count].astype(np.uint8)
    return found if head.colour == INDEXED else found * np.uint8(255 // (2**head.depth - 1))


def _clear_places(samples: Bytes, head: PngHead) -> NDArray[np.bool_]:
    """Pixels of the one colour that is clear, told by all its bits."""
    channels = _CHANNELS[head.colour]
    key = np.frombuffer(head.clear, ">u2")
    if head.depth == 16:
        wide = np.ascontiguousarray(samples).view(">u2").reshape(len(samples), -1, channels)
        return np.asarray((wide == key).all(axis=2))
    level = key.astype(np.uint32) & (2**head.depth - 1)
    if head.colour == GREY:
        level = level * (255 // (2**head.depth - 1))
    plain = _eight_bits(samples, head).reshape(len(samples), -1, channels)
    return np.asarray((plain == level).all(axis=2))


def _coloured(samples: Bytes, head: PngHead) -> Bytes:
    """Rows as pixels of ``head.mode``."""
    plain = _eight_bits(samples, head)
    if head.colour == INDEXED:
        table = np.zeros((256, 4 if head.clear else 3), np.uint8)
        known = np.frombuffer(head.palette, np.uint8).reshape(-1, 3)
        table[: len(known), :3] = known
        if head.clear:
            table[:, 3] = 255
            opacity = np.frombuffer(head.clear[:256], np.uint8)
            table[: len(opacity), 3] = opacity
        if int(plain.max(initial=0)) >= len(known):
            raise ValueError("a pixel has a colour that its palette does not hold")
        return np.asarray(table[plain])
    pixels = plain.reshape(len(plain), head.width, -1)
    if not head.clear:
        return pixels
    opacity = np.where(_clear_places(samples, head), 0, 255).astype(np.uint8)
    return np.concatenate([pixels, opacity[..., None]], axis=2)


def png_strips(path: Path) -> Iterator[Bytes]:
    """Strips of some rows each, from the top, shape (rows, width, channels of ``head.mode``).

    Parameters
    ----------
    path : Path
        A file whose ``png_head(path).in_strips`` is true.

    Raises
    ------
    ValueError, OSError, zlib.error
        If it is damaged or cut off.
    """
    with path.open("rb") as file:
        head, length = _up_to_pixels(file)
        before = np.zeros(head.row_bytes, np.uint8)
        for data in ahead(_filtered(file, length, head), _AHEAD):
            samples = _undone(data, before, head)
            before = samples[-1].copy()
            yield _coloured(samples, head)

"""Rows of PNG files a few at a time: every colour type, depth and filter, and damaged files.

The files are written here by ISO/IEC 15948 (9.2: the five filters; 7.2: how samples are packed), so
that the samples are known by construction.
"""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from giornata.files.artwork import png_rows
from giornata.files.artwork.kept_rows import KeptRows
from giornata.files.artwork.png_rows import png_head, png_strips
from giornata.files.artwork.processors import ahead

CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
IN_STRIPS = [(0, 1), (0, 2), (0, 4), (0, 8), (0, 16), (2, 8), (3, 1), (3, 2), (3, 4), (3, 8),
             (4, 8), (4, 16), (6, 8)]  # fmt: skip


def chunk(kind: bytes, body: bytes) -> bytes:
    check = struct.pack(">I", zlib.crc32(kind + body))
    return struct.pack(">I", len(body)) + kind + body + check


def packed(samples: NDArray[np.uint16], depth: int) -> NDArray[np.uint8]:
    """Samples of each row, shape (h, n), as bytes."""
    if depth == 16:
        return samples.astype(">u2").view(np.uint8).reshape(len(samples), -1)
    bits = (samples[..., None] >> np.arange(depth)[::-1]) & 1
    return np.packbits(bits.reshape(len(samples), -1).astype(np.uint8), axis=1)


def paeth(a: int, b: int, c: int) -> int:
    """9.4: of left, above and above left the one nearest to left + above - above left."""
    p = a + b - c
    return min((abs(p - a), 0, a), (abs(p - b), 1, b), (abs(p - c), 2, c))[2]


def filtered(rows: NDArray[np.uint8], size: int, kinds: list[int]) -> bytes:
    """Rows with the filter of each in front."""
    out = bytearray()
    before = [0] * rows.shape[1]
    for row, kind in zip(rows.tolist(), kinds, strict=True):
        out.append(kind)
        for x, value in enumerate(row):
            a = row[x - size] if x >= size else 0
            c = before[x - size] if x >= size else 0
            guess = (0, a, before[x], (a + before[x]) // 2, paeth(a, before[x], c))[kind]
            out.append((value - guess) % 256)
        before = row
    return bytes(out)


def png(
    samples: NDArray[np.uint16], colour: int, depth: int, extra: bytes = b"", *, seed: int = 1
) -> bytes:
    """A PNG of samples, shape (h, w, channels), with filters at random and IDAT in pieces."""
    height, width, channels = samples.shape
    rows = packed(samples.reshape(height, -1), depth)
    kinds = np.random.default_rng(seed).integers(0, 5, height).tolist()
    data = zlib.compress(filtered(rows, max(1, channels * depth // 8), kinds))
    pieces = [data[at : at + 97] for at in range(0, len(data), 97)]
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)),
            extra,
            *(chunk(b"IDAT", piece) for piece in pieces),
            chunk(b"IEND", b""),
        )
    )


def drawn(colour: int, depth: int, height: int = 23, width: int = 37) -> NDArray[np.uint16]:
    """Blocks of flat colour with noise in between."""
    rng = np.random.default_rng(depth + 10 * colour)
    shape = (height, width, CHANNELS[colour])
    samples = rng.integers(0, 2**depth, shape, dtype=np.uint16)
    samples[3:9, 4:30] = samples[0, 0]
    samples[12:20, :17] = samples[1, 1]
    return samples


def read(path: Path) -> NDArray[np.uint8]:
    return np.concatenate(list(png_strips(path)))


def to_eight(samples: NDArray[np.uint16], depth: int) -> NDArray[np.uint8]:
    """13.12: level × 255 / (2 ** depth - 1), rounded."""
    return np.rint(samples.astype(float) * 255 / (2**depth - 1)).astype(np.uint8)


@pytest.mark.parametrize(("colour", "depth"), IN_STRIPS)
def test_each_colour_type_and_depth(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, colour: int, depth: int
) -> None:
    samples = drawn(colour, depth)
    path = tmp_path / "a.png"
    table = np.random.default_rng(7).integers(0, 256, (2**depth, 3), dtype=np.uint8)
    palette = chunk(b"PLTE", table.tobytes()) if colour == 3 else b""
    path.write_bytes(png(samples, colour, depth, palette))
    head = png_head(path)
    assert head.in_strips
    assert head.mode == {0: "L", 2: "RGB", 3: "RGB", 4: "LA", 6: "RGBA"}[colour]
    expected = table[samples[..., 0]] if colour == 3 else to_eight(samples, depth)
    for strip_bytes in (1, 400, 10**6):  # one row at a time, some, all
        monkeypatch.setattr(png_rows, "_STRIP_BYTES", strip_bytes)
        assert np.array_equal(read(path), expected)
    if depth < 16:  # Pillow takes sixteen bits otherwise
        with Image.open(path) as image:
            assert np.array_equal(np.asarray(image.convert(head.mode)), np.squeeze(expected))


@pytest.mark.parametrize(("colour", "depth"), [(0, 2), (0, 8), (0, 16), (2, 8), (3, 4)])
def test_a_clear_colour_becomes_opacity(tmp_path: Path, colour: int, depth: int) -> None:
    samples = drawn(colour, depth)
    path = tmp_path / "a.png"
    if colour == 3:
        table = np.arange(48, dtype=np.uint8).reshape(16, 3)
        opacity = np.array([0, 128, 255, 7], np.uint8)
        extra = chunk(b"PLTE", table.tobytes()) + chunk(b"tRNS", opacity.tobytes())
        own = samples[..., 0]
        expected = np.where(own < 4, opacity[np.minimum(own, 3)], 255)
    else:
        key = samples[5, 10]
        extra = chunk(b"tRNS", key.astype(">u2").tobytes())
        expected = np.where((samples == key).all(axis=2), 0, 255)
    path.write_bytes(png(samples, colour, depth, extra))
    assert png_head(path).mode.endswith("A")
    assert np.array_equal(read(path)[..., -1], expected)


@pytest.mark.parametrize(("colour", "depth"), [(2, 16), (6, 16)])
def test_wide_colour_is_left_to_the_library(tmp_path: Path, colour: int, depth: int) -> None:
    path = tmp_path / "a.png"
    path.write_bytes(png(drawn(colour, depth), colour, depth))
    assert not png_head(path).in_strips


def test_a_filter_that_does_not_exist_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    whole = png(drawn(2, 8), 2, 8)
    rows = b"".join(bytes([kind]) + bytes(3 * 37) for kind in [1, 2, 7] + 20 * [0])
    at = whole.index(b"IDAT") - 4
    data = chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    path.write_bytes(whole[:at] + data)
    with pytest.raises(OSError, match="unrecognized data"):
        read(path)


def test_each_kind_of_damage_is_told(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    whole = png(drawn(2, 8), 2, 8)
    at = whole.index(b"IDAT")
    flipped = bytearray(whole)
    flipped[at + 4 + 97] ^= 1  # the check of the first 97 bytes
    index = np.full((4, 4, 1), 3, np.uint16)
    cases = {
        "damaged": bytes(flipped),
        "cut off": whole[: len(whole) // 2],
        "no pixels": whole[: at - 4] + chunk(b"IEND", b""),
        "no header": whole[:8] + whole[33:],
        "too long": whole[:33] + chunk(b"PLTE", bytes(3_000)) + whole[33:],
        "bits": whole[:8] + chunk(b"IHDR", struct.pack(">IIBBBBB", 5, 5, 3, 2, 0, 0, 0)),
        "whole palette": png(index, 3, 8),
        "does not hold": png(index, 3, 8, chunk(b"PLTE", bytes(9))),
        "does not fit": png(drawn(6, 8), 6, 8, chunk(b"tRNS", bytes(2))),
    }
    for said, content in cases.items():
        if said == "bits":
            content += whole[33:]
        path.write_bytes(content)
        with pytest.raises(ValueError, match=said):
            read(path)


def test_pixels_are_decoded_once_where_they_are_flat() -> None:
    noise = np.random.default_rng(2).integers(0, 256, (40, 50, 3)).astype(np.uint8)
    flat = np.repeat(noise[:4, :5], 10, axis=0).repeat(10, axis=1)
    for picture, times in ((flat, 1), (noise, 3), (flat[..., :1], 1), (flat[..., :2], 1)):
        begun = []

        def strips(picture: NDArray[np.uint8] = picture, begun: list[int] = begun):  # type: ignore[no-untyped-def]
            begun.append(1)
            yield from np.split(picture, [7, 8, 30])

        again = KeptRows(strips, most=8 * 400).strips
        for _ in range(3):
            assert np.array_equal(np.concatenate(list(again())), picture)
        assert len(begun) == times


def test_a_first_look_that_was_broken_off_is_not_kept() -> None:
    picture = np.zeros((9, 9, 3), np.uint8)
    again = KeptRows(lambda: iter(np.split(picture, 3))).strips
    next(again())
    assert len(np.concatenate(list(again()))) == 9
    assert len(np.concatenate(list(again()))) == 9


@pytest.mark.parametrize("channels", [1, 2, 3, 4])
def test_any_part_of_a_picture_that_is_kept_can_be_had(channels: int) -> None:
    rng = np.random.default_rng(5)
    blocks = rng.integers(0, 3, (9, 11, channels)).astype(np.uint8)
    picture = blocks.repeat(5, axis=0).repeat(7, axis=1)
    kept = KeptRows(lambda: iter(np.split(picture, [1, 8, 30])))
    assert kept.held() is None  # not gone through yet
    for _ in kept.strips():
        pass
    part_of = kept.held()
    assert part_of is not None
    for _ in range(60):
        top, left = int(rng.integers(0, 45)), int(rng.integers(0, 77))
        end, right = int(rng.integers(top + 1, 46)), int(rng.integers(left + 1, 78))
        assert np.array_equal(part_of(top, end, left, right), picture[top:end, left:right])


def test_a_picture_with_much_edge_is_not_kept() -> None:
    noise = np.random.default_rng(2).integers(0, 256, (40, 50, 3)).astype(np.uint8)
    kept = KeptRows(lambda: iter(np.split(noise, 4)), most=8 * 400)
    assert np.array_equal(np.concatenate(list(kept.strips())), noise)
    assert kept.held() is None


def test_what_is_made_ahead_comes_in_order_and_fails_in_its_place() -> None:
    made = []

    def source():  # type: ignore[no-untyped-def]
        for number in range(6):
            made.append(number)
            yield number
        raise OSError("cut off")

    items = ahead(source(), 2)
    assert [next(items) for _ in range(6)] == list(range(6))
    with pytest.raises(OSError, match="cut off"):
        next(items)
    made.clear()
    broken_off = ahead(source(), 2)
    assert next(broken_off) == 0
    broken_off.close()
    assert len(made) <= 4  # the one taken, two that wait and one begun

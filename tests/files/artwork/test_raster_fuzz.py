"""Damaged and lying raster files: an answer or an error with a remedy, soon, in little memory."""

from __future__ import annotations

import io
import resource
import struct
import time
import warnings
import zlib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from psd_tools import PSDImage

from giornata.core.foundation import ArtworkError
from giornata.files.artwork import read_artwork

HEIC = Path(__file__).parent / "heic" / "flat.heic"
MOST_SECONDS = 10.0  # for a picture of 48 × 36 px, whatever it says of itself, on a busy machine
MOST_MEMORY = 400  # MB by which the process may grow in the whole of a test
PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
# Values at which readers of sizes, counts and offsets are known to stumble.
ODD = (0, 1, 2, 0x7F, 0xFF, 0x100, 0x7FFF, 0xFFFF, 0x10000, 0xFFFFFF, 0x7FFFFFFF, 0xFFFFFFFF)


def picture() -> Image.Image:
    pixels = np.full((36, 48, 3), (240, 235, 225), np.uint8)
    pixels[6:24, 6:24] = (20, 24, 40)
    pixels[12:30, 30:42] = (190, 30, 40)
    return Image.fromarray(pixels)


def saved(form: str, image: Image.Image | None = None, **settings_: object) -> bytes:
    file = io.BytesIO()
    (image or picture()).save(file, form, **settings_)  # type: ignore[arg-type]
    return file.getvalue()


def psd() -> bytes:
    file = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        document = PSDImage.new("RGB", (48, 36), color=255)
        document.create_pixel_layer(picture(), name="all")
        document.save(file)
    return file.getvalue()


WHOLE = {
    "a.png": saved("PNG"),
    "indexed.png": saved("PNG", picture().quantize(8)),
    "clear.png": saved("PNG", picture().convert("RGBA")),
    "a.jpg": saved("JPEG", quality=85),
    "steps.jpg": saved("JPEG", quality=85, progressive=True),
    "a.tif": saved("TIFF", compression="tiff_lzw"),
    "plain.tif": saved("TIFF"),
    "a.webp": saved("WEBP", lossless=True),
    "a.heic": HEIC.read_bytes(),
    "a.psd": psd(),
}


def checked(data: bytes) -> bytes:
    """A PNG with the checks of its chunks put right, so that what it says is believed."""
    if not data.startswith(PNG_SIGNATURE):
        return data
    out, at = bytearray(PNG_SIGNATURE), 8
    while at + 12 <= len(data):
        length = struct.unpack(">I", data[at : at + 4])[0]
        body = data[at + 4 : at + 8 + length]
        if len(body) != 4 + length:
            break
        out += data[at : at + 4] + body + struct.pack(">I", zlib.crc32(body))
        at += 12 + length
    return bytes(out) + data[at:]


def answer(folder: Path, name: str, data: bytes) -> str:
    """What reading comes to; anything but an answer or an error with a remedy is raised."""
    path = folder / name
    path.write_bytes(data)
    start = time.monotonic()
    refusal: ArtworkError | None = None
    drawing, findings = None, ()
    try:
        drawing, findings = read_artwork(path)
    except ArtworkError as error:
        refusal = error
    assert time.monotonic() - start < MOST_SECONDS
    if refusal is None:
        assert drawing is not None or findings
        return "read"
    assert refusal.remedy
    assert str(folder) not in refusal.message
    return "refused"


def grown(since: int) -> float:
    """Megabytes by which the process has grown at most."""
    return (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - since) / 1024


bytes_changed = st.lists(
    st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 255)), max_size=6
)
numbers_changed = st.lists(
    st.tuples(st.integers(0, 400), st.sampled_from(ODD), st.sampled_from(("<I", ">I", "<H", ">H"))),
    max_size=3,
)


@pytest.mark.parametrize("name", sorted(WHOLE))
@settings(
    max_examples=20,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    changes=bytes_changed,
    numbers=numbers_changed,
    length=st.one_of(st.none(), st.floats(0, 1)),
    put_right=st.booleans(),
)
def test_a_changed_file_is_read_or_refused(
    tmp_path: Path,
    name: str,
    changes: list[tuple[float, int]],
    numbers: list[tuple[int, int, str]],
    length: float | None,
    put_right: bool,
) -> None:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    data = bytearray(WHOLE[name])
    for part, value in changes:
        data[int(part * len(data))] = value
    for at, value, form in numbers:
        size = struct.calcsize(form)
        if at + size <= len(data):
            data[at : at + size] = struct.pack(form, value & (256**size - 1))
    if length is not None:
        data = data[: int(length * len(data))]
    assert answer(tmp_path, name, checked(bytes(data)) if put_right else bytes(data))
    assert grown(before) < MOST_MEMORY


def png_of(width: int, height: int, *, depth: int = 8, colour: int = 2, laced: int = 0) -> bytes:
    """A PNG that names a size and holds a kilobyte of zeros."""
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, laced)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(bytes(1_000))), (b"IEND", b""))
    return PNG_SIGNATURE + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in chunks
    )


def jpeg_of(width: int, height: int) -> bytes:
    data = bytearray(WHOLE["a.jpg"])
    at = data.index(b"\xff\xc0")  # ITU-T T.81, B.2.2: frame header
    data[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(data)


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("wide.png", png_of(399_999, 2_000)),
        ("whole.png", png_of(30_000, 30_000)),
        ("bits.png", png_of(31_000, 31_000, depth=1, colour=0)),
        ("laced.png", png_of(15_000, 15_000, laced=1)),
        ("deep.png", png_of(15_000, 15_000, depth=16, colour=6)),
        ("longest.png", png_of(2**31 - 1, 1)),
        ("tall.png", png_of(1, 2**31 - 1)),
        ("a.jpg", jpeg_of(65_500, 65_500)),
        ("most.jpg", jpeg_of(15_000, 15_000)),
    ],
)
def test_sizes_that_the_bytes_cannot_hold_are_refused(
    tmp_path: Path, name: str, data: bytes
) -> None:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    assert answer(tmp_path, name, data) == "refused"
    assert grown(before) < 100


def test_a_stream_that_swells_stops_at_the_size_named(tmp_path: Path) -> None:
    # 200 MB of zeros behind a picture of 8 × 8 pixels: only what the picture needs is unpacked.
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    head = struct.pack(">IIBBBBB", 8, 8, 8, 0, 0, 0, 0)
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(bytes(10**6)) for _ in range(200)) + packer.flush()
    chunks = ((b"IHDR", head), (b"IDAT", packed), (b"IEND", b""))
    data = PNG_SIGNATURE + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in chunks
    )
    assert answer(tmp_path, "swells.png", data) == "read"
    assert grown(before) < 100

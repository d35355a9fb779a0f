"""Pixels of a raster file as channels that mix linearly, upright, with their colour profile."""

from __future__ import annotations

import struct
import threading
import warnings
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
from PIL import Image, ImageOps

from giornata.core.artwork import Levels, PartOf, Rows
from giornata.core.foundation import ArtworkError, Finding, Place, Severity
from giornata.files.artwork.kept_rows import KeptRows
from giornata.files.artwork.kinds import Kind, kind_of
from giornata.files.artwork.png_rows import BEST_PACKING, PngHead, png_head, png_strips
from giornata.files.artwork.raster_modes import full_grey, plain_mode, plain_picture, premultiplied

__all__ = [
    "DAMAGE",
    "LONGEST_SIDE",
    "PIXEL_LIMIT",
    "WHOLE_LIMIT",
    "Pixels",
    "damage_told",
    "limit_lifted",
    "opened_picture",
    "page_name",
    "pixels_of",
    "read_pixels",
]

PIXEL_LIMIT = 1_000_000_000  # px; read a few rows at a time
WHOLE_LIMIT = 250_000_000  # px; decoded whole, 1 to 4 bytes each
LONGEST_SIDE = 400_000  # px; a few dozen rows of so many are held at a time
_MOST_PER_BYTE = 8 * BEST_PACKING  # px of one bit; other formats pack flat colour no tighter
_SURELY_SMALL = 4_000_000  # px; not worth refusing, whatever packed them
_STRIP_PIXELS = 2_000_000
_ORIENTATION = 0x0112  # Exif
_HEAD = 1_024  # bytes
_FORMATS = ("PNG", "JPEG", "TIFF", "WEBP")
_MOST_PAGES = 64
_REDUCED = 254  # TIFF tag NewSubfileType; bit 0: a reduced copy of another page
DAMAGE = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    AttributeError,
    ArithmeticError,
    EOFError,
    RuntimeError,
    struct.error,
    zlib.error,
)
_SAVE_AGAIN = "Save the artwork again from the program it was made in, as PNG."
_ONE_LOCK = threading.Lock()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pixels:
    """A picture's channels.

    Parameters
    ----------
    rows : Rows
        Channels of ``mode``, then opacity where there is any; premultiplied by it. Going through
        them raises ArtworkError where the file turns out to be damaged.
    mode : str
        "L", "RGB" or "CMYK".
    opacity : bool
        Whether the last channel is opacity.
    profile : bytes or None
        Embedded colour profile.
    """

    rows: Rows
    mode: str
    opacity: bool
    profile: bytes | None


@contextmanager
def limit_lifted() -> Iterator[None]:
    """The library's own limit on pixels set aside: ours is checked before any is decoded."""
    with _ONE_LOCK, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        before = Image.MAX_IMAGE_PIXELS
        Image.MAX_IMAGE_PIXELS = None
        try:
            yield
        finally:
            Image.MAX_IMAGE_PIXELS = before


def _pages(image: Image.Image, name: str) -> tuple[tuple[int, ...], tuple[Finding, ...]]:
    """Pictures of the file that can be artwork, and what is to be said of them."""
    count = getattr(image, "n_frames", 1)
    if count <= 1:
        return (0,), ()
    pages: tuple[int, ...] = (0,)
    copies = image.format == "MPO"
    if image.format == "TIFF" and count <= _MOST_PAGES:
        size, found, alike = image.size, [0], True
        for page in range(1, count):
            image.seek(page)
            if not int(image.tag_v2.get(_REDUCED, 0)) & 1:  # type: ignore[attr-defined]
                found.append(page)
                alike &= image.size == size
        image.seek(0)
        pages, copies = tuple(found), len(found) == 1
        if alike and not copies:
            names = ", ".join(page_name(page) for page in range(1, len(pages)))
            return pages, (
                _more(
                    name, Severity.NOTE,
                    f"The file holds {len(pages)} pages of one size; the first is shown. The "
                    f"others are groups that an option may show: {names}.",
                    f"Where an option is another page, let it show that and hide {page_name(0)}.",
                ),
            )  # fmt: skip
    if copies:
        return (0,), (
            _more(
                name, Severity.NOTE,
                f"The file holds {count} pictures; only the first is artwork. The others are "
                "reduced copies and are left out.",
                "Nothing, if the first is the artwork.",
            ),
        )  # fmt: skip
    return (), (
        _more(
            name, Severity.STOP,
            f"The file holds {count} pictures; only one can be artwork, or pages of one size.",
            "Flatten layers, pages or an animation to one picture, and save that.",
        ),
    )  # fmt: skip


def _more(name: str, severity: Severity, message: str, remedy: str) -> Finding:
    return Finding(
        code="artwork.more_pictures",
        severity=severity,
        subject=name,
        message=message,
        remedy=remedy,
        place=Place(file=name),
    )


def page_name(page: int) -> str:
    """Name of the group that a page of a file is, the first being 0."""
    return f"page {page + 1}"


@contextmanager
def damage_told(path: Path) -> Iterator[None]:
    """What goes wrong in reading a file, as an ArtworkError with a remedy.

    Parameters
    ----------
    path : Path
        The file.
    """
    name = path.name
    try:
        yield
    except MemoryError as error:
        raise ArtworkError(
            f"There is not enough memory to read {name}.",
            remedy="Close other programs, or save the artwork with fewer pixels.",
        ) from error
    except DAMAGE as error:
        said = str(error).replace(str(path), name).strip() or type(error).__name__
        raise ArtworkError(
            f"{name} cannot be read as a picture: {said[:200]}.", remedy=_SAVE_AGAIN
        ) from error


def _checked_size(path: Path, size: tuple[int, int], limit: int) -> None:
    """Refuse a picture that has no pixels, too many, or more than its bytes can hold."""
    name = path.name
    width, height = size
    if min(width, height) < 1:
        raise ArtworkError(
            f"{name} is {width} × {height} pixels: nothing is in it.", remedy=_SAVE_AGAIN
        )
    if width * height > limit:
        raise ArtworkError(
            f"{name} is {width} × {height} pixels, {width * height / 1e6:.0f} million; the "
            f"limit is {limit / 1e6:.0f} million.",
            remedy="Save it smaller: at 2 mm on the wall to a pixel, 200 million pixels cover "
            "800 m². A PNG that is not interlaced may be the largest.",
        )
    if max(width, height) > LONGEST_SIDE:
        raise ArtworkError(
            f"{name} is {width} × {height} pixels; the limit is {LONGEST_SIDE} a side.",
            remedy="Save it smaller: a pixel for each millimetre of wall is more than enough.",
        )
    most = _MOST_PER_BYTE * path.stat().st_size
    if width * height > max(most, _SURELY_SMALL):
        raise ArtworkError(
            f"{name} says that it is {width} × {height} pixels, but its {path.stat().st_size} "
            f"bytes cannot hold more than {most / 1e6:.3g} million.",
            remedy=_SAVE_AGAIN,
        )


def _strips(
    path: Path, source: Callable[[], Iterator[Levels]], change: Callable[[Levels], Levels]
) -> Callable[[], Iterator[Levels]]:
    def begun() -> Iterator[Levels]:
        with damage_told(path):
            for strip in source():
                yield change(strip)

    return begun


def _parts(
    source: Callable[[], PartOf | None], change: Callable[[Levels], Levels]
) -> Callable[[], PartOf | None]:
    def held() -> PartOf | None:
        part_of = source()
        return None if part_of is None else lambda *place: change(part_of(*place))

    return held


def _pixels(
    path: Path,
    size: tuple[int, int],
    mode: str,
    profile: object,
    source: Callable[[], Iterator[Levels]],
    held: Callable[[], PartOf | None] = lambda: None,
) -> Pixels:
    """Pixels of strips in a plain mode; opacity that is nowhere below full is left out."""
    opacity = mode.upper() in ("LA", "RGBA")
    channels = {"L": 1, "LA": 2, "RGB": 3}.get(mode, 4)
    change: Callable[[Levels], Levels] = np.ascontiguousarray
    if opacity:
        whole = True
        with damage_told(path):
            for strip in source():
                if int(strip[..., -1].min()) < 255:
                    whole = False
                    break
        if whole:
            channels, opacity = channels - 1, False

            def change(strip: Levels) -> Levels:
                return np.ascontiguousarray(strip[..., :-1])

        elif mode != "RGBa":
            change = premultiplied
    width, height = size
    return Pixels(
        rows=Rows(
            height=height,
            width=width,
            channels=channels,
            strips=_strips(path, source, change),
            held=_parts(held, change),
        ),
        mode={"LA": "L", "RGBA": "RGB", "RGBa": "RGB"}.get(mode, mode),
        opacity=opacity,
        profile=profile if isinstance(profile, bytes) and profile else None,
    )


def _held(image: Image.Image, name: str) -> Callable[[], Iterator[Levels]]:
    """Strips of a picture that is decoded whole."""
    width, height = image.size
    rows = max(1, _STRIP_PIXELS // width)

    def begun() -> Iterator[Levels]:
        for top in range(0, height, rows):
            part = image.crop((0, top, width, min(height, top + rows)))
            part.info = image.info
            levels = np.asarray(plain_picture(part, name))
            yield levels[..., None] if levels.ndim == 2 else levels

    return begun


def _in_strips(path: Path, image: Image.Image) -> PngHead | None:
    """The head of a PNG that can be read a few rows at a time and is stored upright."""
    if image.format != "PNG" or b"tiff:Orientation" in image.info.get("xmp", b""):
        return None
    head = png_head(path)
    exif = Image.Exif()
    exif.load(head.exif)
    return head if head.in_strips and exif.get(_ORIENTATION, 1) == 1 else None


def pixels_of(image: Image.Image, path: Path, profile: object) -> Pixels:
    """Pixels of a picture that is decoded whole.

    Parameters
    ----------
    image : Image
        The picture, upright.
    path : Path
        Its file.
    profile : bytes or None
        Embedded colour profile.
    """
    mode = plain_mode(image, path.name)
    return _pixels(path, image.size, mode, profile, _held(image, path.name))


def read_pixels(path: Path, *, pixel_limit: int) -> tuple[tuple[Pixels, ...], tuple[Finding, ...]]:
    """Pixels of a PNG, JPEG, TIFF, WebP or HEIC file, turned upright; one for each page.

    Parameters
    ----------
    path : Path
        The file.
    pixel_limit : int
        Most pixels that are decoded; 1 or more. Pictures that cannot be read a few rows at a time
        may have WHOLE_LIMIT at most, all pages together. [px]

    Raises
    ------
    ArtworkError
        If the file cannot be opened or decoded, has no pixels, or has more than the limit.
    """
    name = path.name
    # Opened as a file, not by name: by name, Pillow maps uncompressed TIFF into memory and then
    # leaves the picture unturned (seen with 13.0).
    with (
        damage_told(path),
        path.open("rb") as file,
        limit_lifted(),
        opened_picture(file) as image,
    ):
        _checked_size(path, image.size, pixel_limit)
        pages, findings = _pages(image, name)
        profile = image.info.get("icc_profile")
        head = _in_strips(path, image) if pages else None
        if head:
            if (head.width, head.height) != image.size:
                raise ValueError("it names two sizes")
            most = BEST_PACKING * path.stat().st_size
            if head.height * head.row_bytes > most:
                raise ArtworkError(
                    f"{name} says that it is {head.width} × {head.height} pixels, but its "
                    f"{path.stat().st_size} bytes cannot hold so many.",
                    remedy=_SAVE_AGAIN,
                )
            kept = KeptRows(lambda: png_strips(path))
            read = _pixels(path, image.size, head.mode, profile, kept.strips, kept.held)
            return (read,), findings
        found = []
        for page in pages:
            if len(pages) > 1:
                image.seek(page)
            _checked_size(path, image.size, min(pixel_limit, WHOLE_LIMIT // len(pages)))
            image.load()
            upright = ImageOps.exif_transpose(image)
            found.append(pixels_of(full_grey(image, upright), path, profile))
        return tuple(found), findings


def opened_picture(file: BinaryIO) -> Image.Image:
    """A file opened by Pillow, or by the reader of HEIC, which is loaded only where needed."""
    head = file.read(_HEAD)
    file.seek(0)
    if kind_of(head) is Kind.HEIC:
        from pi_heif import HeifImageFile

        heic: Image.Image = HeifImageFile(file)
        return heic
    return Image.open(file, formats=_FORMATS)

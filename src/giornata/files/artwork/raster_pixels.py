"""Pixels of a raster file as channels that mix linearly, upright, with their colour profile."""

from __future__ import annotations

import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps

from giornata.core.artwork import Levels
from giornata.core.foundation import ArtworkError, Finding, Place, Severity

__all__ = ["PIXEL_LIMIT", "Pixels", "read_pixels"]

PIXEL_LIMIT = 200_000_000  # px; 3 to 5 GB of memory while reading
_FORMATS = ("PNG", "JPEG", "TIFF", "WEBP")
_MOST_PAGES = 64
_REDUCED = 254  # TIFF tag NewSubfileType; bit 0: a reduced copy of another page
_DAMAGE = (
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
_PLAIN = {"L": "L", "RGB": "RGB", "CMYK": "CMYK"}
_CONVERTED = {
    "1": "L",
    "P": "RGB",
    "RGBX": "RGB",
    "YCbCr": "RGB",
    "HSV": "RGB",
    "LAB": "RGB",
    "PA": "RGBA",
    "La": "LA",
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pixels:
    """A picture's channels.

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        Channels of ``mode``, then opacity where there is any; premultiplied by it. [-]
    mode : str
        "L", "RGB" or "CMYK".
    opacity : bool
        Whether the last channel is opacity.
    profile : bytes or None
        Embedded colour profile.
    """

    levels: Levels
    mode: str
    opacity: bool
    profile: bytes | None


@contextmanager
def _limit_lifted() -> Iterator[None]:
    """The library's own limit on pixels set aside: ours is checked before any is decoded."""
    with _ONE_LOCK, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        before = Image.MAX_IMAGE_PIXELS
        Image.MAX_IMAGE_PIXELS = None
        try:
            yield
        finally:
            Image.MAX_IMAGE_PIXELS = before


def _further_pictures(image: Image.Image, name: str) -> tuple[Finding, ...]:
    """A finding where the file holds more than one picture."""
    count = getattr(image, "n_frames", 1)
    if count <= 1:
        return ()
    copies = image.format == "MPO"
    if image.format == "TIFF" and count <= _MOST_PAGES:
        copies = True
        for page in range(1, count):
            image.seek(page)
            copies &= bool(int(image.tag_v2.get(_REDUCED, 0)) & 1)  # type: ignore[attr-defined]
        image.seek(0)
    return (
        Finding(
            code="artwork.more_pictures",
            severity=Severity.NOTE if copies else Severity.STOP,
            subject=name,
            message=f"The file holds {count} pictures; only the first can be artwork."
            + (" The others are reduced copies and are left out." if copies else ""),
            remedy="Nothing, if the first is the artwork."
            if copies
            else "Flatten layers, pages or an animation to one picture, and save that.",
            place=Place(file=name),
        ),
    )


def _narrowed(image: Image.Image, name: str) -> Image.Image:
    """Sixteen-bit grey as eight-bit."""
    if image.mode == "F":
        raise ArtworkError(
            f"{name} holds numbers with fractions (32-bit float), not levels.",
            remedy="Save it with 8 bits a channel.",
        )
    wide = np.asarray(image)
    if wide.size and (int(wide.min()) < 0 or int(wide.max()) > 65_535):
        raise ArtworkError(
            f"{name} holds levels from {wide.min()} to {wide.max()}; 0 to 65535 can be read.",
            remedy="Save it with 8 bits a channel.",
        )
    grey = (wide.astype(np.uint32) * 255 + 32_767) // 65_535
    return Image.fromarray(grey.astype(np.uint8))


def _plain(image: Image.Image, name: str) -> Image.Image:
    """The picture in L, LA, RGB, RGBA or CMYK."""
    if "transparency" in image.info and image.mode in ("1", "L", "P", "RGB"):
        return image.convert("LA" if image.mode in ("1", "L") else "RGBA")
    if image.mode.startswith("I") or image.mode == "F":
        return _narrowed(image, name)
    if image.mode in _CONVERTED:
        return image.convert(_CONVERTED[image.mode])
    if image.mode in (*_PLAIN, "LA", "RGBA", "RGBa"):
        return image
    raise ArtworkError(
        f"{name} is in colour mode {image.mode}, which is not read.",
        remedy="Save it as RGB with 8 bits a channel.",
    )


def _premultiplied(levels: NDArray[np.uint8]) -> Levels:
    """Colour channels times opacity, in place, band by band."""
    for top in range(0, len(levels), 256):
        part = levels[top : top + 256]
        opacity = part[..., -1:].astype(np.uint16)
        part[..., :-1] = (part[..., :-1] * opacity + 127) // 255
    return levels


def _pixels(image: Image.Image, name: str) -> Pixels:
    profile = image.info.get("icc_profile")
    plain = _plain(image, name)
    levels = np.array(plain)
    if levels.ndim == 2:
        levels = levels[..., None]
    mode = plain.mode
    opacity = mode in ("LA", "RGBA", "RGBa")
    if opacity and levels[..., -1].min() == 255:
        levels, opacity = np.ascontiguousarray(levels[..., :-1]), False
    elif opacity and mode != "RGBa":
        levels = _premultiplied(levels)
    return Pixels(
        levels=levels,
        mode={"LA": "L", "RGBA": "RGB", "RGBa": "RGB"}.get(mode, mode),
        opacity=opacity,
        profile=profile if isinstance(profile, bytes) and profile else None,
    )


def read_pixels(path: Path, *, pixel_limit: int) -> tuple[Pixels | None, tuple[Finding, ...]]:
    """Decoded pixels of a PNG, JPEG, TIFF or WebP file, turned upright.

    Parameters
    ----------
    path : Path
        The file.
    pixel_limit : int
        Most pixels that are decoded; 1 or more. [px]

    Raises
    ------
    ArtworkError
        If the file cannot be opened or decoded, has no pixels, or has more than the limit.
    """
    name = path.name
    try:
        # Opened as a file, not by name: by name, Pillow maps uncompressed TIFF into memory and
        # then leaves the picture unturned (seen with 13.0).
        with (
            path.open("rb") as file,
            _limit_lifted(),
            Image.open(file, formats=_FORMATS) as image,
        ):
            width, height = image.size
            if min(width, height) < 1:
                raise ArtworkError(
                    f"{name} is {width} × {height} pixels: nothing is in it.", remedy=_SAVE_AGAIN
                )
            if width * height > pixel_limit:
                raise ArtworkError(
                    f"{name} is {width} × {height} pixels, {width * height / 1e6:.0f} million; the "
                    f"limit is {pixel_limit / 1e6:.0f} million.",
                    remedy="Save it smaller: at 2 mm on the wall to a pixel, 200 million pixels "
                    "cover 800 m².",
                )
            findings = _further_pictures(image, name)
            if any(finding.severity is Severity.STOP for finding in findings):
                return None, findings
            image.load()
            return _pixels(ImageOps.exif_transpose(image), name), findings
    except MemoryError as error:
        raise ArtworkError(
            f"There is not enough memory to read {name}.",
            remedy="Close other programs, or save the artwork with fewer pixels.",
        ) from error
    except _DAMAGE as error:
        said = str(error).replace(str(path), name).strip() or type(error).__name__
        raise ArtworkError(
            f"{name} cannot be read as a picture: {said[:200]}.", remedy=_SAVE_AGAIN
        ) from error

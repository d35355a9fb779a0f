"""Photos of the wall: JPEG, PNG and HEIC files read upright, with what they say of their lens."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageOps

from giornata.core.foundation import PhotoError
from giornata.files.artwork.kinds import Kind, kind_of
from giornata.files.artwork.raster_pixels import DAMAGE, limit_lifted, opened_picture
from giornata.files.region_pixels import Pixels

__all__ = ["PHOTO_LIMIT", "PhotoFacts", "photo_facts", "photo_pixels", "shown_jpeg"]

PHOTO_LIMIT = 120_000_000  # px; decoded whole, 3 bytes each
_LARGEST = 200_000_000  # bytes
_EXIF_SUBFOLDER, _ORIENTATION, _FOCAL_35 = 0x8769, 0x0112, 0xA405
_KINDS = (Kind.JPEG, Kind.PNG, Kind.HEIC)
_LYING = {5, 6, 7, 8}  # Exif orientations that turn a picture by a quarter
_BELIEVABLE_35 = (5.0, 2000.0)  # mm
_QUALITY = 88
_SAVE_AGAIN = "Copy the photo from the camera again, or save it as JPEG."


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoFacts:
    """What a photo's file says of it, without its pixels.

    Parameters
    ----------
    width, height : int
        Of the picture held upright. [px]
    focal_35 : float or None
        Focal length stated for a 36 × 24 mm frame. [m]
    """

    width: int
    height: int
    focal_35: float | None


def photo_facts(path: Path) -> PhotoFacts:
    """Size and lens of a photo.

    Raises
    ------
    PhotoError
        If it is missing, no JPEG, PNG or HEIC, damaged or too large.
    """
    with _opened(path) as image:
        exif = image.getexif()
        width, height = image.size
        if exif.get(_ORIENTATION) in _LYING:
            width, height = height, width
        stated = exif.get_ifd(_EXIF_SUBFOLDER).get(_FOCAL_35)
        focal = float(stated) if isinstance(stated, int | float) else 0.0
    least, most = _BELIEVABLE_35
    return PhotoFacts(
        width=width, height=height, focal_35=focal / 1000 if least <= focal <= most else None
    )


def photo_pixels(path: Path) -> Pixels:
    """A photo's pixels held upright, (rows, columns, 3): red, green, blue as the file has them.

    Raises
    ------
    PhotoError
        If it is missing, no JPEG, PNG or HEIC, damaged or too large.
    """
    with _opened(path) as image:
        return np.array(ImageOps.exif_transpose(image).convert("RGB"))


def shown_jpeg(path: Path, longest: int) -> bytes:
    """A photo held upright as JPEG for a screen, its longer side at most so long.

    Parameters
    ----------
    longest : int
        1 or more. [px]

    Raises
    ------
    PhotoError
        If it is missing, no JPEG, PNG or HEIC, damaged or too large.
    """
    with _opened(path) as image:
        if image.format == "JPEG":
            image.draft("RGB", (longest, longest))  # decoded smaller, never under this
        upright = ImageOps.exif_transpose(image).convert("RGB")
        upright.thumbnail((longest, longest), Image.Resampling.LANCZOS)
        profile = image.info.get("icc_profile")
        sink = io.BytesIO()
        upright.save(sink, "JPEG", quality=_QUALITY, icc_profile=profile, exif=b"")
        return sink.getvalue()


@contextmanager
def _opened(path: Path) -> Iterator[Image.Image]:
    """A photo's file, looked at before any pixel is decoded."""
    name = path.name
    if not path.is_file():
        raise PhotoError(
            f"{name}: there is no such photo.",
            remedy="Copy it into the job folder's photos/, or correct its file in job.toml.",
        )
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            _refuse_by_head(name, file.read(1024), size)
            file.seek(0)
            with limit_lifted(), opened_picture(file) as image:
                width, height = image.size
                if width * height > PHOTO_LIMIT:
                    raise PhotoError(
                        f"{name} is {width} × {height} pixels, {width * height / 1e6:.0f} million; "
                        f"the limit is {PHOTO_LIMIT / 1e6:.0f} million.",
                        remedy="Save it smaller: 12 million pixels show a millimetre or two of "
                        "wall each.",
                    )
                yield image
    except MemoryError as error:
        raise PhotoError(
            f"There is not enough memory to read {name}.", remedy="Close other programs."
        ) from error
    except DAMAGE as error:
        said = str(error).replace(str(path), name).strip() or type(error).__name__
        raise PhotoError(
            f"{name} cannot be read as a photo: {said[:200]}.", remedy=_SAVE_AGAIN
        ) from error


def _refuse_by_head(name: str, head: bytes, size: int) -> None:
    if size == 0:
        raise PhotoError(f"{name} is empty.", remedy=_SAVE_AGAIN)
    if size > _LARGEST:
        raise PhotoError(
            f"{name} is {size / 1e6:.0f} MB; the limit is {_LARGEST / 1e6:.0f} MB.",
            remedy="Save it as JPEG.",
        )
    if kind_of(head) not in _KINDS:
        raise PhotoError(f"{name} is neither JPEG, PNG nor HEIC.", remedy=_SAVE_AGAIN)

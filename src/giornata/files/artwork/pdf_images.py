"""Pictures of pixels inside a PDF, as files of their own."""

from __future__ import annotations

import io
from typing import Any

import pikepdf
from PIL import Image

from giornata.files.artwork.display import Ink

__all__ = ["MOST_PIXELS", "picture_ink"]

MOST_PIXELS = 40_000_000  # px of one embedded picture
_STAND_IN = "#808080"


def _ink(doubt: str = "") -> Ink:
    return Ink(colour=_STAND_IN, exact=False, kind="picture", doubt=doubt)


def picture_ink(stream: Any) -> tuple[Ink, bytes | None]:
    """A stand-in for a picture, and the picture as a PNG file, or None where it is not read.

    Parameters
    ----------
    stream : pikepdf.Stream or PdfInlineImage
        The picture.
    """
    if not isinstance(stream, pikepdf.Stream):
        return _ink("it stands within the page's own text"), None
    if any(key in stream for key in ("/SMask", "/Mask")):
        return _ink("it fades, or is cut out by a mask"), None
    if stream.get("/ImageMask"):
        return _ink("it is a stencil of pixels"), None
    width, height = int(stream.get("/Width", 0)), int(stream.get("/Height", 0))
    if not 0 < width * height <= MOST_PIXELS:
        return _ink(f"it has {width} × {height} pixels; the limit is {MOST_PIXELS:,}"), None
    try:
        image = pikepdf.PdfImage(stream).as_pil_image()
    except (
        pikepdf.PdfError, NotImplementedError, ValueError, TypeError, KeyError, OSError,
        pikepdf.UnsupportedImageTypeError, Image.DecompressionBombError,
    ) as error:  # fmt: skip
        return _ink(f"it cannot be decoded ({type(error).__name__})"), None
    out = io.BytesIO()
    if image.mode not in ("L", "RGB", "1", "P"):
        image = image.convert("RGB")
    image.save(out, "PNG", compress_level=1)
    return _ink(), out.getvalue()

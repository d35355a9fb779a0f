"""Pictures of any colour mode as channels of eight bits that mix linearly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from giornata.core.artwork import Levels
from giornata.core.foundation import ArtworkError

__all__ = ["full_grey", "plain_mode", "plain_picture", "premultiplied"]

_BITS, _PHOTOMETRIC = 258, 262  # TIFF 6.0, section 8; of the latter 0 where white is zero
_PLAIN = ("L", "LA", "RGB", "RGBA", "RGBa", "CMYK")
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


def full_grey(image: Image.Image, upright: Image.Image) -> Image.Image:
    """A picture whose grey of sixteen bits runs from black, 0, to white, 65535.

    Pillow leaves grey of a TIFF that is twelve bits deep, or counts from white, as it is stored.

    Parameters
    ----------
    image : Image
        As opened from its file.
    upright : Image
        The same, turned upright.
    """
    if image.format != "TIFF" or not image.mode.startswith("I;16"):
        return upright
    tags = image.tag_v2  # type: ignore[attr-defined]
    levels = np.asarray(upright).astype(np.uint32)
    if tuple(tags.get(_BITS, ())) == (12,):
        levels = (levels * 65_535 + 2_047) // 4_095
    if int(tags.get(_PHOTOMETRIC, 1)) == 0:
        levels = 65_535 - levels
    return Image.fromarray(levels.astype(np.uint16))


def plain_mode(image: Image.Image, name: str) -> str:
    """Mode that ``plain_picture`` gives: L, LA, RGB, RGBA, RGBa or CMYK.

    Parameters
    ----------
    image : Image
        The picture.
    name : str
        File name.

    Raises
    ------
    ArtworkError
        If its mode is not read.
    """
    if "transparency" in image.info and image.mode in ("1", "L", "P", "RGB"):
        return "LA" if image.mode in ("1", "L") else "RGBA"
    if image.mode == "F":
        raise ArtworkError(
            f"{name} holds numbers with fractions (32-bit float), not levels.",
            remedy="Save it with 8 bits a channel.",
        )
    if image.mode.startswith("I"):
        return "L"
    mode = _CONVERTED.get(image.mode, image.mode)
    if mode not in _PLAIN:
        raise ArtworkError(
            f"{name} is in colour mode {image.mode}, which is not read.",
            remedy="Save it as RGB with 8 bits a channel.",
        )
    return mode


def _narrowed(image: Image.Image, name: str) -> Image.Image:
    """Sixteen-bit grey as eight-bit."""
    wide = np.asarray(image)
    if wide.size and (int(wide.min()) < 0 or int(wide.max()) > 65_535):
        raise ArtworkError(
            f"{name} holds levels from {wide.min()} to {wide.max()}; 0 to 65535 can be read.",
            remedy="Save it with 8 bits a channel.",
        )
    grey = (wide.astype(np.uint32) * 255 + 32_767) // 65_535
    return Image.fromarray(grey.astype(np.uint8))


def plain_picture(image: Image.Image, name: str) -> Image.Image:
    """A picture, or a part of one, in ``plain_mode``.

    Parameters
    ----------
    image : Image
        The picture.
    name : str
        File name.

    Raises
    ------
    ArtworkError
        If its mode is not read, or it holds levels beyond sixteen bits.
    """
    mode = plain_mode(image, name)
    if image.mode.startswith("I"):
        return _narrowed(image, name)
    return image if image.mode == mode else image.convert(mode)


def premultiplied(levels: NDArray[np.uint8]) -> Levels:
    """Colour channels times opacity, which is the last channel.

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        Two or four channels. [-]
    """
    opacity = levels[..., -1:].astype(np.uint16)
    colour = (levels[..., :-1] * opacity + 127) // 255
    return np.concatenate([colour.astype(np.uint8), levels[..., -1:]], axis=2)

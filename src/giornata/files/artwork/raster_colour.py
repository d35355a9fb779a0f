"""Paint colours of a picture as sRGB, by its embedded colour profile."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from giornata.core.artwork import Levels
from giornata.core.foundation import Finding, Place, Severity

__all__ = ["channel_levels", "hex_colours", "srgb"]

_ROUNDING = 1  # levels; a profile that changes no colour by more is sRGB itself
_SEEN = 4.0  # CIELAB units; rounding to bytes makes up to 2
_SPACE = {"L": "GRAY", "RGB": "RGB ", "CMYK": "CMYK"}


def _finding(name: str, said: str) -> Finding:
    return Finding(
        code="artwork.colour_profile",
        severity=Severity.WARN,
        subject=name,
        message=f"{said} The colours shown may differ from those meant; areas do not.",
        remedy="Check the colours on the list of paints, or save the picture as sRGB.",
        place=Place(file=name),
    )


def _plain_srgb(image: Image.Image) -> NDArray[np.uint8]:
    return np.asarray(image.convert("RGB"))[:, 0]


@lru_cache(maxsize=16)
def _source(profile: bytes | None) -> ImageCms.ImageCmsProfile:
    """An embedded profile, or sRGB where there is none."""
    if profile is None:
        return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    return ImageCms.ImageCmsProfile(io.BytesIO(profile))


@lru_cache(maxsize=32)  # drawings ask for one colour after the other, and building takes 7 ms
def _transform(
    source: bytes | None, mode: str, target: bytes | None = None, *, lab: bool = False,
    black_point: bool = False,
) -> ImageCms.ImageCmsTransform:  # fmt: skip
    """From a profile to another or to CIELAB; None means sRGB."""
    return ImageCms.buildTransform(
        _source(source),
        ImageCms.createProfile("LAB") if lab else _source(target),
        mode,
        "LAB" if lab else "RGB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION if black_point else ImageCms.Flags.NONE,
    )


def srgb(
    levels: Levels, mode: str, profile: bytes | None, *, name: str
) -> tuple[Levels, tuple[Finding, ...]]:
    """Colours in sRGB, shape (k, 3), and what is doubtful about them.

    Parameters
    ----------
    levels : ndarray of uint8, shape (k, c)
        Colours, not premultiplied. [-]
    mode : str
        "L", "RGB" or "CMYK".
    profile : bytes or None
        Embedded colour profile.
    name : str
        File name.
    """
    strip = levels[:, None, 0] if mode == "L" else levels[:, None]
    image = Image.fromarray(np.ascontiguousarray(strip), mode=None if mode != "CMYK" else "CMYK")
    plain = _plain_srgb(image)
    if profile is None:
        if mode == "CMYK":
            return plain, (_finding(name, "It is in printing inks (CMYK) without a profile."),)
        return plain, ()
    try:
        space = _source(profile).profile.xcolor_space
        if space != _SPACE[mode]:
            said = f"Its colour profile is for {space.strip()}, the picture is {mode}."
            return plain, (_finding(name, said),)
        turned = ImageCms.applyTransform(image, _transform(profile, mode, black_point=True))
        if turned is None:
            raise ValueError("it gives no colours")
        found = np.asarray(turned)[:, 0]
        findings = _too_wide(image, profile, found, name) if mode == "RGB" else ()
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError) as error:
        return plain, (_finding(name, f"Its colour profile cannot be used ({str(error)[:80]})."),)
    if mode != "CMYK" and np.abs(found.astype(np.int16) - plain).max(initial=0) <= _ROUNDING:
        found = plain
    return found, findings


def _too_wide(image: Image.Image, profile: bytes, shown: Levels, name: str) -> tuple[Finding, ...]:
    """A note where colours lie outside sRGB, told by what is left of them in it."""
    meant = ImageCms.applyTransform(image, _transform(profile, "RGB", lab=True))
    kept = ImageCms.applyTransform(
        Image.fromarray(np.ascontiguousarray(shown[:, None])), _transform(None, "RGB", lab=True)
    )
    if meant is None or kept is None:
        return ()
    # a* and b* are signed bytes; L* in 255ths of 100
    parts = [np.array(one)[:, 0].astype(np.uint8) for one in (meant, kept)]
    light = (parts[0][:, 0].astype(float) - parts[1][:, 0]) * (100 / 255)
    tint = parts[0][:, 1:].view(np.int8).astype(float) - parts[1][:, 1:].view(np.int8)
    off = np.hypot(light, np.hypot(tint[:, 0], tint[:, 1])) > _SEEN
    if not off.any():
        return ()
    colours = ", ".join(hex_colours(shown[off])[:6])
    return (
        Finding(
            code="artwork.wide_colour",
            severity=Severity.NOTE,
            subject=name,
            message=f"{int(off.sum())} of its colours {'is' if off.sum() == 1 else 'are'} "
            "stronger than a "
            "common screen shows; the nearest "
            f"{'stands in for it' if off.sum() == 1 else 'stand in for them'} ({colours}).",
            remedy="Match these paints by their samples, not by the colour shown.",
            place=Place(file=name),
        ),
    )


def hex_colours(levels: Levels) -> tuple[str, ...]:
    """``#rrggbb`` of each colour.

    Parameters
    ----------
    levels : ndarray of uint8, shape (k, 3)
        sRGB. [-]
    """
    return tuple(f"#{r:02x}{g:02x}{b:02x}" for r, g, b in levels.tolist())


def channel_levels(colours: Sequence[str], mode: str, profile: bytes | None) -> Levels | None:
    """Levels that sRGB colours have in a picture, shape (n, c); None where that cannot be told.

    Parameters
    ----------
    colours : sequence of str
        ``#rrggbb``.
    mode : str
        "L", "RGB" or "CMYK".
    profile : bytes or None
        The picture's colour profile.
    """
    levels = np.array([list(bytes.fromhex(colour[1:])) for colour in colours], np.uint8)
    if mode == "CMYK" or (mode == "L" and (profile or (levels != levels[:, :1]).any())):
        return None
    if mode == "L" or not profile:
        return levels[:, :1] if mode == "L" else levels
    try:
        turned = ImageCms.applyTransform(
            Image.fromarray(levels[:, None]), _transform(None, "RGB", profile)
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return levels  # as the colours themselves are then taken: see ``srgb``
    return None if turned is None else np.asarray(turned)[:, 0]

"""Shapes as read, and sources by the first independent renderer, as pictures of pixels."""

from __future__ import annotations

import io
import re

import numpy as np
import resvg_py
import shapely
import skia
from numpy.typing import NDArray
from PIL import Image

from giornata.files.artwork.display import Flat, Picture

__all__ = ["Pixels", "painted", "premultiplied", "rendered"]

Pixels = NDArray[np.uint8]


def premultiplied(data: bytes) -> Pixels:
    """An image file as premultiplied RGBA."""
    image = np.asarray(Image.open(io.BytesIO(data)).convert("RGBA"), dtype=np.uint16)
    alpha = image[..., 3:]
    colour = (image[..., :3] * alpha + 127) // 255
    return np.concatenate((colour, alpha), axis=2).astype(np.uint8)


def rendered(source: str, side: int) -> tuple[Pixels, float] | None:
    """Resvg's picture without antialiasing, premultiplied RGBA, and its pixels to the unit.

    None where it refuses.
    """
    options = {
        "dpi": 96.0,
        "languages": ["en"],
        "skip_system_fonts": True,
        "shape_rendering": "crisp_edges",
    }
    source = re.sub(r"shape-rendering\s*[=:]\s*[\"']?\w+[\"']?", "", source)
    try:
        small = Image.open(io.BytesIO(resvg_py.svg_to_bytes(svg_string=source, **options)))
        zoom = side / max(small.size)
        data = resvg_py.svg_to_bytes(svg_string=source, zoom=zoom, **options)
    except (ValueError, OSError):
        return None
    return premultiplied(data), zoom


def _path(area: shapely.Geometry, scale: float) -> skia.Path:
    path = skia.Path()
    path.setFillType(skia.PathFillType.kEvenOdd)
    for polygon in shapely.get_parts(area):
        for ring in (polygon.exterior, *polygon.interiors):
            corners = shapely.get_coordinates(ring)[:-1] * scale
            path.addPoly([skia.Point(*corner) for corner in corners.tolist()], True)
    return path


def painted(
    picture: Picture, width: int, height: int, scale: float, *, smooth: bool = False
) -> Pixels:
    """Shapes as read, premultiplied RGBA; ``smooth`` for antialiased edges."""
    pixels = np.zeros((height, width, 4), dtype=np.uint8)
    surface = skia.Surface.MakeRasterDirect(
        skia.ImageInfo.Make(width, height, skia.kRGBA_8888_ColorType, skia.kPremul_AlphaType),
        pixels,
    )
    open_veils: tuple[tuple[int, float], ...] = ()
    with surface as canvas:
        for flat in (*picture.shapes, None):
            veils = flat.veils if isinstance(flat, Flat) else ()
            common = 0
            while common < min(len(veils), len(open_veils)) and (
                veils[common] == open_veils[common]
            ):
                common += 1
            for _ in open_veils[common:]:
                canvas.restore()
            for _, opacity in veils[common:]:
                canvas.saveLayerAlpha(None, round(255 * opacity))
            open_veils = veils
            if flat is not None:
                red, green, blue = bytes.fromhex(flat.colour[1:])
                paint = skia.Paint(AntiAlias=smooth)
                paint.setColor4f(skia.Color4f(red / 255, green / 255, blue / 255, flat.opacity))
                canvas.drawPath(_path(flat.area, scale), paint)
    return pixels

"""Settings for every test, and a photo that several folders of tests look at."""

from __future__ import annotations

import importlib.util
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import cv2
import numpy as np
import pytest
from hypothesis import settings
from numpy.typing import NDArray
from PIL import Image

# The first call of a compiled library can be slow, so no deadline. A gate must not pass or fail
# by luck, so there the examples are the same every time; at a desk they vary.
settings.register_profile("desk", deadline=None)
settings.register_profile("gate", deadline=None, derandomize=True)
settings.load_profile("gate" if os.environ.get("CI") else "desk")


@dataclass(frozen=True, kw_only=True)
class MadePhoto:
    """A photo of a made wall, 12 m long and 2.5 m high, with a door, and where it shows what."""

    pixels: NDArray[np.uint8]
    photo_from_wall: NDArray[np.float64]

    def at(self, *places: tuple[float, float]) -> list[tuple[float, float]]:
        """Pixels of places of the wall, by OpenCV."""
        given = np.array(places, dtype=np.float64).reshape(-1, 1, 2)
        seen = cv2.perspectiveTransform(given, self.photo_from_wall).reshape(-1, 2)
        return [(float(x), float(y)) for x, y in seen]

    def save(self, path: Path, *, turned: int = 1, focal_35: int | None = None) -> Path:
        """As JPEG; ``turned`` is the Exif orientation its pixels are stored in."""
        exif = Image.Exif()
        exif[0x0112] = turned
        if focal_35 is not None:
            exif.get_ifd(0x8769)[0xA405] = focal_35
        back = {1: None, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}[turned]
        picture = Image.fromarray(self.pixels)
        path.parent.mkdir(parents=True, exist_ok=True)
        stored = picture if back is None else picture.transpose(back)
        stored.save(path, quality=92, exif=exif)
        return path


@pytest.fixture(scope="session")
def made_photo() -> MadePhoto:
    """Bricks of 0.5 m, the door from 7.2 to 8.1 m and 2.05 m high, on grass under a grey sky.

    The four corners of the wall lie where they are put here; OpenCV draws the rest.
    """
    scale, margin = 120, 60  # px to a metre of the flat drawing, px around it
    flat = np.full((int(2.5 * scale) + 2 * margin, 12 * scale + 2 * margin, 3), 150, np.uint8)
    flat[: margin + 4] = (205, 212, 220)
    flat[-margin:] = (96, 120, 80)
    for column in range(24):
        for row in range(5):
            x, y = margin + column * scale // 2, margin + row * scale // 2
            shade = 176 + 14 * ((column + row) % 2) + 3 * (column % 5)
            cv2.rectangle(flat, (x, y), (x + scale // 2 - 2, y + scale // 2 - 2), (shade,) * 3, -1)
    foot = margin + int(2.5 * scale)
    left, right = margin + int(7.2 * scale), margin + int(8.1 * scale)
    cv2.rectangle(flat, (left, foot - int(2.05 * scale)), (right, foot), (58, 70, 64), -1)
    corners_flat = np.array(
        [[margin, foot], [margin + 12 * scale, foot], [margin + 12 * scale, margin], [margin] * 2],
        dtype=np.float32,
    )
    corners_photo = np.array(
        [[120.0, 880.0], [1480.0, 760.0], [1480.0, 470.0], [120.0, 330.0]], dtype=np.float32
    )
    mapping = cv2.getPerspectiveTransform(corners_flat, corners_photo)
    pixels = cv2.warpPerspective(
        flat, mapping, (1600, 1200), borderMode=cv2.BORDER_REPLICATE, flags=cv2.INTER_AREA
    )
    corners_wall = np.array([[0, 0], [12, 0], [12, 2.5], [0, 2.5]], dtype=np.float32)
    return MadePhoto(
        pixels=np.asarray(pixels, dtype=np.uint8),
        photo_from_wall=cv2.getPerspectiveTransform(corners_wall, corners_photo),
    )


@pytest.fixture(scope="session")
def made_night() -> ModuleType:
    """Made photos of a projector's picture at night: see tests/made_night.py."""
    path = Path(__file__).with_name("made_night.py")
    spec = importlib.util.spec_from_file_location("made_night", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["made_night"] = module  # records look their module up
    spec.loader.exec_module(module)
    return module

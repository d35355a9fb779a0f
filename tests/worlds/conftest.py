"""Made photos of a made wall, whose truth is known: a camera with a lens, a tape with its noise."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import cv2
import numpy as np
import pytest

from giornata.core.foundation import Floats
from giornata.core.photography import KnownPoint


@dataclass(frozen=True, kw_only=True)
class Eye:
    """A camera before a flat wall: where it stands, where it looks, how its lens bends.

    Projection and lens are OpenCV's (projectPoints, Brown's polynomial with k1 alone), not ours.
    """

    angle: float  # degrees off square, at the wall's place looked at
    away: float = 8.0  # m from that place
    bend: float = 0.0  # Brown's k1 per squared half diagonal
    width: int = 4000
    height: int = 3000
    focal_px: float = 3000.0
    at: tuple[float, float] = (10.0, 1.5)

    def photo(self, places_wall: Floats, offset: float = 0.0) -> Floats:
        turn = np.radians(self.angle)
        target = np.array([*self.at, 0.0])
        place = target + self.away * np.array([np.sin(turn), 0.02, np.cos(turn)])
        ahead = (target - place) / np.linalg.norm(target - place)
        right = np.cross(ahead, [0.0, 1.0, 0.0])
        right /= np.linalg.norm(right)
        rotation = np.stack([right, np.cross(ahead, right), ahead])
        space = np.column_stack([places_wall, np.full(len(places_wall), offset)])
        half = np.hypot(self.width, self.height) / 2
        inner = np.array(
            [
                [self.focal_px, 0.0, self.width / 2],
                [0.0, self.focal_px, self.height / 2],
                [0.0, 0.0, 1.0],
            ]
        )
        k1 = self.bend * (self.focal_px / half) ** 2
        seen, _ = cv2.projectPoints(
            space, cv2.Rodrigues(rotation)[0], -rotation @ place, inner, np.array([k1, 0, 0, 0.0])
        )
        return np.asarray(seen, dtype=np.float64).reshape(-1, 2)


def spread_places(rng: np.random.Generator, count: int) -> Floats:
    """Four near the corners of 5 x 3 m of wall, the others anywhere in it. [m]"""
    places = np.column_stack([rng.uniform(7.5, 12.5, count), rng.uniform(0, 3, count)])
    places[:4] = [[7.5, 0], [12.5, 0], [12.5, 3], [7.5, 3]]
    return places


def seen_points(
    eye: Eye, places: Floats, rng: np.random.Generator, *, pick: float = 1.0, tape: float = 0.003
) -> list[KnownPoint]:
    """Known points with noise in the pick [px] and in the tape [m], both as stated."""
    taped = places + rng.normal(0.0, tape, places.shape)
    picked = eye.photo(places) + rng.normal(0.0, pick, places.shape)
    return [
        KnownPoint(
            name=f"p{number}",
            chainage=float(wall[0]),
            level=float(wall[1]),
            x=float(px[0]),
            y=float(px[1]),
            chainage_sigma=tape,
            level_sigma=tape,
            pixel_sigma=pick,
        )
        for number, (wall, px) in enumerate(zip(taped, picked, strict=True))
    ]


@dataclass(frozen=True, kw_only=True)
class PhotoWorld:
    """What the tests of this folder make their photos with."""

    eye: type[Eye] = Eye
    places: Callable[[np.random.Generator, int], Floats] = spread_places
    points: Callable[..., list[KnownPoint]] = seen_points


@pytest.fixture
def world() -> PhotoWorld:
    return PhotoWorld(places=spread_places, points=seen_points)


def _beside(name: str) -> Iterator[ModuleType]:
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    yield module
    del sys.modules[name]


@pytest.fixture(scope="module")
def made_closing():
    """The maker of walls with fifteen set-ups, beside this file; benches use it as well."""
    yield from _beside("made_closing")


@pytest.fixture(scope="module")
def made_rows():
    """The maker of walls with two rows of set-ups, beside this file; benches use it as well."""
    yield from _beside("made_rows")


@pytest.fixture(scope="session")
def worlds(pytestconfig: pytest.Config) -> ModuleType:
    """The made worlds of a projector before a wall, which the measurements in bench/ use too."""
    path = pytestconfig.rootpath / "bench" / "made_projection.py"
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[path.stem] = module  # records look their module up while it is being read
    spec.loader.exec_module(module)
    return module

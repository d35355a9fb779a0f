"""A flat wall of 20 x 3 m with a gate, and photos of it made by a plain mapping."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
import pytest

from giornata.core import survey
from giornata.core.foundation import Floats
from giornata.core.photography import KnownPoint, WallPhoto

# Four corners of 8 x 3 m of wall and where a slanting photo of 4000 x 3000 px shows them.
CORNERS_WALL = np.array([[2.0, 0.0], [10.0, 0.0], [10.0, 3.0], [2.0, 3.0]])
CORNERS_PHOTO = np.array([[400.0, 2400.0], [3500.0, 2000.0], [3450.0, 900.0], [450.0, 500.0]])


def reference_mapping() -> Floats:
    """From wall to photo, by OpenCV."""
    matrix, _ = cv2.findHomography(CORNERS_WALL, CORNERS_PHOTO)
    return np.asarray(matrix, dtype=np.float64)


@pytest.fixture
def truth() -> Floats:
    return reference_mapping()


def seen(places_wall: Any) -> Floats:
    """Where the reference photo shows places of the wall. [px]"""
    given = np.asarray(places_wall, dtype=np.float64).reshape(-1, 1, 2)
    return np.asarray(cv2.perspectiveTransform(given, reference_mapping())).reshape(-1, 2)


@pytest.fixture
def points_at() -> Callable[..., tuple[KnownPoint, ...]]:
    """Known points without noise at places of the wall, as the reference photo shows them."""

    def made(places_wall: Any, *, tape: float = 0.003, pick: float = 1.0) -> Any:
        return tuple(
            KnownPoint(
                name=f"p{number}",
                chainage=float(place[0]),
                level=float(place[1]),
                x=float(px[0]),
                y=float(px[1]),
                chainage_sigma=tape,
                level_sigma=tape,
                pixel_sigma=pick,
            )
            for number, (place, px) in enumerate(zip(places_wall, seen(places_wall), strict=True))
        )

    return made


@pytest.fixture
def photo_of_points(points_at: Any) -> Callable[..., WallPhoto]:
    """A photo with known points at places of the wall."""

    def made(places_wall: Any, **more: Any) -> WallPhoto:
        return WallPhoto(
            name="left", width=4000, height=3000, points=points_at(places_wall), **more
        )

    return made


@pytest.fixture
def flat_wall() -> Callable[..., survey.DevelopedWall]:
    """The wall, with piers or bends where a test wants them."""

    def made(**more: Any) -> survey.DevelopedWall:
        wall, _ = survey.develop(
            survey.WallSurvey(
                datum="Left end, at the foot",
                bays=(
                    survey.Bay(name="1", length=8.0),
                    survey.Bay(name="2", length=12.0),
                ),
                top=(survey.Level(at=0.0, level=3.0), survey.Level(at=20.0, level=3.0)),
                ground=(survey.Level(at=0.0, level=0.0), survey.Level(at=20.0, level=0.0)),
                openings=(survey.Opening(name="Gate", start=4.0, end=5.2, head=2.1),),
                **more,
            )
        )
        assert wall is not None
        return wall

    return made

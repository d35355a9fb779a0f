"""A wall covered with blobs, for the measurements of partition and take-off."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import shapely

from giornata.core.artwork import Drawing, Paint, Role, Shape

LENGTH, HEIGHT, DEPTH = 180.0, 3.0, 3.0
COLOURS = tuple(f"#{40 + 15 * k:02x}{220 - 14 * k:02x}{(90 * k) % 256:02x}" for k in range(12))
GROUND = "#f4efe3"
PAINTS = (
    Paint(number=1, key="ground", name="Ground", role=Role.GROUND, artwork=(GROUND,)),
    *(
        Paint(number=2 + k, key=f"p{k}", name=f"Paint {k + 1}", artwork=(colour,))
        for k, colour in enumerate(COLOURS)
    ),
)


def blobs(count: int, vertices: int = 200) -> tuple[np.ndarray, np.ndarray]:
    """Blobs of log-normal size, a metre to the artwork unit, and the paint of each."""
    rng = np.random.default_rng(1)
    size = np.exp(rng.normal(0, 0.6, count))
    size *= np.sqrt(DEPTH * LENGTH * HEIGHT / (np.pi * np.sum(size**2)))
    turn = np.linspace(0, 2 * np.pi, vertices, endpoint=False)
    shapes = []
    for radius in size:
        ray = 1 + sum(
            rng.uniform(-0.25, 0.25) / k * np.cos(k * turn + rng.uniform(0, 7)) for k in range(2, 7)
        )
        stretch = rng.uniform(0.5, 1.5, 2)[:, None]
        xy = radius * ray * stretch * np.stack([np.cos(turn), np.sin(turn)])
        centre = rng.uniform(0, 1, 2) * [LENGTH, HEIGHT]
        shapes.append(shapely.make_valid(shapely.Polygon(xy.T + centre), method="structure"))
    return np.array(shapes, dtype=object), rng.integers(0, len(COLOURS), count)


def drawing(shapes: np.ndarray, paints: np.ndarray) -> Drawing:
    return Drawing(
        name="blobs",
        width=LENGTH,
        height=HEIGHT,
        shapes=tuple(
            Shape(area=area, colour=COLOURS[k]) for area, k in zip(shapes, paints, strict=True)
        ),
    )


def peak_memory() -> float:
    """Peak memory of this process since it began, Linux only. [MB]"""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(re.search(r"VmHWM:\s+(\d+) kB", status)[1]) / 1024  # type: ignore[index]

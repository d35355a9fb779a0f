"""Drawings that are hard on floating point: copies with noise, turned rings, common edges."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import artwork, setting_out, takeoff
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.foundation import given
from giornata.core.setting_out import ArtworkPlacement
from giornata.core.takeoff import BrushAndRoller

COLOURS = ("#c9d6d5", "#5f9aa3", "#101418", "#d2553a")
PAINTS = tuple(
    Paint(
        number=i + 1,
        key=f"p{i + 1}",
        name=f"Paint {i + 1}",
        role=Role.FIGURE if i else Role.GROUND,
        artwork=(colour,),
    )
    for i, colour in enumerate(COLOURS)
)
CANVASES = ((78600.0, 3300.0), (7860.0, 330.0), (1.0, 1.0), (61.2, 2.9), (1e6, 1e4))
GATE = shapely.box(0.5, 0, 0.9, 2)


def noisy(seed: int) -> Drawing:
    """Sixty shapes: near copies of a dozen polygons, the same rings turned, boxes on a grid."""
    rng = np.random.default_rng(seed)
    width, height = CANVASES[seed % len(CANVASES)]
    noise = 10.0 ** rng.uniform(-16, -4) * height
    bases = []
    for _ in range(12):
        angle = np.sort(rng.uniform(0, 2 * np.pi, rng.integers(3, 12)))
        ray = rng.uniform(0.05, 0.5) * height
        circle = np.stack([np.cos(angle), np.sin(angle)], axis=1)
        bases.append(rng.uniform([0, 0], [width, height]) + ray * circle)
    shapes = []
    for _ in range(60):
        base = bases[rng.integers(12)]
        match rng.integers(3):
            case 0:
                area = shapely.Polygon(base + rng.normal(0, noise, base.shape))
            case 1:
                area = shapely.Polygon(np.roll(base[::-1], rng.integers(len(base)), axis=0))
            case _:
                x, y = np.round(rng.uniform([0, 0], [width, height]) / height * 8) / 8 * height
                tall = height / 8 + rng.normal(0, noise)
                area = shapely.box(x, y, x + height / 4, y + tall)
        shapes.append(Shape(area=area, colour=COLOURS[rng.integers(4)]))
    return Drawing(name="noisy.svg", width=width, height=height, shapes=tuple(shapes))


@pytest.mark.parametrize("seed", range(25))
def test_nothing_is_lost_and_every_boundary_is_an_edge(seed: int) -> None:
    drawing = noisy(seed)
    canvas = (drawing.width, drawing.height)
    flat = artwork.flattened(drawing)
    assert sum(flat.areas().values()) == pytest.approx(canvas[0] * canvas[1], rel=1e-9)
    coverage, _ = artwork.painted(flat, PAINTS)
    net = shapely.box(0, 0, 3 * canvas[0] / canvas[1], 3).difference(GATE)
    placed = setting_out.place(
        coverage,
        canvas=canvas,
        placement=ArtworkPlacement(height=3.0),
        net=net,
        paints=PAINTS,
        openings=(("Gate", GATE),),
    )
    assert placed.net_area == pytest.approx(net.area, rel=1e-9)
    assert shapely.coverage_is_valid(placed.coverage.faces)
    quantities = takeoff.take_off(
        placed,
        net_area=given("net area", net.area, "m²", source="made for the test"),
        paints=PAINTS,
        tools=BrushAndRoller(),
    )
    around = shapely.length(placed.coverage.faces).sum()
    edges = sum(float(paint.edge) + float(paint.border) for paint in quantities.paints)
    assert edges == pytest.approx(around, rel=1e-6)

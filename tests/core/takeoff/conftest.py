"""A wall, three paints and a drawing laid on it, for take-off tests."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import shapely

from giornata.core import artwork, setting_out, takeoff
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.foundation import Figure, given
from giornata.core.setting_out import ArtworkPlacement
from giornata.core.survey import RibbedFace
from giornata.core.takeoff import BrushAndRoller, TakeOff

PAINTS = (
    Paint(number=1, key="haze", name="Haze", role=Role.GROUND, artwork=("#c9d6d5",)),
    Paint(number=2, key="tide", name="Tide", artwork=("#5f9aa3",)),
    Paint(number=3, key="ink", name="Ink", artwork=("#101418",)),
)
COLOURS = {1: "#c9d6d5", 2: "#5f9aa3", 3: "#101418"}

TakenOff = Callable[..., TakeOff]


@pytest.fixture
def taken_off() -> TakenOff:
    """Take-off of shapes given in metres on a wall, bottom first: ``(area, paint number)``."""

    def made(
        *shapes: tuple[shapely.Geometry, int],
        wall: tuple[float, float] = (61.2, 2.9),
        openings: tuple[tuple[str, shapely.Geometry], ...] = (),
        tools: BrushAndRoller | None = None,
        net_area: Figure | None = None,
        ribbed: RibbedFace | None = None,
    ) -> TakeOff:
        length, height = wall
        flip = [1, 0, 0, -1, 0, height]  # artwork runs down, the wall runs up; one unit is 1 m
        drawing = Drawing(
            name="frieze.svg",
            width=length,
            height=height,
            shapes=tuple(
                Shape(area=shapely.affinity.affine_transform(area, flip), colour=COLOURS[number])
                for area, number in shapes
            ),
        )
        coverage, _ = artwork.painted(artwork.flattened(drawing), PAINTS)
        gross = shapely.box(0, 0, length, height)
        net = gross.difference(shapely.union_all([polygon for _, polygon in openings]))
        placed = setting_out.place(
            coverage,
            canvas=(length, height),
            placement=ArtworkPlacement(scale=1.0),
            net=net,
            paints=PAINTS,
            openings=openings,
        )
        return takeoff.take_off(
            placed,
            net_area=net_area or given("net area", net.area, "m²", source="made for the test"),
            paints=PAINTS,
            tools=tools or BrushAndRoller(),
            ribbed=ribbed,
        )

    return made

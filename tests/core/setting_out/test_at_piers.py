"""The arrises of piers (N8, N10): edges along them and narrow parts on them, placed by hand."""

from __future__ import annotations

import pytest
import shapely

from giornata.core import artwork, setting_out
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.foundation import Severity
from giornata.core.setting_out import ArtworkPlacement, PlacedArtwork

WALL = shapely.box(0, 0, 20, 2.4)
GROUND = Paint(number=1, key="sand", name="Sand", role=Role.GROUND, artwork=("#e8dcc0",))
REED = Paint(number=2, key="reed", name="Reed", artwork=("#244b3c",))
PIERS = (("P1", 8.0, 8.5),)


def laid(*shapes: shapely.Geometry) -> PlacedArtwork:
    """Shapes of one paint in metres from the wall's foot, on a wall with one pier."""
    flip = [1, 0, 0, -1, 0, 2.4]
    drawing = Drawing(
        name="reeds",
        width=20.0,
        height=2.4,
        shapes=tuple(
            Shape(area=shapely.affinity.affine_transform(one, flip), colour="#244b3c")
            for one in shapes
        ),
    )
    coverage, _ = artwork.painted(artwork.flattened(drawing), (GROUND, REED))
    return setting_out.place(
        coverage,
        canvas=(20.0, 2.4),
        placement=ArtworkPlacement(scale=1.0),
        net=WALL,
        paints=(GROUND, REED),
        piers=PIERS,
    )


def test_n8_an_edge_that_runs_along_an_arris_is_listed() -> None:
    # The block's right side stands 15 mm before the arris at 8.00 m, from 0.4 to 1.9 m up.
    placed = laid(shapely.box(6, 0.4, 7.985, 1.9))
    (part,) = placed.at_arrises
    assert (part.pier, part.arris, part.paint) == ("P1", 8.0, 2)
    assert (part.x, part.y) == pytest.approx((7.985, 1.15))
    assert part.along == pytest.approx(1.5)
    (finding,) = [one for one in placed.findings if one.code == "setting_out.at_arris"]
    assert finding.severity is Severity.NOTE
    assert finding.subject == "pier P1, arris at 8.00 m"
    assert "Reed at y 1.15 m along 1.50 m" in finding.message


def test_n8_edges_that_cross_an_arris_or_keep_clear_of_it_are_not() -> None:
    across = shapely.box(6, 1.0, 10, 1.5)  # a band over the whole pier
    clear = shapely.box(6, 0.4, 7.97, 0.9)  # 30 mm before the arris
    assert laid(across, clear).at_arrises == ()


def test_n10_a_narrow_part_on_an_arris_is_listed() -> None:
    # 40 mm wide, 30 to 70 mm off the arris at 8.50 m; N10's limits, as at joints.
    (part,) = laid(shapely.box(8.53, 0.4, 8.57, 2.0)).at_arrises
    assert (part.pier, part.arris, part.along) == ("P1", 8.5, 0.0)
    assert 8.53 <= part.x <= 8.57


def test_a_wall_without_shapes_has_nothing_at_its_piers() -> None:
    assert laid().at_arrises == ()

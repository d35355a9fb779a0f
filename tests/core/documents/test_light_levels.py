"""Greys of a high-contrast frame: evenly spaced, and far apart where paints meet."""

from __future__ import annotations

import pytest

from giornata.core.artwork import Role
from giornata.core.documents import light_levels
from giornata.core.foundation import Figure, given
from giornata.core.takeoff import EdgeBetween, PaintQuantities, TakeOff


def figure(value: float, unit: str) -> Figure:
    return given("made", value, unit, source="made for this test")


def take_off(count: int, edges: dict[tuple[int, int], float]) -> TakeOff:
    area, length = figure(1.0, "m²"), figure(1.0, "m")
    return TakeOff(
        net_area=area, base=area, ground=area, figure=area, edge=length, narrow=(), findings=(),
        paints=tuple(
            PaintQuantities(
                number=number, key=f"p{number}", name=f"P{number}", area=area, edge=length,
                cut=length, border=length, rolled=area, brushed=area, shapes=1,
                role=Role.GROUND if number == 1 else Role.FIGURE,
            )
            for number in range(1, count + 1)
        ),
        pairs=tuple(
            EdgeBetween(first=a, second=b, length=figure(m, "m"), cut_by=b)
            for (a, b), m in edges.items()
        ),
    )  # fmt: skip


def test_levels_are_even_in_lightness() -> None:
    """Three figure paints: L* 40, 70, 100 (CIE 15:2018, 8.2.1.1; IEC 61966-2-1, 5.2).

    Worked by hand: L* 40: Y = (56/116)³ = 0.1125, sRGB 1.055 × 0.1125^(1/2.4) - 0.055 = 0.3693,
    × 255 = 94 = 5e; L* 70: Y = (86/116)³ = 0.4075, sRGB 0.6710, × 255 = 171 = ab.
    """
    greys = light_levels(take_off(4, {}), 1)
    assert greys[1] == "#000000"
    assert sorted(greys[number] for number in (2, 3, 4)) == ["#5e5e5e", "#ababab", "#ffffff"]


def test_paints_that_meet_along_much_edge_differ_most() -> None:
    """Known by construction: only 2 and 3 meet, so they get the dimmest and the lightest."""
    greys = light_levels(take_off(5, {(2, 3): 100.0, (4, 5): 0.1}), 1)
    assert {greys[2], greys[3]} == {"#5e5e5e", "#ffffff"}


def test_ten_paints_all_differ() -> None:
    """Beyond seven figure paints levels are exchanged in pairs; each level is still given once."""
    edges = {(2, 3): 50.0, (3, 4): 40.0, (9, 10): 30.0, (2, 11): 5.0}
    greys = light_levels(take_off(11, edges), 1)
    assert len(set(greys.values())) == 11
    light = {number: int(grey[1:3], 16) for number, grey in greys.items()}
    assert abs(light[2] - light[3]) > 60
    assert abs(light[9] - light[10]) > 60


def test_one_figure_paint_is_white() -> None:
    assert dict(light_levels(take_off(2, {(1, 2): 3.0}), 1)) == {1: "#000000", 2: "#ffffff"}


def test_a_ground_that_is_no_paint_is_refused() -> None:
    with pytest.raises(ValueError, match="no paint has the ground's number 9"):
        light_levels(take_off(3, {}), 9)

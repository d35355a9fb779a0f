"""Hours of grid and pounce beside the projector's."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import projection, works
from giornata.core.foundation import Basis, given
from giornata.core.geometry import Coverage
from giornata.core.projection import Projector, SetUp, Stand
from giornata.core.works import TransferStretch, TransferTerms, TransferWay

HOUR = 3600.0


def _set_ups(ambient: float) -> tuple[SetUp, ...]:
    """N45's wall of 61.2 m, 14 set-ups."""
    sheet = Projector(
        name="sheet", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=3500.0,
        mode="eco", modes={"eco": 0.8},
    )  # fmt: skip
    stand = Stand(distance=7.0, height=1.45, overlap=0.5, ambient=ambient)
    made, _ = projection.plan_setups(61.2, [(0, 2.9), (61.2, 2.9)], [(0, 0.0)], [], sheet, stand)
    return made.set_ups


def _coverage() -> Coverage:
    """An upright edge of 2 m at 5 m, and a level one from 0 to 20 m."""
    lines = [[(5.0, 0.0), (5.0, 2.0)], [(0.0, 1.0), (20.0, 1.0)]]
    return Coverage(
        faces=np.array([shapely.box(0, 0, 20, 2)], dtype=object),
        labels=np.array([1]),
        edges=np.array([shapely.LineString(line) for line in lines], dtype=object),
        left=np.array([1, 1]),
        right=np.array([2, 2]),
    )


def _hours(ambient: float) -> tuple[tuple[SetUp, ...], tuple[works.TransferHours, ...]]:
    set_ups = _set_ups(ambient)
    edges = [given("edge", 30.0, "m", source="N52")] * 14
    projected = [given("time", 0.5333 * HOUR, "s", source="N52")] * 14
    return set_ups, works.transfer_hours(set_ups, [12.0] * 14, edges, projected, TransferTerms())


def test_n46_hours_of_a_grid_and_of_a_pattern() -> None:
    # 12 m² in squares of 0.5 m: 12 / 0.5 × 2 = 48 m of lines at 60 m/h = 0.8 h, and 30 m of edge
    # at 15 m/h = 2 h. Pounce: 30 / 60 + 12 / 5 + 30 / 40 = 0.5 + 2.4 + 0.75 h.
    _, hours = _hours(10.0)
    assert float(hours[0].grid) / HOUR == pytest.approx(2.8)
    assert float(hours[0].pounce) / HOUR == pytest.approx(3.65)
    assumed = {f.name for f in hours[0].grid.walk() if f.basis is Basis.ASSUMED}
    assert assumed == {
        "side of the squares on the wall", "measuring and snapping grid lines",
        "drawing edges by squares",
    }  # fmt: skip


def test_n46_rates_of_ones_own_take_their_place() -> None:
    terms = TransferTerms(pitch=1.0, snapping=24 / HOUR, drawing=30 / HOUR)
    edge = given("edge", 30.0, "m", source="N52")
    (one,) = works.transfer_hours(_set_ups(10.0)[:1], [12.0], [edge], [edge], terms)
    assert float(one.grid) / HOUR == pytest.approx(24 / 24 + 1.0)
    assert all(f.basis is not Basis.ASSUMED for f in one.grid.walk())


def test_n47_where_the_projector_is_too_faint_other_ways_are_offered() -> None:
    # N47: 179 lx on 10 lx pass, on 100 lx they do not (1.8 : 1).
    bright, hours = _hours(10.0)
    assert works.transfer_findings(bright, hours, (), 61.2) == ()
    dim, hours = _hours(100.0)
    (found,) = works.transfer_findings(dim, hours, (), 61.2)
    assert found.code == "works.transfer_offered"
    # 14 × 2.8, 14 × 3.65 and 14 × 0.533 h.
    for part in ("39.2 h", "51.1 h", "7.5 h"):
        assert part in found.message


def test_what_is_transferred_is_offered_no_more() -> None:
    dim, hours = _hours(100.0)
    whole = (TransferStretch(start=0.0, end=61.2, way=TransferWay.GRID),)
    assert works.transfer_findings(dim, hours, whole, 61.2) == ()
    beyond = (TransferStretch(start=0.0, end=70.0, way=TransferWay.GRID),)
    (found,) = works.transfer_findings(dim, hours, beyond, 61.2)
    assert found.code == "works.transfer_off_wall"


def test_a_stretch_takes_its_edges_from_the_projector() -> None:
    stretch = TransferStretch(start=4.0, end=8.0, way=TransferWay.POUNCE)
    rest = works.without_transferred(_coverage(), [(4.0, 8.0)])
    # By hand: the upright edge is gone; of the level one 20 - 4 = 16 m are left.
    assert float(shapely.length(rest.edges).sum()) == pytest.approx(16.0)
    assert len(rest.edges) == len(rest.left) == len(rest.right) == 1
    (one,) = works.stretch_hours(_coverage(), shapely.box(0, 0, 20, 2), [stretch], TransferTerms())
    assert float(one.edge) == pytest.approx(2.0 + 4.0)
    # 8 m² at 5 m²/h, 6 m at 60 and at 40 m/h.
    assert float(one.time) / HOUR == pytest.approx(1.6 + 0.1 + 0.15)
    assert works.without_transferred(_coverage(), []).edges.shape == (2,)


def test_n46_a_wall_without_any_set_up_is_offered_whole() -> None:
    # 40 m² in squares of 0.5 m: 160 m of lines at 60 m/h, 22 m of edge at 15 m/h: 4.1 h. Pounce:
    # 22 / 60 + 40 / 5 + 22 / 40 = 8.9 h.
    net = shapely.box(0, 0, 20, 2)
    (found,) = works.no_projection(_coverage(), net, [(0.0, 20.0)], 20.0, TransferTerms())
    assert (found.code, found.subject) == ("works.transfer_offered", "the whole wall")
    assert "squared up in 4.1 h, or pounced in 8.9 h" in found.message
    chosen = TransferTerms(stretches=(TransferStretch(start=0, end=20, way=TransferWay.GRID),))
    assert works.no_projection(_coverage(), net, [(0.0, 20.0)], 20.0, chosen) == ()


def test_stretches_out_of_reach_are_offered_each_by_itself() -> None:
    # 2 of the 20 m: 4 m² and 16 m of lines. Of its edge see the stretch's own hours above.
    net = shapely.box(0, 0, 20, 2)
    out = [(3.0, 5.0), (17.0, 18.0)]
    found = works.no_projection(_coverage(), net, out, 20.0, TransferTerms())
    assert [one.subject for one in found] == [
        "wall from 3.00 to 5.00 m", "wall from 17.00 to 18.00 m",
    ]  # fmt: skip
    grid = TransferStretch(start=3.0, end=5.0, way=TransferWay.GRID)
    (hours,) = works.stretch_hours(_coverage(), net, [grid], TransferTerms())
    assert f"squared up in {float(hours.time) / HOUR:.1f} h" in found[0].message
    left = works.no_projection(_coverage(), net, out, 20.0, TransferTerms(stretches=(grid,)))
    assert [one.subject for one in left] == ["wall from 17.00 to 18.00 m"]


def test_transfer_in_range() -> None:
    with pytest.raises(ValueError, match="ends after it starts"):
        TransferStretch(start=3.0, end=3.0, way=TransferWay.GRID)
    with pytest.raises(ValueError, match="above 0"):
        TransferTerms(drawing=0.0)

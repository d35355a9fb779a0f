"""Set-ups are planned where the projector can stand, and named where it cannot."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core import projection, site
from giornata.core.foundation import Severity

# N45's machine and stand: images of 5.00 m from 7.0 m, 0.5 m of overlap, so at most 4.5 m apart.
MACHINE = projection.Projector(
    name="Hire projector",
    columns=1920,
    rows=1200,
    throw_min=1.4,
    throw_max=1.4,
    lumens=3500.0,
    mode="eco",
    modes={"full": 1.0, "eco": 0.8},
    shift_up=0.5,
    shift_side=0.1,
)
STAND = projection.Stand(distance=7.0, height=1.45, overlap=0.5, contrast=5.0, ambient=10.0)


def planned(*barred: tuple[float, float, float, float], length: float = 61.2):
    rooms = site.standing_rooms(
        length, (), [site.Barred(name="x", start=a, end=b, near=c, far=d) for a, b, c, d in barred]
    )
    return projection.plan_setups(length, [(0, 2.9)], [(0, 0.0)], (), MACHINE, STAND, rooms=rooms)


def covers(plan, length: float = 61.2) -> bool:
    """Whether images follow one another with the overlap asked for, from end to end."""
    ends = (plan.set_ups[0].start <= 1e-9, plan.set_ups[-1].end >= length - 1e-9)
    gaps = all(b.start <= a.end - 0.5 + 1e-6 for a, b in pairwise(plan.set_ups))
    return all(ends) and gaps


def test_n45_free_ground_changes_nothing() -> None:
    plain, _ = projection.plan_setups(61.2, [(0, 2.9)], [(0, 0.0)], (), MACHINE, STAND)
    # A hedge at the wall's foot bars nothing 7 m off.
    plan, findings = planned((10.0, 48.0, 0.0, 0.8))
    assert plan == plain
    assert len(plan.set_ups) == 14
    assert findings == ()


def test_set_ups_keep_clear_of_a_parked_car() -> None:
    plan, findings = planned((20.0, 23.5, 5.5, 7.5))
    assert findings == ()
    assert covers(plan)
    assert not any(20.0 < one.centre < 23.5 for one in plan.set_ups)
    # Worked out: 3.5 m are less than a step of 4.5 m, so no more set-ups than one are added.
    assert len(plan.set_ups) in (14, 15)


def test_set_ups_that_cannot_stand_are_named_with_what_is_free() -> None:
    # 8 m are more than a step of 4.5 m: at least one image must be thrown from in there.
    plan, findings = planned((20.0, 28.0, 5.5, 7.5))
    assert covers(plan)
    inside = [one for one in plan.set_ups if 20.0 + 1e-6 < one.centre < 28.0 - 1e-6]
    (finding,) = [one for one in findings if one.code == "projection.no_standing"]
    assert finding.severity is Severity.WARN
    assert len(inside) == 1
    assert finding.subject == f"set-up {inside[0].number}"
    assert "from 0.00 to 5.50 m off, or from 7.50 m on" in finding.remedy


def test_where_nothing_can_stand_at_all() -> None:
    _, findings = planned((0.0, 61.2, 0.0, 1000.0), length=61.2)
    (finding,) = [one for one in findings if one.code == "projection.no_standing"]
    assert finding.subject == "set-ups 1–14"
    assert "from 1000.00 m on" in finding.remedy


@settings(max_examples=60, deadline=None)
@given(st.floats(3.0, 53.0), st.floats(0.1, 4.4))
def test_a_stretch_shorter_than_a_step_is_always_stepped_over(at: float, wide: float) -> None:
    plan, findings = planned((at, at + wide, 6.0, 8.0))
    assert findings == ()
    assert covers(plan)
    assert not any(at + 1e-6 < one.centre < at + wide - 1e-6 for one in plan.set_ups)
    assert len(plan.set_ups) <= 15


def test_another_distance_is_proposed_only_where_one_can_stand() -> None:
    # A wall of 6 m wants two rows from 7 m; one row from 13.44 m back (6 × 1.6 × 1.4), where a
    # fence ends the ground at 12 m.
    ground = site.StandingStretch(name="yard", start=0, end=30, near=0, far=12)
    rooms = site.standing_rooms(30.0, (ground,))
    wall = (30.0, [(0, 6.0)], [(0, 0.0)], (), MACHINE, STAND)
    free, _ = projection.plan_setups(*wall)
    fenced, _ = projection.plan_setups(*wall, rooms=rooms)
    assert pytest.approx(13.44) in [one.distance for one in free.alternatives]
    assert all(one.distance <= 12 for one in fenced.alternatives)


@settings(max_examples=200, deadline=None)
@given(
    st.floats(0.2, 3.0), st.floats(0.0, 4.0), st.floats(0.1, 2.5), st.floats(0.3, 3.0)
)  # fmt: skip
def test_shade_against_rays(top: float, near: float, deep: float, lens: float) -> None:
    # Independent route: rays from the lens, 8 m off, to levels of the wall; one is stopped where
    # it runs lower than the top anywhere over the obstacle.
    level = projection.shade_level(top, near, near + deep, lens, 8.0)
    over = np.linspace(near, near + deep, 201)
    for z in (level - 0.01, level + 0.01):
        ray = z + (lens - z) * over / 8.0
        assert bool((ray < top - 1e-9).any()) == (z < level)


def test_a_hedge_shades_the_foot_of_the_wall() -> None:
    # By hand: 0.8 m high, 1.0 to 1.6 m off; lens 1.45 m up, 7 m off, above the hedge's top. The
    # ray over its wall side meets the wall at 0.8 - 0.65 × 1.0 ÷ 6.0 = 0.692 m.
    hedge = projection.InTheLight(
        name="hedge Box", start=10.0, end=14.0, near=1.0, far=1.6, height=0.8
    )
    wall = (61.2, [(0, 2.9)], [(0, 0.0)], (), MACHINE, STAND)
    plan, findings = projection.plan_setups(*wall, obstacles=[hedge])
    (finding,) = findings
    assert (finding.code, finding.severity) == ("projection.shaded", Severity.WARN)
    assert "up to 0.69 m of it" in finding.message
    # Its shadow is wider than it is: 10 - (c - 10) ÷ 6 to 14 + (14 - c) ÷ 6 about each lens at c.
    lit = [
        one.number
        for one in plan.set_ups
        if max(one.start, 10 + (10 - one.centre) / 6) < min(one.end, 14 + (14 - one.centre) / 6)
    ]
    assert lit == [3, 4]
    assert finding.subject == "hedge Box, set-ups 3, 4"
    # Behind the projector it shades nothing.
    behind = projection.InTheLight(name="x", start=10.0, end=14.0, near=7.0, far=9.0, height=3.0)
    assert projection.plan_setups(*wall, obstacles=[behind])[1] == ()


def test_shade_of_what_is_behind_the_light() -> None:
    with pytest.raises(ValueError, match="between the wall and the lens"):
        projection.shade_level(1.0, 8.0, 9.0, 1.5, 8.0)
    assert projection.shade_level(2.0, 5.0, 9.0, 1.5, 8.0) == np.inf

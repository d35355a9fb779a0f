"""Standing room: free depths before the wall, and ground too steep to stand on."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import site
from giornata.core.foundation import Severity
from giornata.core.site import Barred, Carrier, StandingRoom, StandingStretch

LANE = StandingStretch(name="lane", start=0, end=30, near=2, far=9)
FIELD = StandingStretch(name="field", start=20, end=60, near=12)
DITCH = Barred(name="ditch", start=10, end=40, near=5, far=7)
CAR = Barred(name="car", start=12, end=16, near=0, far=20)


def test_what_is_left_of_a_lane_a_field_a_ditch_and_a_car() -> None:
    # By hand, stretch by stretch of a wall of 60 m.
    rooms = site.standing_rooms(60.0, (LANE, FIELD), (DITCH, CAR))
    inf = math.inf
    assert [(room.start, room.end, room.free) for room in rooms] == [
        (0, 10, ((2, 9),)),
        (10, 12, ((2, 5), (7, 9))),
        (12, 16, ()),
        (16, 20, ((2, 5), (7, 9))),
        (20, 30, ((2, 5), (7, 9), (12, inf))),
        (30, 60, ((12, inf),)),  # the ditch lies before the field begins
    ]
    assert site.standing_room(rooms, 11.0) == ((2, 5), (7, 9))
    assert site.standing_room(rooms, 12.0) == ()
    assert site.standing_room(rooms, -3.0) == ((2, 9),)
    assert site.standing_room(rooms, 99.0) == ((12, inf),)


def test_a_free_depth_holds_its_own_ends() -> None:
    (room,) = site.standing_rooms(10.0, (LANE,))
    assert (room.start, room.end) == (0, 10)
    assert [room.holds(d) for d in (1.99, 2.0, 9.0, 9.01)] == [False, True, True, False]


SPANS = st.tuples(st.integers(0, 40), st.integers(1, 20), st.integers(0, 15), st.integers(1, 9))


@given(st.lists(SPANS, max_size=4), st.lists(SPANS, max_size=5), st.integers(1, 50))
def test_free_is_what_is_recorded_and_not_barred(stretches, barred, length) -> None:
    # Independent route: every place on a grid of half metres looked at by itself.
    ground = [
        StandingStretch(name="s", start=a, end=a + b, near=c, far=c + d) for a, b, c, d in stretches
    ]
    bars = [Barred(name="b", start=a, end=a + b, near=c, far=c + d) for a, b, c, d in barred]
    rooms = site.standing_rooms(float(length), ground, bars)
    assert [rooms[0].start, rooms[-1].end] == [0, length]
    for one, two in itertools.pairwise(rooms):
        assert one.end == two.start
        assert (one.free, one.surveyed, one.ground) != (two.free, two.surveyed, two.ground)
    for x in [k + 0.5 for k in range(length)]:
        here = [one for one in ground if one.start < x < one.end]
        free = site.standing_room(rooms, x)
        for d in [k + 0.5 for k in range(26)]:
            stands = not here or any(one.near < d < one.far for one in here)
            barred_here = any(b.start < x < b.end and b.near < d < b.far for b in bars)
            assert any(near < d < far for near, far in free) == (stands and not barred_here)


def test_no_room_anywhere_is_said() -> None:
    rooms = site.standing_rooms(60.0, (LANE, FIELD), (DITCH, CAR))
    (finding,) = site.standing_findings(rooms, (LANE, FIELD), lift=True)
    assert (finding.code, finding.severity) == ("site.no_standing_room", Severity.WARN)
    assert finding.subject == "standing room from 12.00 to 16.00 m"


def test_ground_not_recorded_is_said() -> None:
    rooms = site.standing_rooms(60.0, (LANE,))
    (finding,) = site.standing_findings(rooms, (LANE,), lift=False)
    assert (finding.code, finding.severity) == ("site.standing_unread", Severity.NOTE)
    assert "from 30.00 to 60.00 m" in finding.message
    # Where nothing was recorded at all, an obstacle alone needs no such note.
    assert site.standing_findings(site.standing_rooms(60.0, (), (DITCH,)), (), lift=False) == ()


def test_steep_ground() -> None:
    # By hand: 8 degrees along and 9 across: tan 0.14054, 0.15838, together 0.21174, 11.96 degrees.
    bank = StandingStretch(
        name="bank", start=0, end=9, along=math.radians(8), across=math.radians(-9)
    )
    assert math.degrees(bank.slope) == pytest.approx(11.96, abs=0.005)
    rooms = site.standing_rooms(9.0, (bank,))
    (lift,) = site.standing_findings(rooms, (bank,), lift=True)
    assert lift.code == "site.steep_for_lift"
    assert "plate" in lift.remedy
    (tripod,) = site.steep_findings((bank,), (Carrier.TRIPOD,))
    assert tripod.code == "site.steep"
    assert "From 0.00 to 9.00 m it slopes 12.0 degrees (8.0 along the wall, 9.0 across)" in (
        tripod.message
    )


@pytest.mark.parametrize(
    ("along", "across", "borne"),
    [
        (0.0, 0.0, {"tripod", "vehicle", "scaffold tower"}),
        (5.0, 0.0, {"tripod", "vehicle"}),  # a vehicle parks along the wall: 10 %, 5.7 degrees
        (0.0, 5.0, {"tripod"}),  # across it 4 degrees are the most
        (2.0, 2.0, {"tripod", "vehicle", "scaffold tower"}),  # together 2.8
        (9.0, 5.0, set()),  # together 10.3
    ],
)
def test_n46_each_carrier_has_a_slope_of_its_own(along: float, across: float, borne: set) -> None:
    # Common practice, no source: the limits are assumptions of the house.
    ground = StandingStretch(
        name="g", start=0, end=9, along=math.radians(along), across=math.radians(across)
    )
    assert {c.value for c in Carrier if site.level_enough(ground, c)} == borne


def test_n46_a_stretch_too_steep_is_no_room_and_not_open_ground() -> None:
    steep = StandingStretch(name="bank", start=0, end=9, near=2, far=8, across=math.radians(20))
    flat = StandingStretch(name="path", start=6, end=20, near=5, far=12)
    rooms = site.standing_rooms(
        30.0, (steep, flat), level_enough=lambda one: site.level_enough(one, Carrier.TRIPOD)
    )
    assert site.standing_room(rooms, 3.0) == ()
    assert site.standing_room(rooms, 7.0) == ((5, 12),)
    assert site.standing_room(rooms, 25.0) == ((0, math.inf),)  # nothing recorded: open
    (no_room,) = [
        one for one in site.standing_findings(rooms, (steep, flat), lift=False)
        if one.code == "site.no_standing_room"
    ]  # fmt: skip
    assert no_room.subject == "standing room from 0.00 to 6.00 m"
    assert rooms[1].ground_at(6.0) == flat
    assert rooms[1].ground_at(3.0) is None


@pytest.mark.parametrize(("degrees", "codes"), [(3.0, []), (3.1, ["site.steep_for_lift"])])
def test_lifts_are_plated_for_1_to_3_degrees(degrees: float, codes: list[str]) -> None:
    # Makers' plates of slab lifts allow 1 to 3 degrees; at 3 nothing is said, beyond it is.
    path = StandingStretch(name="path", start=0, end=9, along=math.radians(degrees))
    found = site.standing_findings(site.standing_rooms(9.0, (path,)), (path,), lift=True)
    assert [finding.code for finding in found] == codes


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"end": 0.0}, "ends after it starts"),
        ({"near": -1.0}, "0 or more before the wall"),
        ({"near": 3.0, "far": 3.0}, "ends beyond that"),
        ({"across": math.pi / 2}, "less than a right angle"),
    ],
)
def test_stretches_that_cannot_be(change, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        StandingStretch(**({"name": "x", "start": 0.0, "end": 5.0} | change))


def test_callers_mistakes() -> None:
    with pytest.raises(ValueError, match="length above 0"):
        site.standing_rooms(0.0, ())
    with pytest.raises(ValueError, match="no standing room"):
        site.standing_room((), 1.0)
    with pytest.raises(ValueError, match="length and a depth"):
        Barred(name="x", start=0, end=1, near=2, far=2)


def test_a_room_without_depths_holds_nothing() -> None:
    assert not StandingRoom(start=0, end=1, free=()).holds(5.0)

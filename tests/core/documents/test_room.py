"""Room on a sheet: nothing placed twice; texts spread no more than they must be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core.documents import Label
from giornata.core.documents.letters import label_box
from giornata.core.documents.room import Room, spread


@given(
    st.lists(st.floats(0, 400), min_size=1, max_size=30).map(sorted),
    st.floats(0.5, 6.0),
)
def test_spread_places_keep_order_gap_and_ends(wanted: list[float], gap: float) -> None:
    places = spread(wanted, gap, 0.0, 400.0)
    assert len(places) == len(wanted)
    assert min(places) >= -1e-9
    assert max(places) <= 400 + 1e-9
    assert all(np.diff(places) >= gap - 1e-9)


@given(st.lists(st.integers(0, 40), min_size=1, max_size=20, unique=True).map(sorted))
def test_places_far_enough_apart_stay(wanted: list[int]) -> None:
    assert spread([10.0 * k for k in wanted], 9.0, 0.0, 400.0) == pytest.approx(
        [10.0 * k for k in wanted]
    )


def test_a_pair_too_near_moves_apart_by_halves() -> None:
    """By hand: 20 and 21 want 5 between them: their middle 20.5 stays, 18 and 23."""
    assert spread([20.0, 21.0, 60.0], 5.0, 0.0, 100.0) == pytest.approx((18.0, 23.0, 60.0))


def test_more_texts_than_room_share_it() -> None:
    assert spread([1.0, 1.0, 1.0], 50.0, 0.0, 10.0) == pytest.approx((0.0, 5.0, 10.0))


def test_a_label_is_placed_once_and_never_over_another() -> None:
    room = Room((0.0, 0.0, 100.0, 20.0), gap=0.5)
    places = [Label(x=x, y=10.0, text="1234", size=9.0) for x in (10.0, 12.0, 40.0)]
    first, second = room.place(places), room.place(places)
    assert (first, second) == (places[0], places[2])
    assert room.place(places) is None
    assert [tuple(box) for box in room.taken] == [label_box(places[0]), label_box(places[2])]


def test_nothing_is_placed_beyond_the_bounds() -> None:
    room = Room((0.0, 0.0, 20.0, 20.0))
    assert room.place([Label(x=15.0, y=10.0, text="too long", size=14.0)]) is None


def test_many_boxes_are_kept() -> None:
    room = Room((0.0, 0.0, 1000.0, 1000.0))
    for k in range(200):
        room.take((k, 0.0, k + 0.5, 1.0))
    assert len(room.taken) == 200
    assert not room.free(np.array([[199.1, 0.2, 199.2, 0.3]]))[0]

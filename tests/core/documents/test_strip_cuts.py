"""Where a long wall is cut for drawing."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import pytest

from giornata.core.documents.strip_cuts import strips
from giornata.core.survey import Opening

Make = Callable[..., Any]


def test_strips_follow_one_another_and_none_is_too_long(made: Make) -> None:
    wall = made(61.2, 2.9, 12).wall
    cut = strips(wall, 18.9)
    assert cut[0].start == 0.0
    assert cut[-1].end == wall.length
    assert all(a.end == b.start for a, b in itertools.pairwise(cut))
    assert all(one.end - one.start <= 18.9 + 1e-9 for one in cut)
    assert len(cut) == 4  # 61.2 / 18.9 = 3.24


def test_a_cut_goes_to_the_end_of_a_bay(made: Make) -> None:
    """12 bays of 5.1 m: an even quarter is 15.3 m, and so is the end of bay 3."""
    cut = strips(made(61.2, 2.9, 12).wall, 18.9)
    assert [one.end for one in cut] == pytest.approx([15.3, 30.6, 45.9, 61.2])


def test_a_cut_spares_openings(made: Make) -> None:
    """One bay of 30 m, a gate where half of it falls: the cut goes clear of it by 0.3 m."""
    gate = Opening(name="gate", start=14.0, end=16.0)
    cut = strips(made(30.0, 2.5, 1, openings=(gate,)).wall, 20.0)
    assert len(cut) == 2
    assert not 13.7 < cut[0].end < 16.3


def test_a_short_wall_is_one_strip_without_match_lines(made: Make) -> None:
    (one,) = strips(made(20.0, 2.5, 1).wall, 20.0)
    assert (one.left_cut, one.right_cut) == (None, None)


def test_neighbours_meet_at_one_letter(made: Make) -> None:
    cut = strips(made(2000.0, 3.0, 200).wall, 19.0)
    assert len(cut) == 106  # 2000 / 19 = 105.3
    assert all(a.right_cut == b.left_cut for a, b in itertools.pairwise(cut))
    letters = [one.right_cut for one in cut[:-1]]
    assert len(set(letters)) == len(letters)
    assert letters[:2] == ["A", "B"]
    assert letters[25:28] == ["Z", "AA", "AB"]


def test_a_strip_needs_a_length(made: Make) -> None:
    with pytest.raises(ValueError, match="length above 0"):
        strips(made(20.0, 2.5, 1).wall, 0.0)

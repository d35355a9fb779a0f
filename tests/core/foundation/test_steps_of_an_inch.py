"""What is set out by tape is printed to 1/16 in, what describes the wall to 1/8 in."""

from __future__ import annotations

import math

import pytest

from giornata.core.foundation import FOOT, INCH, Dimension, System, parse, shown_place


@pytest.mark.parametrize(("digits", "parts"), [(3, 16), (4, 16), (2, 8)])
def test_n49_a_printed_chainage_is_off_by_half_a_step_at_most(digits: int, parts: int) -> None:
    """Rounding to a step is off by half of it at most, and by step / √12 as a standard error.

    Rectangular distribution: JCGM 100:2008 (GUM), 4.3.7. Over 1 ft; below it all is to 1/16 in.
    """
    places = [0.3048 + 0.01237 * k for k in range(4000)]
    off = [parsed(shown_place(at, System.US, digits=digits)) - at for at in places]
    step = INCH / parts
    assert max(map(abs, off)) <= step / 2 + 1e-9
    spread = math.sqrt(sum(one * one for one in off) / len(off))
    assert spread == pytest.approx(step / math.sqrt(12), rel=0.03)


def test_whole_feet_stand_alone() -> None:
    assert shown_place(32 * FOOT, System.US) == "32 ft"
    assert shown_place(-2 * FOOT, System.US) == "-2 ft"
    assert shown_place(32 * FOOT + INCH / 16, System.US) == "32 ft 1/16 in"
    assert shown_place(10 * INCH, System.US) == "10 in"


def parsed(text: str) -> float:
    """Read back by the program's own reader of lengths. [m]"""
    value = parse(text, Dimension.LENGTH, subject="made")
    assert isinstance(value, float)
    return value

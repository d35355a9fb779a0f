"""By how much a closure moved the design in a set-up's picture, in words."""

from __future__ import annotations

from collections.abc import Callable

from giornata.core.documents import moved_words
from giornata.core.foundation import System
from giornata.core.job import JobResults


def test_c4_a_moved_design_is_said_in_words(made: Callable[..., JobResults]) -> None:
    # The first picture runs from 0 to 5 m. From 10 mm at 0 m to 20 mm at 10 m is 15 mm at 5 m.
    one = made(61.2, 2.9, 12).set_ups.set_ups[0]
    assert (one.start, round(one.end, 6)) == (0.0, 5.0)

    def said(*knots: tuple[float, float, float], system: System = System.METRIC) -> str:
        return moved_words(knots, one, system)

    assert said() == said((0.0, 0.0, 0.0), (9.0, 0.0004, 0.0)) == ""
    even = said((0.0, 0.012, -0.005), (9.0, 0.012, -0.005))
    assert [word for word in even.split() if not word[0].isdigit()] == [
        "mm",
        "right,",
        "mm",
        "down",
    ]
    bent = said((0.0, 0.010, 0.0), (10.0, 0.020, 0.0))
    first, last = bent.split(" and ")
    assert first.startswith("10")
    assert first.endswith("mm right at the left edge")
    assert last.startswith("15")
    assert last.endswith("mm right at the right")
    turned = said((0.0, 0.0, 0.0), (5.0, -0.0254, 0.0), system=System.US)
    assert turned.startswith("not moved at the left edge and 1")
    assert "in left at the right" in turned

"""The part of a wall that an unknown can change draws the change as the whole wall would."""

import math
from dataclasses import replace

import numpy as np
import pytest

from giornata.core import survey
from giornata.core.survey import Height, Kind, Level, Opening, Taken
from giornata.core.survey.adjusted_wall import AdjustedWall, adjusted_wall
from giornata.core.survey.openings import openings_on_wall
from giornata.core.survey.outline import outline
from giornata.core.survey.profile import profile

STEP = 0.0001  # m
REACH = 0.02


def areas(one: survey.WallSurvey) -> np.ndarray:
    length = one.overall or math.fsum(bay.length for bay in one.bays)
    made, _ = profile(one, length, REACH)
    assert made is not None
    gross, _ = outline(made.top.points, made.ground.points)
    _, net, _ = openings_on_wall(one, gross, length, REACH)
    return np.array([gross.area, net.area])


def made_survey(rng: np.random.Generator, kinds: str) -> survey.WallSurvey:
    """A wall of 60 m with whatever was read of it: top (t), ground (g), heights (h)."""

    def places(count: int) -> list[float]:
        return sorted(round(float(at), 2) for at in rng.uniform(0, 60, count))

    def levels(base: float, count: int) -> tuple[Level, ...]:
        at = places(count)
        at[count // 2] = at[count // 2 - 1]  # a step
        return tuple(Level(at=a, level=base + float(rng.normal(0, 0.2))) for a in at)

    starts = rng.uniform(0, 54, 5)
    return survey.WallSurvey(
        datum="made",
        bays=tuple(survey.Bay(name=str(n), length=6.0) for n in range(10)),
        overall=60.0 if rng.random() < 0.5 else None,
        closure_limit=REACH,
        top=levels(4.0, int(rng.integers(4, 12))) if "t" in kinds else (),
        ground=levels(0.0, int(rng.integers(4, 12))) if "g" in kinds else (),
        heights=tuple(
            Height(at=at, height=4.0 + float(rng.normal(0, 0.2)))
            for at in (places(int(rng.integers(3, 9))) if "h" in kinds else [])
        ),
        openings=tuple(
            Opening(name="W", start=float(start), end=float(start + rng.uniform(0.5, 6)),
                    foot=1.0 if n % 2 else None, head=2.5 if n % 3 else None)
            for n, start in enumerate(starts)
        ),
        readings=(Taken(kind=Kind.CHAINAGE, end="end of bay 3", value=24.001),),
    )  # fmt: skip


def adjusted(one: survey.WallSurvey) -> AdjustedWall:
    found, _ = adjusted_wall(one, None)
    assert found is not None
    assert found.used
    return found


@pytest.mark.parametrize("kinds", ["tg", "h", "t", "th", "gh", "tgh"])
def test_a_part_changes_as_the_whole_does(kinds: str) -> None:
    rng = np.random.default_rng(sum(map(ord, kinds)))
    for _ in range(4):
        found = adjusted(made_survey(rng, kinds))
        values, network = found.adjustment.values, found.network
        parts = {column: (low, high) for column, low, high in found.moved()}
        for column, unknown in enumerate(found.adjustment.unknowns):
            low = network.put_back({**values, unknown: values[unknown] - STEP})
            high = network.put_back({**values, unknown: values[unknown] + STEP})
            whole = areas(high) - areas(low)
            if column in parts:
                less, more = parts[column]
                # Coordinates are rounded to a nanometre, over 60 m of wall.
                assert areas(more) - areas(less) == pytest.approx(whole, abs=5e-7), unknown
            else:
                assert whole == pytest.approx([0, 0], abs=5e-7), unknown


def test_a_part_is_small_where_the_wall_is_long() -> None:
    at = [5.0 * n for n in range(101)]
    long = survey.WallSurvey(
        datum="made",
        bays=(survey.Bay(name="1", length=500.0),),
        top=tuple(Level(at=a, level=3.0) for a in at),
        ground=tuple(Level(at=a, level=0.0) for a in at),
        readings=(Taken(kind=Kind.CHAINAGE, end="mark", value=3.0),),
    )
    sizes = [len(high.top) for _, _, high in adjusted(long).moved()]
    assert len(sizes) > 200
    assert max(sizes) <= 10


def test_heights_alone_hang_on_the_first_of_them() -> None:
    # Where only heights were taped the first places the top: moving it moves every opening's foot.
    rng = np.random.default_rng(7)
    one = replace(made_survey(rng, "h"), openings=(Opening(name="W", start=50, end=52, head=2.0),))
    found = adjusted(one)
    first = min(range(len(one.heights)), key=lambda index: one.heights[index].at)
    head = found.network.heights[first][2]
    column = found.adjustment.unknowns.index((survey.Axis.LEVEL, head))
    (pair,) = [(low, high) for place, low, high in found.moved() if place == column]
    assert [len(part.openings) for part in pair] == [1, 1]

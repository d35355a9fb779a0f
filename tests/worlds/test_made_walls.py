"""A made wall surveyed 200 times: lengths and areas come back with the uncertainty they state."""

import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from giornata.core import survey
from giornata.core.survey import Height, Kind, Level, Opening, Taken

MM = 0.001
TRIALS = 200
LENGTH, HEIGHT = 6 * MM, 5 * MM
ENDS = np.array([0.0, 6.5, 12.0, 19.5, 26.0])
AT = np.array([0.0, 7.0, 13.0, 26.0])
TOP = np.array([3.0, 3.1, 3.1, 2.7])
GROUND = np.array([0.0, 0.1, 0.25, 0.4])
GATE = (14.0, 17.5)
WINDOW = (3.0, 5.0, 1.0, 2.2)


def surveyed(rng: np.random.Generator | None) -> survey.WallSurvey:
    """The wall as taped and levelled once, with overlapping checks; without a generator, exactly.

    Every number that is read errs by itself: the running chainages too, which is why a row that
    stands at the wall's end is read at the end that was taped.
    """

    def tape(value: float) -> float:
        return float(value if rng is None else value + rng.normal(0, LENGTH))

    def level(value: float) -> float:
        return float(value if rng is None else value + rng.normal(0, HEIGHT))

    overall = tape(ENDS[-1])
    at = [0.0, *(tape(a) for a in AT[1:-1]), overall]
    gate, window = tape(GATE[0]), tape(WINDOW[0])
    foot = level(WINDOW[2])
    readings = [
        Taken(kind=Kind.CHAINAGE, end=f"end of bay {n}", value=tape(ENDS[n])) for n in (1, 2, 3, 4)
    ]
    readings += [
        Taken(kind=Kind.LENGTH, start="end of bay 2", end="gate left", value=tape(GATE[0] - 12.0)),
        Taken(kind=Kind.LENGTH, start="gate right", end="end of bay 3", value=tape(19.5 - GATE[1])),
        Taken(kind=Kind.LENGTH, start="window left", end="window right", value=tape(2.0)),
        Taken(kind=Kind.LEVEL, end="G0", value=level(GROUND[0])),
        Taken(kind=Kind.HEIGHT, start="G0", end="T0", value=level(TOP[0] - GROUND[0])),
        Taken(kind=Kind.HEIGHT, start="T3", end="T0", value=level(TOP[0] - TOP[3])),
        Taken(kind=Kind.HEIGHT, start="window foot", end="window head", value=level(1.2)),
    ]
    return survey.WallSurvey(
        datum="made",
        bays=tuple(
            survey.Bay(name=str(n), length=tape(b - a))
            for n, (a, b) in enumerate(itertools.pairwise(ENDS), 1)
        ),
        overall=overall,
        closure_limit=0.1,
        length_sigma=LENGTH,
        height_sigma=HEIGHT,
        top=tuple(
            Level(at=a, level=level(v), name=f"T{n}")
            for n, (a, v) in enumerate(zip(at, TOP, strict=True))
        ),
        ground=tuple(
            Level(at=a, level=level(v), name=f"G{n}")
            for n, (a, v) in enumerate(zip(at, GROUND, strict=True))
        ),
        heights=tuple(
            Height(at=a, height=level(t - g)) for a, t, g in zip(at, TOP, GROUND, strict=True)
        ),
        openings=(
            Opening(name="gate", start=gate, end=gate + tape(GATE[1] - GATE[0])),
            Opening(name="window", start=window, end=window + tape(2.0), foot=foot,
                    head=foot + level(1.2)),
        ),
        readings=tuple(readings),
    )  # fmt: skip


def quantities(made: survey.DevelopedWall) -> dict[str, tuple[float, float]]:
    """Value and stated standard deviation of every length and area of a wall."""
    figures = [made.wall_length, made.gross_area, made.openings_area, made.net_area]
    figures += [*made.wall_length.parts, *made.openings_area.parts]
    return {figure.name: (float(figure), figure.sigma or 0.0) for figure in figures}


@pytest.fixture(scope="module")
def trials() -> tuple[dict[str, float], list[dict[str, tuple[float, float]]], list[Any]]:
    """The truth, what each of the surveys gave, and their adjustments."""
    truth, _ = survey.develop(surveyed(None))
    assert truth is not None
    rng = np.random.default_rng(20261128)
    given, adjustments = [], []
    for _ in range(TRIALS):
        made, _ = survey.develop(surveyed(rng))
        assert made is not None
        assert made.adjustment is not None
        given.append(quantities(made))
        adjustments.append(made.adjustment)
    return {name: value for name, (value, _) in quantities(truth).items()}, given, adjustments


def test_the_exact_wall_is_the_true_wall(trials) -> None:
    truth, _, _ = trials
    # By hand: trapezoids of top less ground, 7 × 3 + 6 × 2.925 + 13 × 2.575; the window 2 × 1.2.
    assert truth["gross area"] == pytest.approx(21 + 17.55 + 33.475)
    assert truth["opening window"] == pytest.approx(2.4)
    assert truth["wall length"] == pytest.approx(26.0)


def test_posterior_errors_are_those_put_in(trials) -> None:
    _, _, adjustments = trials
    squares = [(found.posterior or 0.0) ** 2 for found in adjustments if found.used]
    freedom = adjustments[0].freedom
    # A mean of posterior variances of f degrees of freedom is known to √(2 ÷ n f); four times that.
    assert np.mean(squares) == pytest.approx(1.0, abs=4 * (2 / (len(squares) * freedom)) ** 0.5)


def test_intervals_of_lengths_and_areas_hold_the_truth(trials) -> None:
    truth, given, adjustments = trials
    sound = [one for one, found in zip(given, adjustments, strict=True) if found.used]
    assert len(sound) >= 0.95 * TRIALS
    held = [
        abs(value - truth[name]) <= 1.96 * sigma
        for one in sound
        for name, (value, sigma) in one.items()
    ]
    assert 0.93 <= np.mean(held) <= 0.97


@pytest.mark.parametrize(
    "name",
    ["wall length", "bay 2", "bay 4", "gross area", "opening gate", "opening window", "openings",
     "net area"],
)  # fmt: skip
def test_the_spread_of_each_quantity_is_the_one_stated(trials, name: str) -> None:
    truth, given, _ = trials
    values = np.array([one[name][0] for one in given])
    stated = float(np.median([one[name][1] for one in given]))
    # The spread of 200 is known to 1 ÷ √400 = 5 %; three and a half times that.
    assert np.std(values) == pytest.approx(stated, rel=0.175)
    assert np.mean(values) == pytest.approx(truth[name], abs=4 * stated / TRIALS**0.5)


def test_all_readings_together_know_the_wall_better_than_the_plain_ones(trials) -> None:
    plain, _ = survey.develop(replace(surveyed(None), readings=()))
    assert plain is not None
    _, given, _ = trials
    for name in ("gross area", "net area"):
        alone = quantities(plain)[name][1]
        assert np.median([one[name][1] for one in given]) < 0.95 * alone

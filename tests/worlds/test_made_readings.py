"""Made walls with known noise: an adjustment gives the noise back, and names what was planted."""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from giornata.core import survey
from giornata.core.survey import Kind, Taken

MM = 0.001
TRIALS = 200
BAYS = [6.55, 5.20, 7.90, 6.50, 4.80, 6.55, 6.10, 5.90]
HEIGHT = 3.1


def true_wall() -> tuple[list[Taken], list[float], dict[str, tuple[float, float]]]:
    """Readings without noise on a wall of eight bays, their deviations, and the true points."""
    ends = np.concatenate([[0.0], np.cumsum(BAYS)])
    falls = 0.02 * np.sin(ends / 9.0)
    feet = ["datum", *(f"f{n}" for n in range(1, len(ends)))]
    heads = [f"h{n}" for n in range(len(ends))]
    points = {"datum": (0.0, 0.0)}
    for n, (at, fall) in enumerate(zip(ends, falls, strict=True)):
        lean = 0.03 * np.cos(n)
        points[feet[n]] = (float(at), float(fall))
        points[heads[n]] = (float(at + lean), float(fall + HEIGHT + 0.05 * n))
    points["datum"] = (0.0, 0.0)
    readings: list[Taken] = []
    sigma: list[float] = []

    def add(kind: Kind, start: str, end: str, error: float) -> None:
        (a, low), (b, high) = points[start], points[end]
        value = {
            Kind.LENGTH: b - a, Kind.CHAINAGE: b, Kind.PLUMB: b - a, Kind.LEVEL: high,
            Kind.HEIGHT: high - low, Kind.DIAGONAL: float(np.hypot(b - a, high - low)),
        }[kind]  # fmt: skip
        readings.append(Taken(kind=kind, start=start, end=end, value=value))
        sigma.append(error)

    for a, b in itertools.pairwise(feet):
        add(Kind.LENGTH, a, b, 2 * MM)
    for n in range(1, len(ends)):
        add(Kind.CHAINAGE, "datum", feet[n], 6 * MM)
        add(Kind.LEVEL, "datum", feet[n], 5 * MM)
    for n in range(len(ends)):
        add(Kind.HEIGHT, feet[n], heads[n], 5 * MM)
        add(Kind.LEVEL, "datum", heads[n], 5 * MM)
        add(Kind.PLUMB, feet[n], heads[n], 3 * MM)
    for n in range(len(ends) - 1):
        add(Kind.DIAGONAL, feet[n], heads[n + 1], 3 * MM)
        add(Kind.DIAGONAL, heads[n], feet[n + 1], 3 * MM)
    return readings, sigma, points


def noisy(rng: np.random.Generator, readings: list[Taken], sigma: list[float]) -> list[Taken]:
    errors = rng.normal(0, sigma)
    return [
        replace(reading, value=reading.value + error)
        for reading, error in zip(readings, errors, strict=True)
    ]


def test_the_noise_put_in_comes_back_and_intervals_hold_the_truth() -> None:
    rng = np.random.default_rng(19680205)
    readings, sigma, points = true_wall()
    squares, held, asked, failed = [], 0, 0, 0
    for _ in range(TRIALS):
        found = survey.adjust(noisy(rng, readings, sigma), sigma)
        assert found is not None
        squares.append((found.posterior or 0) ** 2)
        failed += not found.passed
        for point in found.points:
            true = points[point.name]
            for value, error, of in (
                (point.chainage, point.chainage_sigma, true[0]),
                (point.level, point.level_sigma, true[1]),
            ):
                if value is not None and error:
                    asked += 1
                    held += abs(value - of) <= 1.96 * error
    # A mean of 200 posterior variances of f degrees of freedom is known to √(2 ÷ 200 f).
    within = 4 * (2 / (TRIALS * found.freedom)) ** 0.5
    assert found.freedom == 33
    assert np.mean(squares) == pytest.approx(1.0, abs=within)
    assert 0.93 <= held / asked <= 0.97
    # 5 % of 200 is 10; four standard deviations of a binomial count, √(200 × 0.05 × 0.95) = 3.1.
    assert abs(failed - 10) <= 13


def test_a_planted_slip_of_50_mm_is_named() -> None:
    rng = np.random.default_rng(50)
    readings, sigma, _ = true_wall()
    first = survey.adjust(readings, sigma)
    assert first is not None
    named = announced = 0
    for _ in range(TRIALS):
        slipped = int(rng.integers(len(readings)))
        taken = noisy(rng, readings, sigma)
        taken[slipped] = replace(taken[slipped], value=taken[slipped].value + 50 * MM)
        found = survey.adjust(taken, sigma)
        assert found is not None
        assert found.worst is not None
        named += found.worst == slipped
        announced += abs(found.readings[found.worst].test or 0) > survey.critical_test()
    # With this seed: announced in 200 of 200, named in 188; the rest name a neighbour whose
    # residual moves nearly alike.
    assert announced >= 199
    assert named >= 180


def test_the_smallest_detectable_error_is_found_four_times_in_five() -> None:
    # Baarda 1968: at the power of 80 % that the size is stated for.
    rng = np.random.default_rng(4)
    readings, sigma, _ = true_wall()
    first = survey.adjust(readings, sigma)
    assert first is not None
    doubted = 0
    for trial in range(TRIALS):
        slipped = trial % len(readings)
        size = first.readings[slipped].detectable
        assert size is not None
        taken = noisy(rng, readings, sigma)
        taken[slipped] = replace(taken[slipped], value=taken[slipped].value + size)
        found = survey.adjust(taken, sigma)
        assert found is not None
        doubted += abs(found.readings[slipped].test or 0) > survey.critical_test()
    # 160 of 200; four standard deviations, √(200 × 0.8 × 0.2) = 5.7.
    assert abs(doubted - 160) <= 23


def test_n3_a_pier_of_150_mm_missed_in_any_bay_is_found_by_a_running_tape() -> None:
    rng = np.random.default_rng(3)
    feet = ["datum", *(str(n) for n in range(1, 15))]
    sigma = [1.3 * MM] * 14 + [8 * MM] * 14
    named = 0
    for _ in range(TRIALS):
        missed = int(rng.integers(1, 15))
        true = [4.35 * n + 0.15 * (n >= missed) for n in range(15)]
        bays = [
            Taken(kind=Kind.LENGTH, start=a, end=b, value=4.35) for a, b in itertools.pairwise(feet)
        ]
        running = [Taken(kind=Kind.CHAINAGE, end=feet[n], value=true[n]) for n in range(1, 15)]
        found = survey.adjust(noisy(rng, bays + running, sigma), sigma)
        assert found is not None
        assert not found.passed
        named += found.worst == missed - 1
    assert named == TRIALS

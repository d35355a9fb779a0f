"""Made walls give back their noise: no more than was put in, and no less."""

import numpy as np
import pytest

from giornata.core import survey
from giornata.core.survey.profile import profile

MM = 0.001
# The spread of 600 draws is itself known to 1 ÷ √1200 = 2.9 %; four times that.
DRAWS = 600
WITHIN = 0.12


def areas(surveys: list[survey.WallSurvey]) -> tuple[np.ndarray, np.ndarray, float]:
    """Gross and net areas of many surveys of one wall, and the mean sigma of the net."""
    gross, net, sigma = [], [], []
    for one in surveys:
        wall, _ = survey.develop(one)
        assert wall is not None
        gross.append(float(wall.gross_area))
        net.append(float(wall.net_area))
        sigma.append(wall.net_area.sigma)
    return np.array(gross), np.array(net), float(np.mean(sigma))


@pytest.mark.parametrize(
    ("length_sigma", "height_sigma"), [(1 * MM, 8 * MM), (40 * MM, 1 * MM), (20 * MM, 5 * MM)]
)
def test_noise_of_levels_and_overall_comes_back(length_sigma: float, height_sigma: float) -> None:
    rng = np.random.default_rng(20270208)
    at = np.array([0.0, 7.0, 15.0, 22.0, 22.0, 30.0, 41.0, 48.0])
    top = np.array([3.0, 3.0, 3.0, 3.0, 2.6, 2.6, 2.6, 2.6])
    ground = np.linspace(0.0, 0.7, len(at))
    made = []
    for _ in range(DRAWS):
        stretch = 1 + rng.normal(0, length_sigma) / 48.0
        width = rng.normal(0, length_sigma)
        levels = rng.normal(0, height_sigma, (3, len(at)))
        made.append(
            survey.WallSurvey(
                datum="made",
                bays=(survey.Bay(name="1", length=48.0 * stretch),),
                overall=48.0 * stretch,
                length_sigma=length_sigma,
                height_sigma=height_sigma,
                top=tuple(
                    survey.Level(at=a * stretch, level=v)
                    for a, v in zip(at, top + levels[0], strict=True)
                ),
                ground=tuple(
                    survey.Level(at=a * stretch, level=v)
                    for a, v in zip(at, ground + levels[1], strict=True)
                ),
                openings=(
                    survey.Opening(
                        name="W", start=8.0, end=14.0 + width, foot=0.5, head=2.5 + levels[2, 0]
                    ),
                ),
            )
        )
    gross, net, sigma = areas(made)
    wall, _ = survey.develop(made[0])
    assert wall is not None
    assert np.std(gross) == pytest.approx(wall.gross_precision.root_sum, rel=WITHIN)
    assert np.std(net) == pytest.approx(sigma, rel=WITHIN)
    assert np.abs(gross - gross.mean()).max() > wall.gross_precision.root_sum
    # The mean is the true area: trapezoids by an independent routine.
    assert gross.mean() == pytest.approx(np.trapezoid(top - ground, at), abs=5 * sigma / 600**0.5)


def test_noise_of_a_chain_without_overall_comes_back() -> None:
    # Bays err one by one and levels are read at their ends, so nothing stretches evenly here:
    # the even stretch that the figure assumes must still be right within the same bounds.
    rng = np.random.default_rng(78)
    bays = np.array([6.5, 5.0, 7.9, 6.5, 6.1, 5.2, 6.5, 7.0])
    heights = np.linspace(3.2, 1.9, 9)
    sigma = 30 * MM
    made = []
    for _ in range(DRAWS):
        taped = bays + rng.normal(0, sigma, len(bays))
        at = np.concatenate([[0.0], np.cumsum(taped)])
        made.append(
            survey.WallSurvey(
                datum="made",
                bays=tuple(survey.Bay(name=str(n), length=b) for n, b in enumerate(taped)),
                length_sigma=sigma,
                height_sigma=3 * MM,
                heights=tuple(
                    survey.Height(at=a, height=h)
                    for a, h in zip(at, heights + rng.normal(0, 3 * MM, 9), strict=True)
                ),
            )
        )
    gross, _, propagated = areas(made)
    assert np.std(gross) == pytest.approx(propagated, rel=WITHIN)


def test_noise_of_a_tape_comes_back_as_misclosure() -> None:
    rng = np.random.default_rng(1)
    bays = np.array([6.55, 6.55, 7.90, 5.20, 6.55, 6.55])
    overall = bays.sum()
    # Class II, by hand: 7 m 1.7 mm, 8 m 1.9 mm, 6 m 1.5 mm; overall 39.3 m: 0.3 + 0.2 × 40 = 8.3.
    errors = np.array([1.7, 1.7, 1.9, 1.5, 1.7, 1.7]) * MM
    found = []
    for _ in range(DRAWS):
        taped = bays + rng.normal(0, errors)
        closed, _ = survey.closure(
            survey.WallSurvey(
                datum="made",
                bays=tuple(survey.Bay(name=str(n), length=b) for n, b in enumerate(taped)),
                overall=overall + rng.normal(0, 8.3 * MM),
                tape=survey.TapeClass.II,
            )
        )
        assert closed is not None
        found.append((closed.misclosure, closed.expected.root_sum))
    misclosures, expected = np.array(found).T
    assert np.std(misclosures) == pytest.approx(expected.mean(), rel=WITHIN)


def test_heights_that_share_a_level_line_do_not_count_it_twice() -> None:
    # Ground inferred from top less height: the top's own error leaves the area again.
    one = survey.WallSurvey(
        datum="made",
        bays=(survey.Bay(name="1", length=10.0),),
        length_sigma=1e-9,
        height_sigma=5 * MM,
        top=(survey.Level(at=0, level=3.0), survey.Level(at=10, level=3.0)),
        heights=(survey.Height(at=0, height=3.0), survey.Height(at=10, height=2.5)),
    )
    wall, _ = survey.develop(one)
    assert wall is not None
    # By hand: each height stands for 5 m: √2 × 5 × 0.005 m².
    assert wall.gross_precision.root_sum == pytest.approx(2**0.5 * 0.025, rel=1e-6)


@pytest.mark.parametrize(
    ("top", "ground", "heights"),
    [
        ([(0, 3.0), (10, 2.0)], [(0, 0.0), (10, 0.5)], [(4, 2.9)]),
        ([(0, 3.0), (6, 3.0), (6, 2.0)], [], [(0, 2.9), (9, 1.5)]),
        ([], [(0, 0.1), (10, 0.5)], [(2, 2.9), (7, 2.2)]),
        ([], [], [(1, 2.9), (7, 2.2)]),
    ],
)
def test_shares_of_the_readings_give_the_area_back(top, ground, heights) -> None:
    # The lines are linear in the readings, so shares × readings × length is the area exactly.
    made, _ = profile(
        survey.WallSurvey(
            datum="made",
            bays=(survey.Bay(name="1", length=10.0),),
            top=tuple(survey.Level(at=a, level=v) for a, v in top),
            ground=tuple(survey.Level(at=a, level=v) for a, v in ground),
            heights=tuple(survey.Height(at=a, height=v) for a, v in heights),
        ),
        10.0,
        0.02,
    )
    assert made is not None
    values = np.array([reading.value for reading in made.readings])
    assert 10.0 * made.mean_height_shares() @ values == pytest.approx(made.area(), abs=1e-9)

"""Laws that hold for any wall."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core import survey
from giornata.core.foundation import Severity

LENGTH = 40.0
levels = st.integers(0, 80).map(lambda n: n / 100)
chainages = st.integers(0, 80).map(lambda n: n / 2)


@st.composite
def lines(draw: st.DrawFn, low: float) -> tuple[survey.Level, ...]:
    """Readings at both ends and in between, now and then with a step."""
    places = draw(st.lists(chainages, min_size=0, max_size=6, unique=True))
    readings = []
    for at in sorted({0.0, LENGTH, *places}):
        stepped = 0 < at < LENGTH and draw(st.booleans())
        for _ in range(2 if stepped else 1):
            readings.append(survey.Level(at=at, level=low + draw(levels)))
    return tuple(readings)


@st.composite
def openings(draw: st.DrawFn, name: str) -> survey.Opening:
    start, end = sorted(draw(st.lists(chainages, min_size=2, max_size=2, unique=True)))
    foot = draw(st.one_of(st.none(), levels))
    head = draw(st.one_of(st.none(), levels.map(lambda v: v + 1.0)))
    return survey.Opening(name=name, start=start, end=end, foot=foot, head=head)


@st.composite
def walls(draw: st.DrawFn) -> survey.WallSurvey:
    cuts = draw(st.lists(st.integers(1, 39), max_size=5, unique=True))
    ends = [0.0, *sorted(float(c) for c in cuts), LENGTH]
    bays = tuple(
        survey.Bay(name=str(n), length=b - a) for n, (a, b) in enumerate(itertools.pairwise(ends))
    )
    return survey.WallSurvey(
        datum="made",
        bays=bays,
        overall=LENGTH,
        top=draw(lines(low=2.0)),
        ground=draw(lines(low=0.0)),
        openings=tuple(draw(openings(name=f"W{n}")) for n in range(draw(st.integers(0, 3)))),
        bends=tuple(
            survey.Bend(at=at, angle=draw(st.floats(-1, 1)))
            for at in draw(st.lists(st.sampled_from([5.25, 11.75, 30.25]), unique=True))
        ),
    )


def net_of(wall: survey.WallSurvey) -> float:
    """Net area, 0 where the openings take it all."""
    made, _ = survey.develop(wall)
    return 0.0 if made is None else float(made.net_area)


law = settings(max_examples=60, deadline=None, derandomize=True)


@law
@given(walls(), openings(name="more"))
def test_adding_an_opening_never_adds_area(wall: survey.WallSurvey, opening) -> None:
    more = replace(wall, openings=(*wall.openings, opening))
    assert net_of(more) <= net_of(wall) + 1e-9


@law
@given(walls(), st.integers(0, 5), st.floats(0.2, 0.8))
def test_splitting_a_bay_in_two_changes_no_area(wall, which: int, part: float) -> None:
    bays = list(wall.bays)
    bay = bays.pop(which % len(bays))
    at = which % (len(bays) + 1)
    bays[at:at] = [
        survey.Bay(name="left", length=bay.length * part),
        survey.Bay(name="right", length=bay.length - bay.length * part),
    ]
    split = replace(wall, bays=tuple(bays))
    assert net_of(split) == pytest.approx(net_of(wall), abs=1e-9)
    one, _ = survey.develop(wall)
    two, _ = survey.develop(split)
    if one is not None and two is not None:
        assert two.outline.equals(one.outline)
        assert two.gross_area.sigma == pytest.approx(one.gross_area.sigma)


@law
@given(walls(), st.integers(-500, 500).map(lambda n: n / 100))
def test_moving_the_level_datum_moves_nothing_else(wall, shift: float) -> None:
    def moved(line):
        return tuple(survey.Level(at=r.at, level=r.level + shift) for r in line)

    def lifted(level):
        return None if level is None else level + shift

    other = replace(
        wall,
        top=moved(wall.top),
        ground=moved(wall.ground),
        openings=tuple(replace(o, foot=lifted(o.foot), head=lifted(o.head)) for o in wall.openings),
    )
    one, before = survey.develop(wall)
    two, after = survey.develop(other)
    assert [f.code for f in after] == [f.code for f in before]
    if one is None or two is None:
        assert one is two
        return
    assert float(two.net_area) == pytest.approx(float(one.net_area), abs=1e-9)
    assert two.net_area.sigma == pytest.approx(one.net_area.sigma, rel=1e-9)
    assert two.greatest_height == pytest.approx(one.greatest_height, abs=1e-9)
    assert np.allclose(two.plan, one.plan)
    assert np.allclose(two.top - one.top, [0, shift])


@law
@given(walls())
def test_a_mirrored_wall_has_the_same_areas(wall: survey.WallSurvey) -> None:
    def turned(line):
        return tuple(survey.Level(at=LENGTH - r.at, level=r.level) for r in reversed(line))

    mirror = replace(
        wall,
        bays=wall.bays[::-1],
        top=turned(wall.top),
        ground=turned(wall.ground),
        openings=tuple(
            replace(o, start=LENGTH - o.end, end=LENGTH - o.start) for o in wall.openings
        ),
        bends=tuple(survey.Bend(at=LENGTH - b.at, angle=b.angle) for b in wall.bends),
    )
    one, _ = survey.develop(wall)
    two, _ = survey.develop(mirror)
    if one is None or two is None:
        assert one is two
        return
    for figure in ("gross_area", "openings_area", "net_area"):
        here, there = getattr(one, figure), getattr(two, figure)
        assert float(there) == pytest.approx(float(here), abs=1e-9)
        assert there.sigma == pytest.approx(here.sigma, rel=1e-9)
    # A mirror keeps every distance: from end to end as the crow flies.
    ends = [np.hypot(*(w.plan[-1, 1:] - w.plan[0, 1:])) for w in (one, two)]
    assert ends[1] == pytest.approx(ends[0], abs=1e-9)


@law
@given(walls())
def test_the_gross_area_is_the_integral_of_the_height(wall: survey.WallSurvey) -> None:
    made, _ = survey.develop(wall)
    if made is None:
        return
    # Independent route: heights at the middles of 1 cm slices. Breaks lie on multiples of 0.5 m,
    # so no slice spans one and the middle of each is its mean.
    middles = np.arange(0.005, LENGTH, 0.01)
    heights = [survey.height_at(made, float(x)) for x in middles]
    assert float(made.gross_area) == pytest.approx(0.01 * np.sum(heights), rel=1e-9)


@law
@given(walls(), st.lists(st.floats(0, LENGTH), min_size=2, max_size=8))
def test_distances_along_the_wall_survive_the_bends(wall, places: list[float]) -> None:
    made, _ = survey.develop(wall)
    if made is None:
        return
    ends = sorted({*places, *made.plan[:, 0].tolist()})
    on_site = survey.space_from_wall(made, ends, 1.0)
    walked = np.hypot(*np.diff(on_site[:, :2], axis=0).T).sum()
    assert walked == pytest.approx(ends[-1] - ends[0], abs=1e-9)


@law
@given(walls(), st.floats(0.5, 3.0))
def test_a_motif_fits_where_the_wall_is_high_enough_and_nowhere_else(wall, height) -> None:
    made, _ = survey.develop(wall)
    if made is None:
        return
    spans = survey.fitting_spans(made, height)
    for x in np.linspace(0.013, LENGTH - 0.017, 77):
        inside = any(a <= x <= b for a, b in spans)
        high = survey.height_at(made, float(x)) - height
        assert inside == (high >= 0) or abs(high) < 1e-6


anywhere = st.one_of(st.floats(-60, 60), st.sampled_from([0.0, 1e-9, LENGTH, LENGTH + 0.01, 1e6]))
spans = st.lists(anywhere, min_size=2, max_size=2, unique=True).map(sorted)


@st.composite
def spoilt_walls(draw: st.DrawFn) -> survey.WallSurvey:
    """Whatever the records let through, sense or none."""
    some = st.integers(0, 4)
    sizes = st.one_of(st.floats(0.001, 50), st.sampled_from([1e-6, 4.35, 1e3]))
    readings = st.builds(survey.Level, at=anywhere, level=st.floats(-5, 5))
    return survey.WallSurvey(
        datum="anywhere",
        bays=tuple(survey.Bay(name="x", length=draw(sizes)) for _ in range(1 + draw(some))),
        overall=draw(st.one_of(st.none(), sizes)),
        closure_limit=draw(st.sampled_from([0.001, 0.02, 100.0])),
        top=tuple(draw(st.lists(readings, max_size=4))),
        ground=tuple(draw(st.lists(readings, max_size=4))),
        heights=tuple(
            survey.Height(at=draw(anywhere), height=draw(sizes)) for _ in range(draw(some))
        ),
        bends=tuple(
            survey.Bend(at=draw(anywhere), angle=draw(st.floats(-3.1, 3.1)))
            for _ in range(draw(some))
        ),
        joints=tuple(draw(st.lists(anywhere, max_size=4))),
        openings=tuple(
            survey.Opening(
                name="x", start=a, end=b, foot=draw(st.one_of(st.none(), st.floats(-5, 5)))
            )
            for a, b in draw(st.lists(spans, max_size=3))
        ),
        piers=tuple(
            survey.Pier(
                name="x", at=draw(anywhere), width=draw(sizes), proud=0.1, returns_painted=True
            )
            for _ in range(draw(some))
        ),
        obstacles=tuple(
            survey.Obstacle(name="x", kind="wall", start=a, end=b, height=draw(st.floats(0, 9)))
            for a, b in draw(st.lists(spans, max_size=3))
        ),
        lamps=tuple(
            survey.Lamp(name="x", start=a, end=b, ambient=1.0)
            for a, b in draw(st.lists(spans, max_size=3))
        ),
    )


@settings(max_examples=300, deadline=None, derandomize=True)
@given(spoilt_walls())
def test_any_survey_gives_a_wall_or_says_what_stops_it(wall: survey.WallSurvey) -> None:
    made, findings = survey.develop(wall)
    if made is None:
        assert Severity.STOP in {finding.severity for finding in findings}
        return
    assert 0 < made.net.area <= made.outline.area * (1 + 1e-9)
    assert made.outline.is_valid
    assert made.net.is_valid
    assert float(made.net_area) == pytest.approx(
        float(made.gross_area) - float(made.openings_area), rel=1e-6, abs=1e-5
    )
    assert float(survey.hidden_area(made)) <= made.net.area * (1 + 1e-9)
    survey.fitting_spans(made, 1.0)

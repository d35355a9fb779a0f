"""Whatever is written as readings of a wall, a wall or a finding comes out, and tests are fair."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core import survey
from giornata.core.foundation import Severity
from giornata.core.survey import Kind, Level, Opening, Taken

POINTS = ["datum", "end of bay 1", "end of bay 2", "top at 0 m", "ground at 0 m", "top at 12 m",
          "T", "gate left", "gate right", "arch head", "arch spring", "tri corner 2", "P", "Q",
          "top at 5 m before", "height at 3 m"]  # fmt: skip
VALUES = st.floats(-30, 30).map(lambda value: round(value, 3))


@st.composite
def readings(draw: st.DrawFn) -> tuple[Taken, ...]:
    taken = []
    for _ in range(draw(st.integers(1, 8))):
        kind = draw(st.sampled_from(Kind))
        ends = draw(st.lists(st.sampled_from(POINTS), min_size=2, max_size=2, unique=True))
        start, end = ends
        if kind in (Kind.CHAINAGE, Kind.LEVEL, Kind.OFFSET):
            start, end = survey.DATUM, end if end != survey.DATUM else start
        value = draw(VALUES)
        if kind not in (Kind.CHAINAGE, Kind.LEVEL, Kind.OFFSET, Kind.PLUMB, Kind.LEAN):
            value = abs(value) + 0.1
        taken.append(
            Taken(kind=kind, start=start, end=end, value=value, doubtful=draw(st.booleans()),
                  sigma=draw(st.sampled_from([None, 0.001, 0.5, 5.0])))
        )  # fmt: skip
    return tuple(taken)


def surveyed(taken: tuple[Taken, ...], overall: float | None) -> survey.WallSurvey:
    return survey.WallSurvey(
        datum="left end",
        bays=(survey.Bay(name="1", length=8.0), survey.Bay(name="2", length=12.0)),
        overall=overall,
        top=(Level(at=0, level=3), Level(at=12, level=3.1), Level(at=20, level=3.0, name="T")),
        ground=(Level(at=0, level=0.0), Level(at=20, level=0.2)),
        heights=(survey.Height(at=3.0, height=2.9),),
        openings=(
            Opening(name="gate", start=9.0, end=11.0),
            Opening(name="arch", start=13, end=15, head=2.5, spring=1.8,
                    shape=survey.OpeningShape.ARCHED),
            survey.outlined_opening("tri", [(16, 1), (17, 1), (16.5, 2)]),
        ),
        readings=taken,
    )  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(readings(), st.sampled_from([None, 20.0, 20.015, 21.0]))
def test_any_readings_give_a_wall_or_a_finding(
    taken: tuple[Taken, ...], overall: float | None
) -> None:
    wall, findings = survey.develop(surveyed(taken, overall))
    plain, _ = survey.develop(surveyed((), overall))
    assert plain is not None
    if wall is None:
        assert any(finding.severity is Severity.STOP for finding in findings)
        return
    found = wall.adjustment
    if found is None or not found.used:
        assert float(wall.net_area) == pytest.approx(float(plain.net_area))
        assert wall.length == plain.length
    if found is None:
        return
    for figure in wall.net_area.walk():
        assert figure.sigma is None or math.isfinite(figure.sigma)
    assert all(0 <= one.redundancy <= 1 for one in found.readings)
    used = [one.redundancy for one in found.readings if not one.reading.doubtful]
    # The redundancy numbers of all readings sum to the readings beyond those needed.
    assert math.fsum(used) == pytest.approx(found.freedom, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(st.floats(-5, 5), st.integers(0, 2))
def test_moving_the_level_line_moves_levels_and_nothing_else(shift: float, seed: int) -> None:
    def levels(by: float) -> survey.DevelopedWall:
        read = Taken(kind=Kind.LEVEL, end="T", value=3.004 + by)
        rise = Taken(kind=Kind.HEIGHT, start="ground at 0 m", end="T", value=3.003 + 0.001 * seed)
        wall, _ = survey.develop(
            survey.WallSurvey(
                datum="left end",
                bays=(survey.Bay(name="1", length=20.0),),
                height_sigma=0.005,
                top=(Level(at=0, level=3 + by), Level(at=20, level=3.0 + by, name="T")),
                ground=(Level(at=0, level=by), Level(at=20, level=by)),
                readings=(read, rise),
            )
        )
        assert wall is not None
        return wall

    here, there = levels(0.0), levels(shift)
    assert float(there.net_area) == pytest.approx(float(here.net_area), abs=1e-6)
    assert there.net_area.sigma == pytest.approx(here.net_area.sigma, rel=1e-4)
    assert there.top[-1, 1] - shift == pytest.approx(here.top[-1, 1], abs=1e-7)

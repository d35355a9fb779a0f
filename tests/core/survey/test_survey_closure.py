"""Closure of bay chains: verdicts, causes, and the spread of an accepted misclosure."""

import tomllib
from pathlib import Path

import pytest

from giornata.core import survey
from giornata.core.foundation import Severity, parse
from giornata.core.foundation.units import Dimension

MM = 0.001
DEMO = Path(__file__).parents[3] / "examples" / "port-merrow" / "job.toml"


def chain(*lengths: float, overall: float | None, **more: object) -> survey.WallSurvey:
    return survey.WallSurvey(
        datum="left end",
        bays=tuple(survey.Bay(name=chr(65 + n), length=v) for n, v in enumerate(lengths)),
        overall=overall,
        **more,  # type: ignore[arg-type]
    )


def test_the_demo_wall_closes() -> None:
    with DEMO.open("rb") as file:
        wall = tomllib.load(file)["wall"]

    def metres(text: str) -> float:
        value = parse(text, Dimension.LENGTH, subject="wall")
        assert isinstance(value, float)
        return value

    found, findings = survey.closure(
        chain(
            *[metres(bay["length"]) for bay in wall["bays"]],
            overall=metres(wall["overall"]),
            tape=survey.TapeClass(wall["tape"]),
            closure_limit=metres(wall["closure_limit"]),
        )
    )
    assert found is not None
    # By hand: the bays of the job file sum to 78.61; 78.60 - 78.61 = -10 mm.
    assert round(found.misclosure / MM) == -10
    assert found.verdict is survey.Verdict.ACCEPT
    # By hand, class II: ten bays of 7 m (1.7 mm), one of 8 (1.9), one of 6 (1.5), the overall of
    # 79 (16.1): √(10 × 1.7² + 1.9² + 1.5² + 16.1²) = 17.1, so 10 mm is an honest misclosure.
    assert found.expected.root_sum / MM == pytest.approx(17.1, abs=0.1)
    assert findings == ()


def test_within_the_limit_but_beyond_the_tape_is_warned_of() -> None:
    # By hand, class I: bays 0.1 + 0.1 × 5 = 0.6 mm each, overall 0.1 + 0.1 × 10 = 1.1 mm;
    # worst 2.3 mm; 4 mm is within 20 and beyond the tape.
    found, findings = survey.closure(chain(5, 5, overall=10.004, tape=survey.TapeClass.I))
    assert found is not None
    assert found.verdict is survey.Verdict.ACCEPT
    (warning,) = findings
    assert (warning.code, warning.severity) == ("survey.misclosure_large", Severity.WARN)
    assert "Spread over 2 bays it is 2 mm each" in warning.remedy


def test_a_limit_tighter_than_the_tape_is_noted() -> None:
    # By hand, class III: overall 0.6 + 0.4 × 60 = 24.6 mm alone, against a limit of 20 mm.
    _, findings = survey.closure(chain(30, 30, overall=60.0, tape=survey.TapeClass.III))
    assert [(f.code, f.severity) for f in findings] == [("survey.closure_limit", Severity.NOTE)]


def test_no_overall_is_noted() -> None:
    found, findings = survey.closure(chain(5, 5, overall=None))
    assert found is None
    assert [f.code for f in findings] == ["survey.no_overall"]
    assert "10.00 m" in findings[0].message


def test_a_misclosure_exactly_at_the_limit_is_accepted() -> None:
    found, _ = survey.closure(chain(5, 5, overall=10.02, closure_limit=0.02))
    assert found is not None
    assert found.verdict is survey.Verdict.ACCEPT


# Known by construction: each chain was spoilt in the way its cause names.
CAUSES = [
    (chain(4.1, 4.6, 4.35, overall=17.4), "one bay (4.35 m, as long as bay C) was left out"),
    (chain(4.1, 4.6, 4.35, 4.6, overall=13.05), "(4.60 m, as long as bay B, D) was counted twice"),
    (
        chain(6.0, 6.0, overall=12.6, piers=(survey.Pier(name="P1", at=6, width=0.6, proud=0.1),)),
        "pier P1 (0.60 m wide) was left out",
    ),
    (
        chain(6.0, 6.0, overall=11.4, piers=(survey.Pier(name="P1", at=6, width=0.6, proud=0.1),)),
        "pier P1 (0.60 m wide) was taped twice",
    ),
    (chain(6.0, 7.5, overall=12.5), "a reading is 1 m out"),
    (chain(6.0, 7.5, overall=13.3), "a pier 200 mm wide was taped twice"),
    (chain(6.0, 7.5, overall=13.53), "Spread over 2 bays it is 15 mm each"),
    (chain(60.0, 75.0, overall=442.9), "written in feet and the other in metres"),
    (chain(6.0, 7.5, overall=21.95), "No single bay or pier fits"),
]


@pytest.mark.parametrize(("wall", "words"), CAUSES, ids=[words for _, words in CAUSES])
def test_the_likely_cause_is_named(wall: survey.WallSurvey, words: str) -> None:
    found, findings = survey.closure(wall)
    assert found is not None
    assert words in survey.likely_cause(wall, found)
    assert words in findings[0].remedy


def test_an_accepted_misclosure_is_spread_by_squared_error() -> None:
    wall, _ = survey.develop(
        chain(1.0, 9.0, overall=10.01, heights=(survey.Height(at=0, height=2),), closure_limit=0.02)
    )
    assert wall is not None
    # By hand, class II: 0.5 mm and 2.1 mm; squares 0.25 and 4.41; 10 mm × 0.25 ÷ 4.66 = 0.54 mm.
    assert wall.bays[0].end == pytest.approx(1.000536, abs=1e-6)
    assert wall.bays[1].start == wall.bays[0].end
    assert wall.bays[1].end == 10.01


def test_a_spread_never_turns_a_bay_round() -> None:
    # A bay of 1 mm cannot give up its share of 200 mm; the bays then shrink alike.
    wall, _ = survey.develop(
        chain(
            0.001, 0.6, overall=0.401, closure_limit=0.3, heights=(survey.Height(at=0, height=2),)
        )
    )
    assert wall is not None
    assert wall.bays[0].length == pytest.approx(0.001 * 0.401 / 0.601)
    assert wall.bays[1].end == 0.401

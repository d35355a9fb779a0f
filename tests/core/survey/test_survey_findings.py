"""Every finding of the survey, provoked; and several at once."""

import re
from pathlib import Path

import pytest

from giornata.core import survey
from giornata.core.foundation import Severity

ROOT = Path(__file__).parents[3]
Level, Height, Opening, Pier = survey.Level, survey.Height, survey.Opening, survey.Pier


def line(*pairs: tuple[float, float]) -> tuple[survey.Level, ...]:
    return tuple(Level(at=at, level=level) for at, level in pairs)


def found(wall: survey.WallSurvey, code: str) -> survey.DevelopedWall:
    """The wall; fails unless the finding is there exactly once."""
    made, findings = survey.develop(wall)
    assert [f.code for f in findings].count(code) == 1, [f.code for f in findings]
    assert made is not None
    return made


def message(wall: survey.WallSurvey, code: str) -> str:
    _, findings = survey.develop(wall)
    (one,) = [f for f in findings if f.code == code]
    return one.message


def test_a_plain_wall_has_nothing_amiss(made_wall) -> None:
    made, findings = survey.develop(made_wall())
    assert made is not None
    assert [f.code for f in findings] == ["survey.trapezoids", "survey.trapezoids"]
    assert {f.severity for f in findings} == {Severity.NOTE}


def test_no_height_stops_the_wall_but_not_the_other_findings(made_wall) -> None:
    made, findings = survey.develop(made_wall(top=(), joints=(25.0,)))
    assert made is None
    assert [(f.code, f.severity) for f in findings] == [
        ("survey.outside", Severity.WARN),
        ("survey.no_height", Severity.STOP),
    ]


def test_nothing_read_at_all(made_wall) -> None:
    made, findings = survey.develop(made_wall(top=(), ground=()))
    assert made is None
    assert findings[-1].message.startswith("No level and no height was read")


def test_ground_above_top_over_a_stretch(made_wall) -> None:
    # By hand: ground 0 at 10 m and 6 at 20 m meets the top of 3 half way, at 15 m;
    # wall left: 10 × 3 + 5 × 3 ÷ 2 = 37.5 m².
    wall = made_wall(ground=line((0, 0), (10, 0), (20, 6)))
    made = found(wall, "survey.ground_above_top")
    assert float(made.gross_area) == pytest.approx(37.5)
    assert "15.00 to 20.00 m" in message(wall, "survey.ground_above_top")
    assert [f.code for f in made.gross_area.findings] == ["survey.ground_above_top"]


def test_ground_above_top_everywhere_leaves_no_wall(made_wall) -> None:
    made, findings = survey.develop(made_wall(ground=line((0, 4), (20, 4))))
    assert made is None
    assert findings[-1].code == "survey.ground_above_top"


def test_a_wall_that_runs_into_the_ground_at_its_end_is_sound(made_wall) -> None:
    made, findings = survey.develop(made_wall(ground=line((0, 0), (20, 3))))
    assert made is not None
    assert float(made.gross_area) == pytest.approx(30.0)  # triangle, 20 × 3 ÷ 2
    assert "survey.ground_above_top" not in [f.code for f in findings]


def test_ground_assumed_level(made_wall) -> None:
    wall = made_wall(ground=())
    assert float(found(wall, "survey.ground_assumed").gross_area) == pytest.approx(60.0)
    # By hand: a fall of 100 mm over 20 m is 20 × 0.1 ÷ 2 = 1 m².
    assert "1.00 m²" in message(wall, "survey.ground_assumed")


def test_one_reading_of_a_line(made_wall) -> None:
    wall = made_wall(top=line((4, 3)))
    assert float(found(wall, "survey.one_reading").gross_area) == pytest.approx(60.0)
    # By hand: 16 m to the far end, 16 ÷ 2 × 0.1 = 0.80 m², 0.80 ÷ 60 = 1.3 %.
    assert "0.80 m² (1.3 %)" in message(wall, "survey.one_reading")


def test_an_end_nobody_read(made_wall) -> None:
    wall = made_wall(ground=line((0, 0), (16, 0.4)))
    # By hand: 20 × 3 - 16 × 0.2 - 4 × 0.4 = 55.2.
    assert float(found(wall, "survey.end_assumed").gross_area) == pytest.approx(55.2)
    # By hand: 4 ÷ 2 × 0.1 = 0.2 m², under 1 % of 55.2.
    assert "0.20 m² (0.4 %)" in message(wall, "survey.end_assumed")


def test_heights_alone(made_wall) -> None:
    made = found(
        made_wall(top=(), ground=(), heights=(Height(at=0, height=3), Height(at=20, height=2))),
        "survey.top_assumed",
    )
    assert made.top[:, 1].tolist() == [3.0, 3.0]
    assert made.ground[:, 1].tolist() == [0.0, 1.0]


def test_a_height_that_fits_is_no_finding(made_wall) -> None:
    _, findings = survey.develop(made_wall(heights=(Height(at=10, height=3.01),)))
    assert not {f.code for f in findings} & {"survey.height_disagrees", "survey.height_bends_line"}


def test_a_height_against_both_levels(made_wall) -> None:
    wall = made_wall(heights=(Height(at=20, height=2.8),))
    assert float(found(wall, "survey.height_disagrees").gross_area) == pytest.approx(60.0)
    assert "200 mm apart" in message(wall, "survey.height_disagrees")


def test_a_height_between_readings_bends_the_ground(made_wall) -> None:
    made = found(made_wall(heights=(Height(at=10, height=2.6),)), "survey.height_bends_line")
    # By hand: the ground rises to 0.4 m in the middle: 60 - 20 × 0.4 ÷ 2 = 56.
    assert float(made.gross_area) == pytest.approx(56.0)
    assert made.ground.tolist() == [[0, 0], [10, pytest.approx(0.4)], [20, 0]]


def test_a_height_where_only_the_ground_was_read_bends_the_top(made_wall) -> None:
    made = found(
        made_wall(ground=line((0, 0), (10, 0), (20, 0)), heights=(Height(at=10, height=3.4),)),
        "survey.height_bends_line",
    )
    assert made.top[1].tolist() == [10, pytest.approx(3.4)]


def test_one_height_at_a_step_is_doubtful_and_two_are_not(made_wall) -> None:
    stepped = line((0, 3), (10, 3), (10, 2.5), (20, 2.5))
    one = made_wall(top=stepped, ground=(), heights=(Height(at=10, height=2.5),))
    made = found(one, "survey.height_at_step")
    # By hand: 2.5 m of wall on both sides of the step and carried on to both ends.
    assert float(made.gross_area) == pytest.approx(3.0 * 10 + 2.5 * 10 - 0.5 * 10)
    pair = (Height(at=10, height=3.0), Height(at=10, height=2.5))
    both, findings = survey.develop(made_wall(top=stepped, ground=(), heights=pair))
    assert both is not None
    assert "survey.height_at_step" not in [f.code for f in findings]
    assert float(both.gross_area) == pytest.approx(55.0)  # 10 × 3 + 10 × 2.5


def test_one_height_at_a_step_takes_the_side_it_fits(made_wall) -> None:
    stepped = line((0, 3), (10, 3), (10, 2.5), (20, 2.5))
    for taped in (3.0, 2.5):
        made, findings = survey.develop(
            made_wall(top=stepped, heights=(Height(at=10, height=taped),))
        )
        assert made is not None
        assert float(made.gross_area) == pytest.approx(55.0)
        codes = {f.code for f in findings}
        assert not codes & {
            "survey.height_disagrees", "survey.height_bends_line", "survey.height_at_step",
        }  # fmt: skip


def test_readings_off_the_wall(made_wall) -> None:
    wall = made_wall(ground=line((-3, 1), (0, 0), (20, 0), (26, 1)))
    assert float(found(wall, "survey.reading_outside").gross_area) == pytest.approx(60.0)
    assert "-3.00 m, 26.00 m" in message(wall, "survey.reading_outside")


def test_a_reading_a_closure_limit_beyond_the_end_is_used(made_wall) -> None:
    made, findings = survey.develop(made_wall(top=line((0, 3), (20.02, 3))))
    assert made is not None
    assert made.top[-1].tolist() == [20, 3]
    assert not {"survey.reading_outside", "survey.end_assumed"} & {f.code for f in findings}


def test_unsorted_readings(made_wall) -> None:
    wall = made_wall(top=line((20, 3), (0, 3)))
    assert float(found(wall, "survey.unsorted").gross_area) == pytest.approx(60.0)


def test_a_reading_written_twice(made_wall) -> None:
    wall = made_wall(top=line((0, 3), (10, 3), (10, 3), (20, 3)))
    assert len(found(wall, "survey.duplicate_reading").top) == 3
    _, findings = survey.develop(wall)
    assert Severity.WARN not in {f.severity for f in findings}


def test_three_unlike_readings_at_one_chainage(made_wall) -> None:
    made = found(
        made_wall(top=line((0, 3), (10, 3), (10, 2.8), (10, 2.5), (20, 2.5))),
        "survey.duplicate_reading",
    )
    assert made.top.tolist() == [[0, 3], [10, 3], [10, 2.5], [20, 2.5]]


def test_a_step_at_the_very_end(made_wall) -> None:
    made = found(made_wall(top=line((0, 3), (20, 3), (20, 2))), "survey.step_at_end")
    assert float(made.gross_area) == pytest.approx(60.0)


OFF = {
    "joint": {"joints": (25.0,)},
    "joint at the end": {"joints": (20.0,)},
    "bend": {"bends": (survey.Bend(at=-1, angle=0.2),)},
    "pier": {"piers": (Pier(name="P", at=30, width=0.6, proud=0.1),)},
    "opening": {"openings": (Opening(name="W", start=21, end=22),)},
    "obstacle": {
        "obstacles": (survey.Obstacle(name="H", kind="hedge", start=-5, end=-1, height=1),)
    },
    "lamp": {"lamps": (survey.Lamp(name="L", start=30, end=40, ambient=10),)},
}


@pytest.mark.parametrize("what", OFF)
def test_a_thing_off_the_wall_is_left_out(made_wall, what: str) -> None:
    made = found(made_wall(**OFF[what]), "survey.outside")
    assert not (made.joints)
    assert not (made.piers)
    assert not (made.openings)
    assert not (made.hidden)
    assert not (made.lamps)
    assert len(made.plan) == 2


PARTLY = {
    "pier": {"piers": (Pier(name="P", at=20, width=0.6, proud=0.1),)},
    "opening": {"openings": (Opening(name="W", start=19, end=22),)},
    "obstacle": {
        "obstacles": (survey.Obstacle(name="H", kind="hedge", start=15, end=25, height=1),)
    },
    "lamp": {"lamps": (survey.Lamp(name="L", start=15, end=25, ambient=10),)},
}


@pytest.mark.parametrize("what", PARTLY)
def test_a_thing_half_off_the_wall_is_cut(made_wall, what: str) -> None:
    made = found(made_wall(**PARTLY[what]), "survey.partly_outside")
    (one,) = (*made.piers, *made.openings, *made.hidden, *made.lamps)
    assert one.end == 20.0


def test_openings_that_overlap_are_taken_off_once(made_wall) -> None:
    wall = made_wall(
        openings=(
            Opening(name="A", start=2, end=5, foot=0, head=2),
            Opening(name="B", start=4, end=6, foot=1, head=3),
        )
    )
    made = found(wall, "survey.openings_overlap")
    # By hand: 3 × 2 + 2 × 2 - shared 1 × 1 = 9; 60 - 9 = 51.
    assert float(made.openings_area) == pytest.approx(9.0)
    assert float(made.net_area) == pytest.approx(51.0)
    assert "1.00 m²" in message(wall, "survey.openings_overlap")


def test_openings_one_above_the_other_do_not_clash(made_wall) -> None:
    _, findings = survey.develop(
        made_wall(
            openings=(
                Opening(name="A", start=2, end=5, foot=0, head=1),
                Opening(name="B", start=2, end=5, foot=1, head=2),
            )
        )
    )
    assert "survey.openings_overlap" not in [f.code for f in findings]


def test_an_opening_that_meets_no_wall(made_wall) -> None:
    made = found(
        made_wall(openings=(Opening(name="W", start=2, end=5, foot=4, head=5),)),
        "survey.opening_off_wall",
    )
    assert made.openings == ()
    assert float(made.net_area) == pytest.approx(60.0)


def test_an_opening_higher_than_the_wall(made_wall) -> None:
    wall = made_wall(openings=(Opening(name="W", start=2, end=5, foot=-1, head=5),))
    assert float(found(wall, "survey.opening_clipped").openings_area) == pytest.approx(9.0)
    assert "Its head, 5.00 m, is above the top, 3.00 m and its foot" in message(
        wall, "survey.opening_clipped"
    )


def test_openings_that_eat_the_wall(made_wall) -> None:
    made, findings = survey.develop(made_wall(openings=(Opening(name="W", start=0, end=20),)))
    assert made is None
    assert (findings[-1].code, findings[-1].severity) == ("survey.no_net_area", Severity.STOP)


def test_a_pier_in_an_opening(made_wall) -> None:
    wall = made_wall(
        openings=(Opening(name="W", start=2, end=5),),
        piers=(Pier(name="P", at=5, width=0.6, proud=0.1),),
    )
    found(wall, "survey.pier_in_opening")
    assert "300 mm" in message(wall, "survey.pier_in_opening")


def test_a_pier_beside_an_opening_is_sound(made_wall) -> None:
    _, findings = survey.develop(
        made_wall(
            openings=(Opening(name="W", start=2, end=5),),
            piers=(Pier(name="P", at=5.3, width=0.6, proud=0.1),),
        )
    )
    assert "survey.pier_in_opening" not in [f.code for f in findings]


def test_piers_that_overlap(made_wall) -> None:
    wall = made_wall(
        piers=(
            Pier(name="Q", at=5.4, width=0.6, proud=0.1),
            Pier(name="P", at=5, width=0.6, proud=0.1),
        )
    )
    assert [pier.name for pier in found(wall, "survey.piers_overlap").piers] == ["P", "Q"]
    assert "0.20 m" in message(wall, "survey.piers_overlap")


def test_a_bend_in_an_opening(made_wall) -> None:
    found(
        made_wall(
            bends=(survey.Bend(at=4, angle=0.2),), openings=(Opening(name="W", start=2, end=5),)
        ),
        "survey.bend_in_opening",
    )


def test_two_bends_at_one_place_are_added(made_wall) -> None:
    made = found(
        made_wall(bends=(survey.Bend(at=4, angle=0.2), survey.Bend(at=4, angle=0.1))),
        "survey.bend_twice",
    )
    assert made.facing[1] - made.facing[0] == pytest.approx(0.3)


def test_two_bends_that_would_fold_the_wall(made_wall) -> None:
    made = found(
        made_wall(bends=(survey.Bend(at=4, angle=2.0), survey.Bend(at=4, angle=2.0))),
        "survey.bend_twice",
    )
    assert made.facing[1] - made.facing[0] == pytest.approx(2.0)


def test_a_joint_written_twice(made_wall) -> None:
    assert found(made_wall(joints=(8.0, 4.0, 8.0)), "survey.joint_twice").joints == (4.0, 8.0)


def test_a_name_borne_twice(made_wall) -> None:
    made = found(
        made_wall(
            openings=(Opening(name="W", start=2, end=3), Opening(name="W", start=5, end=6)),
        ),
        "survey.name_twice",
    )
    assert len(made.openings) == 2


def test_diagonals_that_fit_no_panel() -> None:
    # By hand: √(20² + 6²) = 20.881; diagonals of 21.2 and 21.1 belong to 21.150 m.
    _, findings = survey.skew(20.0, 6.0, 21.2, 21.1)
    assert [f.code for f in findings] == ["survey.diagonals"]
    assert "269 mm" in findings[0].message


def test_all_faults_are_reported_at_once(made_wall) -> None:
    _, findings = survey.develop(
        made_wall(
            overall=20.5,
            top=line((20, 3), (0, 3), (40, 3)),
            ground=line((5, 0), (5, 0), (12, 0)),
            joints=(3.0, 3.0, 99.0),
            openings=(Opening(name="W", start=2, end=5), Opening(name="W", start=4, end=30)),
            piers=(Pier(name="P", at=4, width=0.6, proud=0.1),),
            bends=(survey.Bend(at=4.5, angle=0.2),),
        )
    )
    codes = {f.code.removeprefix("survey.") for f in findings}
    assert codes >= {
        "misclosure", "unsorted", "reading_outside", "duplicate_reading", "end_assumed",
        "joint_twice", "outside", "name_twice", "openings_overlap", "partly_outside",
        "pier_in_opening", "bend_in_opening",
    }  # fmt: skip


def test_every_code_has_its_section_and_every_section_its_code() -> None:
    pages = (ROOT / "docs" / "findings" / "survey.md").read_text(encoding="utf-8")
    room = ROOT / "src" / "giornata" / "core" / "survey"
    source = "".join(path.read_text(encoding="utf-8") for path in sorted(room.glob("*.py")))
    codes = set(re.findall(r'code="(survey\.\w+)"', source))
    assert codes == set(re.findall(r"^## (survey\.\w+)$", pages, flags=re.MULTILINE))
    assert len(codes) > 20


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: survey.Bay(name="1", length=10_001.0), "a bay is at most 10,000 m"),
        (lambda: survey.Level(at=0.0, level=-1_001.0), "a level is at most 1,000 m"),
        (lambda: survey.Height(at=0.0, height=1_001.0), "a height is at most 1,000 m"),
        (
            lambda: survey.WallSurvey(datum="x", bays=(survey.Bay(name="1", length=9_999.0),) * 2),
            "a wall is at most 10,000 m",
        ),
    ],
)
def test_lengths_that_only_a_wrong_unit_gives_are_refused(make, words):
    # A wall of 10 km or a level of 1 km: millimetres entered as metres. Common practice, no source.
    with pytest.raises(ValueError, match=words):
        make()


@pytest.mark.parametrize("name", ["datum", "end of bay 1", " "])
def test_a_row_of_a_line_is_not_named_like_a_place_that_has_a_name(name: str) -> None:
    with pytest.raises(ValueError, match="a name of its own"):
        survey.Level(at=0.0, level=0.0, name=name)

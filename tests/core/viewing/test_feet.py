"""What obstacles hide, and which motifs lose their feet behind them."""

import pytest
import shapely

from giornata.core import survey, viewing
from giornata.core.foundation import Severity
from giornata.core.viewing import Motif


@pytest.fixture
def wall() -> survey.DevelopedWall:
    """N9: a hedge of 0.8 m to be planted along 38 m, before a wall of 60 m whose ground falls."""
    made, _ = survey.develop(
        survey.WallSurvey(
            datum="left end",
            bays=(survey.Bay(name="1", length=60.0),),
            top=(survey.Level(at=0, level=2.5),),
            ground=(survey.Level(at=0, level=0.0), survey.Level(at=60, level=-0.6)),
            obstacles=(survey.Obstacle(name="Privet", kind="hedge", start=10, end=48, height=0.8),),
        )
    )
    assert made is not None
    return made


def motif(name: str, *box: float) -> Motif:
    return Motif(name=name, area=shapely.box(*box))


def test_n9_the_hedge_hides_30_4_m2_and_these_motifs_lose_their_feet(wall) -> None:
    # By hand: 38 × 0.8 = 30.4 m². The ground falls 1 in 100, so at 20 m the hedge reaches to
    # level -0.2 + 0.8 = 0.6 at its left and 0.59 a metre on: a heron from -0.1 to 1.9 has its
    # feet, -0.1 to 0.1, behind it and is hidden 0.7 m high; a gull above 0.7 is not.
    motifs = (
        motif("heron", 20, -0.1, 21, 1.9),
        motif("gull", 30, 0.7, 31, 1.0),
        motif("boat", 49, -0.4, 52, 1.0),
    )
    lost = viewing.hidden_feet(motifs, wall.hidden)
    assert [one.motif for one in lost] == ["heron"]
    assert lost[0].feet == pytest.approx(1.0)
    assert (lost[0].height, lost[0].whole_height) == pytest.approx((0.7, 2.0))
    (finding,) = viewing.hidden_findings(wall.hidden, lost, net=wall.net)
    assert (finding.code, finding.severity) == ("viewing.feet_hidden", Severity.WARN)
    assert finding.subject == "hedge Privet"
    assert "hides 30.4 m² of the wall" in finding.message
    assert "heron at 20.00 to 21.00 m (0.70 of 2.00 m)" in finding.message
    assert "gull" not in finding.message
    assert "boat" not in finding.message


@pytest.mark.parametrize(("start", "lost"), [(47.4, True), (47.6, False)])
def test_half_of_its_feet_decide(wall, start: float, lost: bool) -> None:
    # By hand: of a foot of 1 m from 47.4 m on 0.6 m stand behind the hedge, from 47.6 m on 0.4.
    found = viewing.hidden_feet((motif("heron", start, -0.4, start + 1, 1.6),), wall.hidden)
    assert bool(found) is lost


def test_two_legs_and_a_body_wider_than_they_are() -> None:
    # A bollard hides the right leg of two alike: half of the feet, so they are lost; the body
    # above it does not count.
    made, _ = survey.develop(
        survey.WallSurvey(
            datum="left end",
            bays=(survey.Bay(name="1", length=10.0),),
            heights=(survey.Height(at=0, height=3.0),),
            obstacles=(survey.Obstacle(name="B1", kind="bollard", start=5, end=5.3, height=0.9),),
        )
    )
    assert made is not None
    legs = [shapely.box(4.4, 0, 4.5, 1), shapely.box(5.1, 0, 5.2, 1)]
    bird = Motif(name="heron", area=shapely.union_all([*legs, shapely.box(4, 1, 6, 2)]))
    (one,) = viewing.hidden_feet((bird,), made.hidden)
    assert one.feet == pytest.approx(0.5)
    assert one.height == pytest.approx(0.9)


def test_an_obstacle_that_hides_no_motif_is_a_note(wall) -> None:
    (finding,) = viewing.hidden_findings(wall.hidden, (), net=wall.net)
    assert (finding.code, finding.severity) == ("viewing.foot_of_wall_hidden", Severity.NOTE)
    assert "30.4 m²" in finding.message
    assert "No motif loses its feet." in finding.message


def test_many_motifs_are_counted(wall) -> None:
    birds = tuple(motif(f"bird {k}", 11 + 2 * k, 0.0, 12 + 2 * k, 1.0) for k in range(11))
    lost = viewing.hidden_feet(birds, wall.hidden)
    assert len(lost) == 11
    (finding,) = viewing.hidden_findings(wall.hidden, lost, net=wall.net)
    assert "bird 7 at" in finding.message
    assert "; and 3 more" in finding.message


def test_a_flat_obstacle_hides_nothing(wall) -> None:
    made, _ = survey.develop(
        survey.WallSurvey(
            datum="d",
            bays=(survey.Bay(name="1", length=10.0),),
            heights=(survey.Height(at=0, height=3.0),),
            obstacles=(survey.Obstacle(name="D", kind="ditch", start=1, end=9, height=0.0),),
        )
    )
    assert made is not None
    assert viewing.hidden_findings(made.hidden, (), net=made.net) == ()

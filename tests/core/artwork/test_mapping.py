"""Decisions on things that are not flat: which counts, what it does, what is said of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from giornata.core import artwork, colour
from giornata.core.artwork import Decision, Drawing, Kind, Nonflat, Paint, Role, Shape, Veil, Way
from giornata.core.foundation import Finding, Severity

PAINTS = (
    Paint(number=1, key="a", name="A", role=Role.GROUND, artwork=("#ffffff",)),
    Paint(number=2, key="b", name="B", artwork=("#000000",)),
)


def said(code):
    return Finding(code=code, severity=Severity.STOP, subject="it", message="So.", remedy="Do.")


def thing(kind, number=1, name="one", **more):
    code = {
        Kind.GRADIENT: "artwork.gradient",
        Kind.PATTERN: "artwork.pattern",
        Kind.PICTURE: "artwork.image",
        Kind.EFFECT: "artwork.filter",
        Kind.LETTERING: "artwork.text",
    }[kind]
    return Nonflat(
        number=number, name=name, source=name, kind=kind, finding=said(code),
        box=(0.0, 0.0, 10.0, 10.0), **more,
    )  # fmt: skip


def drawing(*things, shapes=()):
    return Drawing(name="t.svg", width=100, height=100, shapes=shapes, things=things)


def stand_in(number=1, **more):
    return Shape(area=shapely.box(0, 0, 10, 10), colour="#808080", thing=number, **more)


def areas(drawn, *decisions):
    done, _ = artwork.carried_out(drawn, decisions, PAINTS, tone=colour.lab_from_srgb)
    return artwork.flattened(done).areas()


def findings(drawn, *decisions):
    return artwork.undecided(drawn.things, decisions, file="t.svg")


def test_a_name_counts_before_a_kind():
    one, two = thing(Kind.GRADIENT), thing(Kind.GRADIENT, 2, "two")
    all_, own = (
        Decision(thing="gradients", way=Way.LEFT_OUT),
        Decision(thing="two", way=Way.REFUSED),
    )
    assert artwork.chosen(one, [all_, own]) is all_
    assert artwork.chosen(two, [all_, own]) is own
    assert artwork.chosen(two, []) is None


def test_one_paint_is_laid_opaque_over_the_whole_shape():
    faded = stand_in(opacity=0.5, veils=(Veil(number=1, opacity=0.5),))
    drawn = drawing(thing(Kind.GRADIENT), shapes=(faded,))
    found = areas(drawn, Decision(thing="one", way=Way.ONE_PAINT, paints=("b",)))
    assert found == {"": 9900.0, "#000000": 100.0}


def test_what_is_undecided_keeps_its_stand_in():
    drawn = drawing(thing(Kind.GRADIENT), shapes=(stand_in(),))
    assert areas(drawn) == {"": 9900.0, "#808080": 100.0}


def test_what_is_left_out_shows_what_lies_below():
    below = Shape(area=shapely.box(0, 0, 50, 50), colour="#000000")
    drawn = drawing(thing(Kind.PATTERN), shapes=(below, stand_in()))
    assert areas(drawn, Decision(thing="patterns", way=Way.LEFT_OUT)) == {
        "": 7500.0, "#000000": 2500.0,
    }  # fmt: skip


def test_a_soft_effect_left_out_leaves_its_shape():
    shape = replace(stand_in(), colour="#000000")
    drawn = drawing(thing(Kind.EFFECT), shapes=(shape,))
    found = areas(drawn, Decision(thing="soft effects", way=Way.LEFT_OUT))
    assert found == {"": 9900.0, "#000000": 100.0}


def test_a_pattern_as_drawn_lies_under_the_veils_of_its_shape():
    dot = Shape(area=shapely.box(2, 2, 4, 4), colour="#000000")
    beyond = Shape(area=shapely.box(8, 8, 14, 14), colour="#000000")
    drawn = drawing(thing(Kind.PATTERN, drawn=(dot, beyond)), shapes=(stand_in(opacity=0.5),))
    found = areas(drawn, Decision(thing="one", way=Way.AS_DRAWN))
    # 2 x 2 and, cut to the shape, 2 x 2; black at half opacity on white is 127.5, rounded to even
    assert found == {"": 9992.0, "#808080": pytest.approx(8.0)}


def test_a_picture_as_drawn_stands_in_its_place_in_the_painting_order():
    low = Shape(area=shapely.box(0, 0, 10, 10), colour="#111111")
    high = Shape(area=shapely.box(5, 0, 10, 10), colour="#222222")
    inside = Shape(area=shapely.box(0, 0, 10, 10), colour="#000000")
    picture = thing(Kind.PICTURE, drawn=(inside,), before=1)
    drawn = drawing(picture, shapes=(low, high))
    assert areas(drawn)["#111111"] == 50.0
    found = areas(drawn, Decision(thing="pictures", way=Way.AS_DRAWN))
    assert found == {"": 9900.0, "#000000": 50.0, "#222222": 50.0}
    one = areas(drawn, Decision(thing="pictures", way=Way.ONE_PAINT, paints=("b",)))
    assert one == found


def test_open_things_are_said_with_their_place_and_what_can_be_decided():
    one, two = thing(Kind.GRADIENT), thing(Kind.GRADIENT, 2, "two")
    (found,) = findings(drawing(one, replace(two, finding=one.finding)))
    assert found.code == "artwork.gradient"
    assert "1 (x 0 to 10, y 0 to 10); 2 (x 0 to 10, y 0 to 10)" in found.message
    assert 'for = "one"' in found.remedy
    assert '"nearest"' in found.remedy


def test_what_is_refused_stops_the_job():
    decision = Decision(thing="one", way=Way.REFUSED)
    (found,) = findings(drawing(thing(Kind.LETTERING)), decision)
    assert (found.code, found.severity) == ("artwork.thing_refused", Severity.STOP)


def test_what_is_decided_is_a_note():
    decision = Decision(thing="one", way=Way.LEFT_OUT)
    (found,) = findings(drawing(thing(Kind.LETTERING)), decision)
    assert (found.code, found.severity) == ("artwork.decided", Severity.NOTE)


@pytest.mark.parametrize(
    ("kind", "way"),
    [
        (Kind.LETTERING, Way.AS_DRAWN),
        (Kind.EFFECT, Way.NEAREST),
        (Kind.GRADIENT, Way.NEAREST),  # its run is not known
        (Kind.PATTERN, Way.AS_DRAWN),  # its shapes are not known
    ],
)
def test_a_decision_that_cannot_be_carried_out(kind, way):
    drawn = drawing(thing(kind, doubt="the reason"), shapes=(stand_in(),))
    (found,) = findings(drawn, Decision(thing="one", way=way))
    assert (found.code, found.severity) == ("artwork.decision_impossible", Severity.STOP)
    assert areas(drawn, Decision(thing="one", way=way)) == {"": 9900.0, "#808080": 100.0}


def test_a_decision_on_nothing():
    found = findings(drawing(thing(Kind.EFFECT)), Decision(thing="oen", way=Way.LEFT_OUT))
    assert [one.code for one in found] == ["artwork.filter", "artwork.decision_unmatched"]
    assert "it holds: one" in found[1].message


def test_a_decision_on_a_kind_that_the_drawing_has_not():
    assert findings(drawing(), Decision(thing="pictures", way=Way.LEFT_OUT)) == ()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"way": Way.ONE_PAINT}, "one paint"),
        ({"way": Way.STEPS}, "by their paints or by their number"),
        ({"way": Way.STEPS, "paints": ("a",), "steps": 2}, "by their paints or by their number"),
        ({"way": Way.LEFT_OUT, "steps": -1}, "counted from 1"),
    ],
)
def test_what_is_no_decision(change, said):
    with pytest.raises(ValueError, match=said):
        Decision(thing="one", **change)

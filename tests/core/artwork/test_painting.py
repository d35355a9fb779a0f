"""Colours of the artwork become paints; nothing is lost, everything odd is said."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import artwork
from giornata.core.artwork import Drawing, FlatArtwork, Paint, Role, Shape
from giornata.core.foundation import Severity
from giornata.core.geometry import Coverage

HAZE = Paint(number=1, key="haze", name="Haze", role=Role.GROUND, artwork=("#c9d6d5",))
TIDE = Paint(number=2, key="tide", name="Tide", artwork=("#5f9aa3", "#4f8a93"))
INK = Paint(number=3, key="ink", name="Ink", artwork=("#101418",))


def flat(*strips: str, width: float = 10.0) -> FlatArtwork:
    """Strips of equal width side by side, one colour each."""
    shapes = tuple(
        Shape(area=shapely.box(i * width, 0, (i + 1) * width, 10), colour=colour)
        for i, colour in enumerate(strips)
        if colour
    )
    return artwork.flattened(
        Drawing(name="strips.svg", width=len(strips) * width, height=10.0, shapes=shapes)
    )


def area_of(coverage: Coverage, number: int) -> float:
    return float(shapely.area(coverage.faces[coverage.labels == number]).sum())


def test_each_colour_goes_to_the_paint_that_lists_it() -> None:
    coverage, findings = artwork.painted(
        flat("#c9d6d5", "#5f9aa3", "#4f8a93", "#101418"), [HAZE, TIDE, INK]
    )
    assert [area_of(coverage, n) for n in (1, 2, 3)] == pytest.approx([100.0, 200.0, 100.0])
    assert len(coverage.faces) == 3  # two shades of one paint side by side are one region
    assert findings == ()


def test_bare_canvas_is_ground() -> None:
    coverage, findings = artwork.painted(
        flat("", "#5f9aa3", "", "#4f8a93", "#101418"), [HAZE, TIDE, INK]
    )
    assert area_of(coverage, 1) == pytest.approx(200.0)
    assert findings == ()


def test_edges_lie_only_between_unlike_paints() -> None:
    # By hand: strips haze, tide, tide, ink, each 10 wide and high: two inner edges of 10.
    coverage, _ = artwork.painted(
        flat("#c9d6d5", "#5f9aa3", "#4f8a93", "#101418"), [HAZE, TIDE, INK]
    )
    inner = coverage.left >= 0
    pairs = zip(coverage.left[inner].tolist(), coverage.right[inner].tolist(), strict=True)
    assert sorted(pairs) == [(1, 2), (2, 3)]
    assert shapely.length(coverage.edges[inner]).tolist() == pytest.approx([10.0, 10.0])


def test_an_unknown_colour_is_counted_with_the_nearest_paint_and_holds_the_job_up() -> None:
    coverage, findings = artwork.painted(
        flat("#c9d6d5", "#5f9aa3", "#4f8a93", "#181c20"), [HAZE, TIDE, INK]
    )
    assert area_of(coverage, 3) == pytest.approx(100.0)
    unknown = next(f for f in findings if f.code == "artwork.unknown_colour")
    assert unknown.severity is Severity.STOP
    assert unknown.subject == "colour #181c20"
    assert "25 %" in unknown.message
    assert "#181c20" in unknown.remedy
    assert "Ink" in unknown.remedy


@pytest.mark.parametrize(("colour", "known"), [("#0e1216", True), ("#0d1418", False)])
def test_two_levels_of_rounding_are_forgiven_and_three_are_not(colour: str, known: bool) -> None:
    _, findings = artwork.painted(flat("#c9d6d5", "#5f9aa3", "#4f8a93", colour), [HAZE, TIDE, INK])
    assert ("artwork.unknown_colour" in {f.code for f in findings}) is not known


def test_where_no_paint_lists_a_colour_all_of_it_is_ground() -> None:
    bare = Paint(number=1, key="haze", name="Haze", role=Role.GROUND)
    coverage, findings = artwork.painted(flat("", "#5f9aa3"), [bare])
    assert area_of(coverage, 1) == pytest.approx(200.0)
    assert [f.code for f in findings] == ["artwork.unknown_colour"]


def test_a_listed_colour_that_is_not_visible_is_worth_a_note() -> None:
    _, findings = artwork.painted(flat("", "#5f9aa3"), [HAZE, TIDE, INK])
    notes = {f.subject: f for f in findings}
    assert {f.code for f in findings} == {"artwork.colour_missing"}
    assert {f.severity for f in findings} == {Severity.NOTE}
    assert set(notes) == {"Tide", "Ink"}
    assert "#4f8a93" in notes["Tide"].message
    assert "#5f9aa3" not in notes["Tide"].message


def test_a_paint_without_colours_is_worth_a_note() -> None:
    spare = Paint(number=4, key="spare", name="Spare")
    _, findings = artwork.painted(flat("#c9d6d5"), [HAZE, spare])
    (note,) = findings
    assert (note.code, note.subject) == ("artwork.colour_missing", "Spare")


def test_a_colour_listed_by_two_paints_holds_the_job_up() -> None:
    again = Paint(number=3, key="ink", name="Ink", artwork=("#5F9AA3", "#4f8a93"))
    coverage, findings = artwork.painted(flat("", "#5f9aa3", "#4f8a93"), [HAZE, TIDE, again])
    assert area_of(coverage, 2) == pytest.approx(200.0)
    twice = [f for f in findings if f.code == "artwork.colour_listed_twice"]
    assert [f.subject for f in twice] == ["colour #5f9aa3", "colour #4f8a93"]
    assert {f.severity for f in twice} == {Severity.STOP}


def test_a_job_without_a_ground_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="exactly one paint is the ground, not 0"):
        artwork.painted(flat("#5f9aa3"), [TIDE, INK])


def test_two_paints_of_one_number_are_a_mistake() -> None:
    with pytest.raises(ValueError, match="share a number"):
        artwork.painted(flat("#5f9aa3"), [HAZE, TIDE, Paint(number=2, key="b", name="B")])


def test_colours_must_begin_with_the_bare_canvas() -> None:
    empty = np.empty(0, dtype=object)
    none = np.empty(0, dtype=np.intp)
    coverage = Coverage(faces=empty, labels=none, edges=empty, left=none, right=none)
    with pytest.raises(ValueError, match="bare canvas"):
        FlatArtwork(name="x", width=1, height=1, coverage=coverage, colours=("#ffffff",))


# Reference values printed with the definition of Oklab (B. Ottosson, 2020), XYZ to Lab table,
# reach sRGB only through other matrices; these two follow from the definition: white has L = 1
# and black L = 0, both without colour.
@pytest.mark.parametrize(("colour", "lightness"), [("#ffffff", 1.0), ("#000000", 0.0)])
def test_oklab_of_black_and_white(colour: str, lightness: float) -> None:
    levels = np.array([[int(colour[i : i + 2], 16) for i in (1, 3, 5)]])
    assert artwork.oklab(levels)[0] == pytest.approx([lightness, 0, 0], abs=1e-6)


def test_the_nearest_colour_looks_nearest() -> None:
    # Known by construction: a darker blue is nearer to blue than to grey or red.
    assert artwork.nearest_colour("#1020c0", ["#808080", "#ff0000", "#0000ff"]) == "#0000ff"


def test_no_colour_is_nearest_among_none() -> None:
    with pytest.raises(ValueError, match="no colour to choose from"):
        artwork.nearest_colour("#000000", [])

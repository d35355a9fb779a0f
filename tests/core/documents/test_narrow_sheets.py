"""The sheets of narrow places: each sign at its place to scale, numbered as in the table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from giornata.core.documents import (
    Area,
    Disc,
    DrawnPaper,
    Line,
    elevation,
    narrow_sheets,
    narrow_table,
)
from giornata.core.documents.letters import label_box, overlap
from giornata.core.foundation import System
from giornata.core.takeoff import NarrowKind, NarrowPlace

Make = Callable[..., Any]


def place(kind: NarrowKind, x: float, y: float) -> NarrowPlace:
    return NarrowPlace(
        kind=kind, paint=2, x=x, y=y, width=0.004, length=0.3, limit=0.025, suggested=(0.025, 0.03)
    )


PLACES = (
    place(NarrowKind.GAP, 7.0, 1.5),
    place(NarrowKind.LINE, 2.0, 1.0),
    place(NarrowKind.POINT, 8.5, 0.5),
    place(NarrowKind.SLIVER, 5.0, 1.0),
)


def narrowed(made: Make) -> Any:
    job = made(10.0, 2.5, 2)
    designs = tuple(
        replace(one, take_off=replace(one.take_off, narrow=PLACES)) for one in job.designs
    )
    return replace(job, designs=designs)


@pytest.mark.parametrize("system", list(System))
def test_no_number_stands_across_a_match_line(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]], system: System
) -> None:
    """Places 15 cm, 3 mm on paper, beside the first cut, one over the other: numbers go inwards."""
    job = made(61.2, 2.9, 12)
    titles = [
        label.text for sheet in elevation(job, System.METRIC).sheets for label in sheet.labels
    ]
    (span,) = [text for text in titles if text.startswith("Strip 1  0.00 to ")]
    cut = float(span.split()[4])
    near = tuple(
        place(NarrowKind.LINE, cut + aside, 0.3 * k) for k in range(1, 9) for aside in (-0.15, 0.15)
    )
    designs = tuple(
        replace(one, take_off=replace(one.take_off, narrow=near)) for one in job.designs
    )
    paper = narrow_sheets(replace(job, designs=designs), system)
    assert faults_of(paper) == []
    crossed = 0
    for sheet in paper.sheets:
        lines = [
            one.points
            for one in sheet.items
            if isinstance(one, Line) and one.pen.width == 0.5 and one.pen.dash
        ]
        crossed += len(lines)
        for x, upper, lower in ((line[0, 0], line[:, 1].min(), line[:, 1].max()) for line in lines):
            for label in sheet.labels:
                box = label_box(label)
                assert not overlap(box, (x, upper, x, lower), gap=-1e-6), label.text
    assert crossed >= 2


def test_each_place_has_its_sign_to_scale_and_its_number(made: Make, faults_of) -> None:
    job = narrowed(made)
    (sheet,) = narrow_sheets(job, System.METRIC).sheets
    (bare,) = elevation(job, System.METRIC).sheets
    own = [item for item in sheet.items if isinstance(item, Disc)]
    assert len(own) == 1 + sum(isinstance(item, Disc) for item in bare.items)
    ring = next(item for item in own if item.radius == 1.3)
    squares = [item.rings[0] for item in sheet.items
               if isinstance(item, Area) and item.fill is None and len(item.rings[0]) == 4
               and item.rings[0][:, 0].max() - item.rings[0][:, 0].min() < 3]  # fmt: skip
    (square,) = squares
    # 5.0 m along and 0.5 m up between the line and the gap, in one scale; the sheet's y is down.
    across, up = square.mean(axis=0) - (ring.x, ring.y)
    assert across / 5.0 == pytest.approx(-up / 0.5, rel=1e-6)
    said = [label.text for label in sheet.labels]
    assert {"1", "3", "4"} <= set(said)
    assert "2" not in said  # the sliver: a fault of the drawing, not of its making
    rows = narrow_table(job.designs).rows
    assert [(row[1], row[2]) for row in rows if row[0] == "A"] == [
        (1, "line"), (2, "sliver"), (3, "gap"), (4, "point"),
    ]  # fmt: skip
    assert faults_of(narrow_sheets(job, System.METRIC)) == []

"""Grid sheets and pounce tiles of a made wall, read off as drawings."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
import shapely

from giornata.core import documents
from giornata.core.documents import Disc, DrawnPaper, Line
from giornata.core.foundation import System
from giornata.core.job import JobResults

Make = Callable[..., JobResults]


@pytest.fixture(scope="module")
def grid(made: Make) -> DrawnPaper:
    """3 to 7 m of a wall 10 x 2.5 m in squares of 0.35 m: no edge lies on a line."""
    return documents.grid_sheets(made(10.0, 2.5, 2), System.METRIC, 3.0, 7.0, pitch=0.35)


@pytest.fixture(scope="module")
def tiles(made: Make) -> DrawnPaper:
    return documents.pounce_sheets(made(10.0, 2.5, 2), System.METRIC, 3.9, 6.1)


def test_squares_are_counted_from_the_datum(grid: DrawnPaper) -> None:
    # 3.0 / 0.35 = 8.57: column 9 is the first, from 2.80 m; the ground is row A.
    words = {label.text for label in grid.sheets[0].labels}
    assert {"A9", "2.80", "3.15", "0.35"} <= words
    # Ten columns end with 18 at 6.30 m, six rows with F at 2.10 m. To column 20 at 7.0 m and row
    # H at 2.5 m that were four sheets; on three of them lies no edge of the block, and no sheet.
    last = {label.text for sheet in grid.sheets for label in sheet.labels}
    assert {"A18", "F9", "F18"} <= last
    assert not {"A8", "A19", "G9"} & last
    assert len(grid.sheets) == 1


def test_a_stretch_without_an_edge_keeps_its_sheets(made: Make) -> None:
    paper = documents.grid_sheets(made(10.0, 2.5, 2), System.METRIC, 7.0, 9.0, pitch=0.35)
    words = {label.text for sheet in paper.sheets for label in sheet.labels}
    assert {"A21", "A26", "H21", "H26"} <= words  # 7.00 to 9.10 m


def test_n46_each_crossing_has_its_distance_from_the_corner(grid: DrawnPaper) -> None:
    # By hand. Upright lines at 4.20, 4.55 ... 5.95 m cross the block's foot (0.50 m, 150 mm over
    # 0.35) and head (1.50 m, 100 mm over 1.40): 6 × 2. Level lines at 0.70, 1.05, 1.40 m cross its
    # sides and the dot's: 4.00 (150 right of 3.85), 4.50 (300), 5.50 (250), 6.00 (50): 3 × 4.
    first = grid.sheets[0]
    dots = [item for item in first.items if isinstance(item, Disc) and item.radius == 0.5]
    assert len(dots) == 24
    numbers = [label.text for label in first.labels]
    assert {text: numbers.count(text) for text in ("150", "100", "300", "250", "50")} == {
        "150": 6 + 3, "100": 6, "300": 3, "250": 3, "50": 3,
    }  # fmt: skip
    # At 1:10 the dot at 4.20 m, 0.50 m lies 140 mm right of the first line, which lies 24 mm in.
    assert min(abs(dot.x - 164.0) for dot in dots) < 0.01


def test_letters_of_grid_sheets_keep_apart(
    grid: DrawnPaper, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    assert faults_of(grid) == []
    assert grid.findings == ()


def test_a_grid_in_feet(made: Make, faults_of: Callable[[DrawnPaper], list[str]]) -> None:
    paper = documents.grid_sheets(made(10.0, 2.5, 2), System.US, 0.0, 10.0)
    assert paper.sheets[0].width == pytest.approx(431.8)  # 17 in
    words = {label.text for label in paper.sheets[0].labels}
    # Ten columns a sheet: on the first no edge of the block lies, which begins at 13 ft 1 1/2 in.
    assert {"A11", "10 ft", "11 ft"} <= words
    assert faults_of(paper) == []


def _tiled(paper: DrawnPaper) -> dict[str, list[shapely.LineString]]:
    """The edges on each tile, brought back to the wall by its own crosses."""
    found = {}
    for sheet in paper.sheets[1:]:
        crosses = sorted(
            (item for item in sheet.items if isinstance(item, Disc)), key=lambda one: (one.y, one.x)
        )
        label = min(
            (one for one in sheet.labels if ";" in one.text),
            key=lambda one: (one.x - crosses[0].x) ** 2 + (one.y - crosses[0].y) ** 2,
        )
        at, level = map(float, label.text.split(";"))
        lines = [
            item.points for item in sheet.items if isinstance(item, Line) and item.pen.width == 0.35
        ]
        left, upper = crosses[0].x, crosses[0].y
        found[sheet.name] = [
            shapely.LineString(
                np.column_stack(
                    [
                        at + (xy[:, 0] - left) / 1000,
                        level - (xy[:, 1] - upper) / 1000,
                    ]
                )
            )
            for xy in lines
        ]
    return found


def test_tiles_joined_by_their_crosses_are_the_design_full_size(tiles: DrawnPaper) -> None:
    # By construction: the block's border is 2 × (2 + 1) m, and two sides of 1 m of the dot.
    lines = [line for found in _tiled(tiles).values() for line in found]
    whole = shapely.union_all(shapely.set_precision(np.array(lines, dtype=object), 1e-4))
    assert whole.bounds == pytest.approx((4.0, 0.5, 6.0, 1.5), abs=1e-4)
    assert whole.length == pytest.approx(8.0, abs=1e-3)


def test_tiles_are_named_and_say_their_neighbours(
    tiles: DrawnPaper, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    # A3: 400 × 263 mm are drawn; 2.2 m take 1 + ceil((2.2 - 0.4) / 0.38) = 6 columns, 2.5 m take
    # 1 + ceil((2.5 - 0.263) / 0.243) = 11 rows. The block is at rows B to G, columns 1 to 6.
    names = [sheet.name for sheet in tiles.sheets]
    assert names[0] == "Pounce index"
    assert "Pounce tile C1" in names
    assert not any(name.startswith("Pounce tile K") for name in names)
    index = " ".join(label.text for label in tiles.sheets[0].labels)
    assert f"{len(names) - 1} tiles of 6 × 11" in index
    one = next(sheet for sheet in tiles.sheets if sheet.name == "Pounce tile C1")
    foot = " ".join(label.text for label in one.labels)
    assert "right C2, below B1, above D1" in foot
    assert faults_of(tiles) == []
    # A tile that was torn off says whose it is: job, wall, date, digest, page.
    pages = f"page {names.index('Pounce tile C1') + 1} of {len(names)}"
    for said in ("Block, With dot", pages, "4 January 2027", "Quay"):
        assert said in foot


def test_a_stretch_lies_on_the_wall(made: Make) -> None:
    results = made(10.0, 2.5, 2)
    with pytest.raises(ValueError, match="ends after it starts"):
        documents.pounce_sheets(results, System.METRIC, 12.0, 14.0)
    with pytest.raises(ValueError, match="takes no square"):
        documents.grid_sheets(results, System.METRIC, 0.0, 5.0, pitch=1e7)

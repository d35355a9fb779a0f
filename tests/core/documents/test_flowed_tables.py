"""Tables over pages: rows are a little lower where that saves a page, else as high as can be."""

from __future__ import annotations

import pytest

from giornata.core.documents.drawing import Label
from giornata.core.documents.flowed_tables import Block, flowed
from giornata.core.documents.ruled_table import Column


def heights(rows: int, floor: float) -> tuple[int, float]:
    """How many pages a table of so many rows takes, and the height of its rows. [mm]"""
    block = Block(
        name="",
        aside="",
        columns=(Column(head="Mark"),),
        rows=tuple((str(k),) for k in range(rows)),
    )
    pages = flowed([block], "Made", 10.0, 200.0, 10.0, floor, 30.0, ())
    lines = [one.y for one in pages[0][1] if isinstance(one, Label) and one.text.isdecimal()]
    return len(pages), lines[1] - lines[0]


@pytest.mark.parametrize(
    ("rows", "pages", "row"),
    # The head takes 6 mm (one line of 4 and 2); from 36 mm to 274.5 mm are 238.5 mm: 33 rows of 7.2
    # (237.6), 34 of 7.0 (238), 35 of 6.8 (238), 36 of 6.6 (237.6). The 37th needs a second page,
    # and then all are 7.2 mm again.
    [(33, 1, 7.2), (34, 1, 7.0), (35, 1, 6.8), (36, 1, 6.6), (37, 2, 7.2)],
)
def test_rows_are_lower_where_that_saves_a_page(rows: int, pages: int, row: float) -> None:
    assert heights(rows, 274.5) == (pages, pytest.approx(row))

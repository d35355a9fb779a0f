"""Windows of reference sheets, in whole millimetres of paper."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from giornata.core.documents import Scale
from giornata.core.documents.sheet_plan import sheet_count, sheet_windows

Make = Callable[..., Any]
TWENTY = Scale(ratio=20, name="1:20")


def test_n63_eight_sheets() -> None:
    """N63: 61.2 m at 1:20 is 3,060 mm; 400 mm a sheet, 20 mm shared: (3060 - 400)/380 is 7."""
    assert sheet_count(3060, 400, 20) == 8
    assert sheet_count(3061, 400, 20) == 9
    assert sheet_count(400, 400, 20) == 1
    assert sheet_count(401, 400, 20) == 2


def test_n63_windows_start_at_whole_steps_and_share_20_mm(made: Make) -> None:
    wall = made(61.2, 2.9, 12).wall
    windows = sheet_windows(wall, TWENTY, usable=400, height=180, overlap=20)
    assert [one.number for one in windows] == [1, 2, 3, 4, 5, 6, 7, 8]
    # 380 mm of paper are 7.6 m of wall at 1:20; 400 mm are 8.0 m.
    assert [one.start for one in windows] == pytest.approx([7.6 * k for k in range(8)])
    assert all(one.end - one.start == pytest.approx(8.0) for one in windows)
    assert windows[-1].end == pytest.approx(61.2)
    assert windows[0].end - windows[1].start == pytest.approx(0.4)  # 20 mm at 1:20


def test_n63_neighbours_are_named(made: Make) -> None:
    wall = made(61.2, 2.9, 12).wall
    windows = sheet_windows(wall, TWENTY, usable=400, height=180, overlap=20)
    assert (windows[2].left, windows[2].right) == (2, 4)
    assert (windows[0].left, windows[7].right) == (None, None)
    assert {one.above for one in windows} == {None}


def test_a_high_wall_takes_rows_that_share_20_mm(made: Make) -> None:
    """9 m at 1:20 is 450 mm; 180 mm a sheet, 20 shared: (450 - 180)/160 = 1.7, so 3 rows."""
    windows = sheet_windows(made(60.0, 9.0, 10).wall, TWENTY, usable=400, height=180, overlap=20)
    first = [one for one in windows if one.column == 1]
    assert [one.row for one in first] == [1, 2, 3]
    assert first[0].base == 0.0
    assert first[-1].head == pytest.approx(9.0)
    assert first[0].head - first[1].base == pytest.approx(0.4)
    assert (first[0].above, first[1].below, first[1].right) == (2, 1, 5)


def test_a_sheet_longer_than_its_overlap_is_asked_for() -> None:
    with pytest.raises(ValueError, match="longer than its overlap"):
        sheet_count(100, 20, 20)

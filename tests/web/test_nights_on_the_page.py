"""The table of nights on the job's page: darkness, what fits, nights that never get dark."""

from __future__ import annotations

import re

import pytest

from giornata.core.foundation import System
from giornata.core.job import named_figures
from giornata.desk import open_job
from giornata.web.night_grids import nights_grid
from giornata.web.tables import Sheet


@pytest.fixture(scope="module")
def memo():
    return {}


@pytest.fixture
def grid_of(folder, memo):
    """The table for a job with other lines under [site] and [nights]."""

    def made(site="", nights=""):
        path = folder / "job.toml"
        text = path.read_text()
        for table, lines in (("site", site), ("nights", nights)):
            text = re.sub(rf"(?m)^\[{table}\]\n(?:(?!\[).*\n)*", "", text)
            text += f"\n[{table}]\n{lines}\n"
        path.write_text(text)
        results = open_job(folder, memo=memo).results()
        sheet = Sheet(
            results=results,
            figures=named_figures(results),
            design=results.design,
            scheme=results.scheme,
            system=System.METRIC,
        )
        return results, nights_grid(sheet)

    return made


NORTH = 'latitude = "69.6 deg"\nlongitude = "19 deg"\nzone = "Europe/Oslo"'


def test_n52_without_a_place_the_table_says_what_is_missing(grid_of):
    results, grid = grid_of()
    assert "write latitude, longitude and zone" in grid.note
    assert [row.cells[2].text for row in grid.rows] == ["–"] * len(results.design.nights.nights)


def test_n52_evenings_of_the_midnight_sun_are_said_to_be_passed_over(grid_of):
    # Tromsoe: the sun stays up from about 20 May to 22 July (from memory).
    _, grid = grid_of(NORTH, "first = 2027-06-01")
    first = grid.rows[0].cells
    assert first[1].text.startswith("1 June 2027 to ")
    assert first[4].text == "0 h"
    assert first[5].text == "none: it does not get dark enough"
    assert grid.rows[-1].cells[1].text == "–"  # no evening was found for the work itself


def test_n52_a_winters_night_holds_the_work(grid_of):
    results, grid = grid_of(NORTH, "first = 2027-12-20")
    cells = [cell.text for cell in grid.rows[0].cells]
    assert cells[:2] == ["1", "20 December 2027"]
    # Polar night: only noon is light, so it is dark well before 18 and long after 6.
    assert cells[2] < "18:00"
    assert "06:00" < cells[3] < "12:00"
    assert cells[5] == ", ".join(map(str, results.design.nights.nights[0]))

"""Drawn papers read back from their PDFs by other programs: sizes, distances, letters, fonts."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import date

import numpy as np
import pikepdf
import pypdfium2
import pytest
import shapely
from numpy.typing import NDArray

from giornata.core import documents
from giornata.core.documents import Area, DrawnPaper, Label, Line, Pen, Sheet
from giornata.core.foundation import System, readonly
from giornata.core.job import JobResults
from giornata.desk import open_job
from giornata.files.examples import example_job
from giornata.files.pdf import (
    drawn_pdf,
    elevation_pdf,
    reference_sheets_pdf,
    set_up_cards_pdf,
)

MM = 25.4 / 72.0  # of a point: PDF 32000-1:2008, 8.3.2.3
Make = Callable[[JobResults, System], bytes]
PAPERS: dict[str, Make] = {
    "elevation": elevation_pdf,
    "reference sheets": reference_sheets_pdf,
    "set-up cards": set_up_cards_pdf,
}
SIZES = {
    ("elevation", System.METRIC): (420.0, 297.0),  # ISO 216:2007, A3 and A4
    ("reference sheets", System.METRIC): (420.0, 297.0),
    ("set-up cards", System.METRIC): (210.0, 297.0),
    ("elevation", System.US): (431.8, 279.4),  # 17 x 11 in and 8.5 x 11 in
    ("reference sheets", System.US): (431.8, 279.4),
    ("set-up cards", System.US): (215.9, 279.4),
}


@pytest.fixture(scope="module")
def results() -> JobResults:
    return open_job(example_job("port-merrow")).results()


@pytest.fixture(scope="module")
def made(results: JobResults) -> Callable[[str, System], bytes]:
    known: dict[tuple[str, System], bytes] = {}

    def make(name: str, system: System) -> bytes:
        if (name, system) not in known:
            known[name, system] = PAPERS[name](results, system)
        return known[name, system]

    return make


def dark(
    pdf: bytes, page: int, window: tuple[float, float, float, float], *, below: int = 128
) -> NDArray[np.bool_]:
    """Dark pixels of a window of a page, 0.02 mm each; left, upper, right, lower in mm."""
    opened = pypdfium2.PdfDocument(pdf)[page]
    wide, high = opened.get_size()
    left, upper, right, lower = (side / MM for side in window)
    crop = (left, high - lower, wide - right, upper)
    grey = opened.render(scale=MM / 0.02, crop=crop, grayscale=True).to_numpy()
    return np.asarray(np.squeeze(grey) < below)


@pytest.mark.parametrize(("name", "system"), list(SIZES))
def test_pages_have_their_size_to_the_hundredth(
    made: Callable[[str, System], bytes], name: str, system: System
) -> None:
    with pikepdf.open(io.BytesIO(made(name, system))) as opened:
        for page in opened.pages:
            _, _, wide, high = (float(side) * MM for side in page.mediabox)
            assert (wide, high) == pytest.approx(SIZES[name, system], abs=0.01)


def test_the_printer_bar_is_100_mm_long(made: Callable[[str, System], bytes]) -> None:
    """Rendered by PDFium at 0.02 mm a pixel: the bar's outline runs from 10 to 110 mm."""
    pixels = dark(made("elevation", System.METRIC), 0, (5.0, 268.0, 120.0, 269.5))
    row = pixels.sum(axis=0) > 0
    ends = np.flatnonzero(row) * 0.02
    # Outer edges of a line 0.18 mm wide about the bar's ends.
    assert ends[-1] - ends[0] == pytest.approx(100.18, abs=0.05)


def test_n33_the_wall_on_paper_is_the_wall_over_100(made: Callable[[str, System], bytes]) -> None:
    """The first of two rows, 0 to 39.90 m at 1:100, is 399.00 mm from the wall's end to the cut.

    The middles of the two upright lines, 0.35 mm and 0.25 mm wide.
    """
    pixels = dark(made("elevation", System.METRIC), 0, (5.0, 20.0, 415.0, 40.0))
    solid = np.flatnonzero(pixels.mean(axis=0) > 0.45)
    between = (solid[-1] - solid[0]) * 0.02 + 0.02 - (0.35 + 0.25) / 2
    assert between == pytest.approx(399.0, abs=0.05)


def test_n63_a_metre_of_grid_is_50_mm_on_a_reference_sheet(
    made: Callable[[str, System], bytes],
) -> None:
    """Sheet 1 at 1:20 (N63's scale): grid lines at 1.00 and 7.00 m are 300.00 mm apart."""
    pixels = dark(made("reference sheets", System.METRIC), 0, (55.0, 44.0, 365.0, 48.0), below=170)
    upright = np.flatnonzero(pixels.mean(axis=0) > 0.9)
    ends = upright * 0.02 + 55.0
    first, last = ends[ends < 65.0].mean(), ends[ends > 355.0].mean()
    assert last - first == pytest.approx(300.0, abs=0.05)
    assert first == pytest.approx(60.0, abs=0.05)  # the margin and 1 m


@pytest.mark.parametrize("name", list(PAPERS))
def test_the_same_paper_is_the_same_bytes(
    results: JobResults, made: Callable[[str, System], bytes], name: str
) -> None:
    assert PAPERS[name](results, System.METRIC) == made(name, System.METRIC)


@pytest.mark.parametrize("name", list(PAPERS))
def test_fonts_lie_in_the_file_and_there_are_no_pictures(
    made: Callable[[str, System], bytes], name: str
) -> None:
    with pikepdf.open(io.BytesIO(made(name, System.METRIC))) as opened:
        fonts, pictures = [], []
        for thing in opened.objects:
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor":
                fonts.append("/FontFile2" in thing or "/FontFile3" in thing)
                assert "IBMPlexSans" in str(thing.FontName)
            if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Image":
                pictures.append(thing)
    assert fonts
    assert all(fonts)
    assert pictures == []  # true vectors


WORDS = {
    "elevation": ("Slipway gate", "Steps gate", "bend 14° towards you", "Hedge, 0.60 high",
                  "In one piece at 1:100 it takes A1.", "It faces 215° (south-west)"),
    "reference sheets": ("from 15.20 m", "Sheet 11", "M07 upper", "Deep water", "#1f4b60",
                         "Page 11 of 11"),
    "set-up cards": ("Set-up 15", "Night 4", "Before dark", "residual current device",
                     "Every miss under 10 mm"),
}  # fmt: skip


@pytest.mark.parametrize("name", list(PAPERS))
def test_words_can_be_found_and_none_leaves_its_page(
    made: Callable[[str, System], bytes], name: str
) -> None:
    text = ""
    for page in pypdfium2.PdfDocument(made(name, System.METRIC)):
        wide, high = page.get_size()
        letters = page.get_textpage()
        text += letters.get_text_range()
        boxes = np.array([letters.get_charbox(k) for k in range(letters.count_chars())])
        printed = boxes[boxes[:, 2] > boxes[:, 0]]
        assert printed[:, :2].min() * MM > 8.0
        assert (wide - printed[:, 2].max()) * MM > 8.0
        assert (high - printed[:, 3].max()) * MM > 8.0
    for words in WORDS[name]:
        assert words in text


@pytest.mark.parametrize(("name", "system"), list(SIZES))
def test_no_two_letters_of_the_example_meet(
    made: Callable[[str, System], bytes], name: str, system: System
) -> None:
    """PDFium's own boxes of letters: lines of one page that share ink would print as a blot."""
    for number, page in enumerate(pypdfium2.PdfDocument(made(name, system)), start=1):
        letters = page.get_textpage()
        boxes = np.array([letters.get_charbox(k) for k in range(letters.count_chars())])
        # A ligature (fi) is one box for two letters.
        left, low, right, high = np.unique(boxes[printing(boxes)], axis=0).T
        meet = (
            (left[:, None] < right - 0.3) & (left < right[:, None] - 0.3)
            & (low[:, None] < high - 0.3) & (low < high[:, None] - 0.3)
        )  # fmt: skip
        np.fill_diagonal(meet, False)
        assert not meet.any(), f"{name}, page {number}"


def printing(boxes: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Boxes of letters that print; spaces and line ends have none."""
    return np.asarray((boxes[:, 2] > boxes[:, 0] + 0.1) & (boxes[:, 3] > boxes[:, 1] + 0.1))


def test_marks_of_the_markup_in_names_are_only_letters() -> None:
    label = Label(x=20.0, y=20.0, text="A & B <\"quay\"> 'x' #1", size=12.0)
    turned = Label(x=60.0, y=60.0, text="up", size=12.0, turned=True, bold=True)
    pen = Pen(width=0.5, dash=(2.0, 1.0), colour="#0000ff")
    hole = Area(
        rings=(
            readonly([(10, 70), (40, 70), (40, 90), (10, 90)]),
            readonly([(20, 75), (30, 75), (30, 85), (20, 85)]),
        ),
        fill="#000000",
    )
    line = Line(points=readonly([(10, 50), (40, 50)]), pen=pen)
    sheet = Sheet(name="s", width=100.0, height=100.0, items=(label, turned, hole, line))
    paper = DrawnPaper(title="t", date=date(2027, 1, 4), sheets=(sheet,))
    pdf = drawn_pdf(paper)
    text = pypdfium2.PdfDocument(pdf)[0].get_textpage().get_text_range()
    assert "A & B <\"quay\"> 'x' #1" in text
    pixels = dark(pdf, 0, (5.0, 65.0, 45.0, 95.0))
    # By construction: 30 x 20 mm less 10 x 10 mm.
    assert pixels.mean() * 40.0 * 30.0 == pytest.approx(500.0, rel=0.01)


@pytest.fixture(scope="module")
def pattern(results: JobResults) -> bytes:
    """Slipway gate to pier: a stretch of 0.7 m on A3, two columns of tiles."""
    return drawn_pdf(documents.pounce_sheets(results, System.METRIC, 26.5, 27.2))


def _middle(marked: NDArray[np.bool_], start: float) -> float:
    """Middle of the pixels set, in mm."""
    return float(np.flatnonzero(marked).mean() + 0.5) * 0.02 + start


def test_every_tile_is_a3(pattern: bytes) -> None:
    with pikepdf.open(io.BytesIO(pattern)) as opened:
        for page in opened.pages:
            _, _, wide, high = (float(side) * MM for side in page.mediabox)
            assert (wide, high) == pytest.approx((420.0, 297.0), abs=0.01)  # ISO 216:2007


def test_crosses_and_bar_measure_what_they_say(pattern: bytes) -> None:
    # A3 less margins of 10 mm and a foot of 14 mm: 400 × 263 mm are drawn, and neighbours share
    # 20 mm, so crosses stand 380 and 243 mm apart. Upright strokes are looked for 3.5 to 5 mm over
    # and level ones 3.5 to 5 mm left of the crosses' rings, where nothing else is.
    page = 5
    left = _middle(dark(pattern, page, (18.0, 14.2, 22.0, 15.8)).mean(axis=0) > 0.9, 18.0)
    right = _middle(dark(pattern, page, (398.0, 14.2, 402.0, 15.8)).mean(axis=0) > 0.9, 398.0)
    assert right - left == pytest.approx(380.0, abs=0.05)
    upper = _middle(dark(pattern, page, (14.2, 18.0, 15.8, 22.0)).mean(axis=1) > 0.9, 18.0)
    lower = _middle(dark(pattern, page, (14.2, 261.0, 15.8, 265.0)).mean(axis=1) > 0.9, 261.0)
    assert lower - upper == pytest.approx(243.0, abs=0.05)
    # The bar at the foot: a tick at both ends, 100 mm apart.
    ticks = (
        np.flatnonzero(dark(pattern, page, (308.5, 284.6, 415.0, 285.4)).mean(axis=0) > 0.9) * 0.02
    )
    assert ticks[-1] - ticks[0] == pytest.approx(100.0 + 0.25 - 0.02, abs=0.05)


def test_too_many_tiles_are_refused(results: JobResults) -> None:
    paper = documents.pounce_sheets(results, System.METRIC, 0.0, 78.6)
    (found,) = paper.findings
    assert found.code == "documents.too_many_tiles"
    assert [sheet.name for sheet in paper.sheets] == ["Pounce index"]


def test_an_edge_lies_where_it_lies_on_the_wall(results: JobResults, pattern: bytes) -> None:
    # On the left of the first tile's drawing, chainage 26.500 m and level 0.223 m, every edge that
    # leaves it does so at its own level: measured in the PDF against the artwork on the wall.
    page = 1
    coverage = results.design.placed.coverage
    between = coverage.edges[(coverage.left >= 0) & (coverage.right >= 0)]
    at = 26.500 + 0.0405  # m; the window below is 1 mm wide, 40 to 41 mm in
    cut = shapely.intersection(between, shapely.LineString([(at, 0.24), (at, 0.47)]))
    levels = np.unique(np.round(shapely.get_coordinates(cut)[:, 1], 5))
    assert len(levels) > 1
    base = float(np.interp(26.5, *results.wall.ground.T))
    wanted = np.sort(273.0 - 1000 * (levels - base))  # mm from the top: margin and 263 mm
    drawn = dark(pattern, page, (50.0, 10.0, 51.0, 273.0)).mean(axis=1) > 0.2
    rows = np.flatnonzero(drawn)
    groups = np.split(rows, np.flatnonzero(np.diff(rows) > 3) + 1)
    middles = np.array([(group[0] + group[-1] + 1) / 2 * 0.02 + 10.0 for group in groups])
    for one in wanted:
        assert np.abs(middles - one).min() < 0.1

"""Written papers as PDF: size, words, the wall to scale, fonts, equal bytes, any words safe."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace

import cv2
import numpy as np
import pikepdf
import pypdfium2
import pypdfium2.raw
import pytest
import shapely

from giornata.core.documents import WrittenPaper, option_sheet, proposal
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.desk import open_job
from giornata.files.examples import example_job
from giornata.files.pdf import written_pdf
from giornata.files.pictures import PIXELS_PER_MM, picture_png

MM = 25.4 / 72.0  # of a point: PDF 32000-1:2008, 8.3.2.3
PAPERS = {"proposal": proposal, "option sheet": option_sheet}


@pytest.fixture(scope="module")
def results() -> JobResults:
    return open_job(example_job("port-merrow")).results()


@pytest.fixture(scope="module")
def pdf(results: JobResults) -> Callable[[str, System], bytes]:
    known: dict[tuple[str, System], bytes] = {}

    def make(name: str, system: System) -> bytes:
        if (name, system) not in known:
            known[name, system] = written_pdf(PAPERS[name](results, results.findings, system))
        return known[name, system]

    return make


def text_of(data: bytes) -> str:
    with pypdfium2.PdfDocument(data) as document:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)


@pytest.mark.parametrize(
    ("system", "size"),
    # ISO 216:2007, A4; 8.5 x 11 in.
    [(System.METRIC, (210.0, 297.0)), (System.US, (215.9, 279.4))],
)
@pytest.mark.parametrize("name", list(PAPERS))
def test_pages_are_of_the_readers_paper(
    pdf: Callable[[str, System], bytes], name: str, system: System, size: tuple[float, float]
) -> None:
    with pypdfium2.PdfDocument(pdf(name, system)) as document:
        assert 4 <= len(document) <= 9
        for page in document:
            assert tuple(MM * side for side in page.get_size()) == pytest.approx(size, abs=0.01)


@pytest.mark.parametrize("name", list(PAPERS))
def test_the_same_paper_is_the_same_bytes(
    results: JobResults, pdf: Callable[[str, System], bytes], name: str
) -> None:
    again = written_pdf(PAPERS[name](results, results.findings, System.METRIC))
    assert again == pdf(name, System.METRIC)


@pytest.mark.parametrize("system", list(System))
def test_no_row_of_a_table_is_torn_over_two_pages(
    results: JobResults, pdf: Callable[[str, System], bytes], system: System
) -> None:
    """Every cell of the findings stands whole on a page: the line of one was over the leaf."""
    with pypdfium2.PdfDocument(pdf("option sheet", system)) as document:
        pages = ["".join(page.get_textpage().get_text_bounded().split()) for page in document]
    paper = option_sheet(results, results.findings, system)
    cells = [cell for table in paper.sections[-1].tables for row in table.rows for cell in row]
    assert len(cells) > 100
    lost = [cell for cell in cells if not any("".join(cell.split()) in page for page in pages)]
    assert [cell for cell in lost if "-" not in cell] == []  # a hyphen may end a line


def test_job_date_digest_and_page_stand_on_every_page(
    pdf: Callable[[str, System], bytes], results: JobResults
) -> None:
    head = proposal(results, (), System.METRIC).head
    with pypdfium2.PdfDocument(pdf("proposal", System.METRIC)) as document:
        for number, page in enumerate(document, start=1):
            said = page.get_textpage().get_text_bounded()
            foot = f"Tideline, Harbour wall, Port Merrow, proposal, 2027-02-08, job {head.digest}"
            assert foot in said
            assert f"Page {number} of {len(document)}" in said


def test_the_proposal_says_the_price_and_not_the_hours(
    pdf: Callable[[str, System], bytes],
) -> None:
    """By hand: 196.13 × 150 = 29,419.50; × 9.5 = 1,863.24 (1,863.235, half up); 640; 5 % of
    31,922.74 = 1,596.14; 33,518.88 in stages of 20, 30 and 50 %.
    """
    said = text_of(pdf("proposal", System.METRIC))
    for words in ("196.13 m² × 150.00 EUR", "29,419.50", "1,863.24", "1,596.14", "33,518.88",
                  "6,703.78", "10,055.66", "16,759.44", "Valid until"):  # fmt: skip
        assert words in said
    assert "hour" not in said
    own = text_of(pdf("option sheet", System.METRIC))
    assert "Hours with nights [h]" in own


def test_the_wall_is_to_scale_on_paper(pdf: Callable[[str, System], bytes]) -> None:
    """78.60 m at 1:500 are 157.2 mm; the strips at 1:100 make 786 mm together."""
    widths: list[list[float]] = []
    with pypdfium2.PdfDocument(pdf("proposal", System.METRIC)) as document:
        for page in document:
            found = page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE])
            bounds = [one.get_bounds() for one in found]
            widths.append([MM * (right - left) for left, _, right, _ in bounds])
    assert widths[0] == pytest.approx([157.2] * 6, abs=0.05)
    assert sum(widths[1]) == pytest.approx(786.0, abs=0.3)
    assert sum(widths[2]) == pytest.approx(786.0, abs=0.3)


def test_fonts_are_the_shipped_ones_and_the_paper_is_tagged(
    pdf: Callable[[str, System], bytes],
) -> None:
    with pikepdf.open(io.BytesIO(pdf("proposal", System.METRIC))) as opened:
        names = {
            str(thing.FontName).split("+")[-1]
            for thing in opened.objects
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor"
        }
        assert names <= {"IBMPlexSans", "IBMPlexSans-Regular", "IBMPlexSans-Bold"}
        assert len(names) > 0
        assert bool(opened.Root.MarkInfo.Marked)
        assert str(opened.docinfo["/Title"]) == "Tideline: proposal"


def test_words_of_the_job_are_no_commands(results: JobResults) -> None:
    """Names that the typesetter would take for its own come out as they were written."""
    names = ('#read("/etc/passwd")', "$x^2$ *bold* _it_", '"quoted" \\ back', "<tag> @label // no")
    paper: WrittenPaper = proposal(results, (), System.METRIC)
    heads = replace(paper.head, job=names[0])
    plain = replace(paper.sections[-1], points=names, pictures=(), new_page=False)
    said = text_of(written_pdf(replace(paper, head=heads, sections=(plain,))))
    for name in names:
        assert name in said.replace("\r\n", " ")


def test_a_picture_shows_the_colour_of_each_place(results: JobResults) -> None:
    """Known by construction: the middle of a pixel that lies 3 pixels inside a region has exactly
    the colour of its paint, and beyond the wall the paper is white.
    """
    strips = [one for one in proposal(results, (), System.METRIC).pictures if one.view.start > 0]
    picture = strips[0]
    view = picture.view
    pixels = cv2.imdecode(np.frombuffer(picture_png(picture), np.uint8), cv2.IMREAD_COLOR)
    scale = PIXELS_PER_MM * view.mm_per_metre
    assert pixels.shape[1] == round((view.end - view.start) * scale)
    rng = np.random.default_rng(7)
    coverage = picture.coverage
    tree = shapely.STRtree(shapely.buffer(coverage.faces, -3 / scale))
    seen = 0
    for row, column in zip(rng.integers(0, pixels.shape[0], 400),
                           rng.integers(0, pixels.shape[1], 400), strict=True):  # fmt: skip
        place = shapely.Point(view.start + (column + 0.5) / scale, view.head - (row + 0.5) / scale)
        inside = tree.query(place, predicate="within")
        blue, green, red = (int(part) for part in pixels[row, column])
        if len(inside):
            colour = picture.colours[int(coverage.labels[inside[0]])]
            assert f"#{red:02x}{green:02x}{blue:02x}" == colour
            seen += 1
        elif results.wall.net.distance(place) > 3 / scale:
            assert (red, green, blue) == (255, 255, 255)
    assert seen > 200

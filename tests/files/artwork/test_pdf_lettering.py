"""What the lettering of a PDF says: words, places and layers, from the writers' own pages.

Pages set by typst hold subset fonts whose letters are told by their tables (ToUnicode) alone;
pages written by hand show one operator each of ISO 32000-1, 9.4.
"""

from __future__ import annotations

import io

import pikepdf
import pytest
import typst
from pikepdf import Array, Dictionary, Name

from giornata.core import artwork
from giornata.core.artwork import Kind, Wording
from giornata.files.artwork import read_artwork

pytestmark = pytest.mark.usefixtures("read_here")

FONT = (
    "/Font << /F << /Type /Font /Subtype /Type1 /BaseFont /Helvetica"
    " /Encoding /WinAnsiEncoding >> >>"
)


def read(tmp_path, data):
    path = tmp_path / "drawing.pdf"
    path.write_bytes(data)
    return read_artwork(path)


def by_hand(content, layers=(), off=(), more=""):
    """A page of 200 x 100 points; layers are /L0, /L1, ..."""
    with pikepdf.new() as document:
        groups = [document.make_indirect(Dictionary(Type=Name.OCG, Name=layer)) for layer in layers]
        hidden = Array([groups[at] for at in off])
        document.Root.OCProperties = Dictionary(OCGs=Array(groups), D=Dictionary(OFF=hidden))
        page = pikepdf.Object.parse(
            f"<< /Type /Page /MediaBox [0 0 200 100] {more} /Resources << {FONT} >> >>".encode()
        )
        page.Resources.Properties = Dictionary(
            {f"/L{at}": group for at, group in enumerate(groups)}
        )
        page.Contents = document.make_stream(content.encode("latin-1"))
        document.pages.append(pikepdf.Page(document.make_indirect(page)))
        out = io.BytesIO()
        document.save(out)
        return out.getvalue()


def lettering(drawing):
    return [thing for thing in drawing.things if thing.kind is Kind.LETTERING]


def test_n21_a_page_set_by_a_typesetter(tmp_path):
    page = "#set page(width: 200pt, height: 100pt, margin: 0pt)\n#set text(12pt)\n"
    data = typst.compile((page + "#place(dx: 20pt, dy: 30pt)[HARBOR STEPS 1889]").encode())
    drawing, findings = read(tmp_path, data)
    (thing,) = lettering(drawing)
    assert thing.words == "HARBOR STEPS 1889"
    assert thing.finding.code == "artwork.text"
    assert [one.code for one in findings] == ["artwork.text"]
    left, top, right, bottom = thing.box
    assert 19.0 < left < 23.0
    assert 29.0 < top < bottom < 44.0  # capitals of 12 points stand 8 to 9 points high
    assert 7.0 < bottom - top < 12.0
    assert 20.0 + 17 * 5.0 < right < 20.0 + 17 * 9.0  # letters of 0.4 to 0.75 em on average
    said = artwork.wording_findings(drawing, Wording(brief=("HARBOUR STEPS 1898",)))
    assert [one.code for one in said] == ["artwork.wording", "artwork.wording"]
    assert 'letter 6 "U" is missing' in said[0].message
    assert 'digit 3 to 4 "98" drawn as "89"' in said[1].message
    assert artwork.wording_findings(drawing, Wording(brief=("HARBOR STEPS 1889",))) == ()


def test_letters_shown_one_by_one_and_with_kerning_make_words(tmp_path):
    content = "BT /F 12 Tf 20 50 Td (HAR) Tj (B) Tj [(O) -20 (R)] TJ ( \\304\\326) Tj ET"
    drawing, _ = read(tmp_path, by_hand(content))
    assert [thing.words for thing in lettering(drawing)] == ["HARBOR ÄÖ"]


@pytest.mark.parametrize(("mode", "seen"), [(0, True), (1, True), (2, True), (3, False)])
def test_lettering_that_is_not_shown_says_nothing(tmp_path, mode, seen):
    shown = "BT /F 12 Tf 20 80 Td (PIER) Tj ET"
    drawing, _ = read(tmp_path, by_hand(f"{shown} BT {mode} Tr /F 12 Tf 20 20 Td (NORTH) Tj ET"))
    assert [thing.words for thing in lettering(drawing)] == ["PIER", "NORTH"][: 1 + seen]


def test_a_line_filled_and_then_lined_is_said_once(tmp_path):
    line = "BT /F 12 Tf {} Tr 20 50 Td (PIER) Tj ET "
    again = "BT /F 12 Tf 120 50 Td (PIER) Tj ET"
    drawing, _ = read(tmp_path, by_hand(line.format(0) + line.format(1) + again))
    words = " ".join(thing.words for thing in lettering(drawing))
    assert words == "PIER PIER"


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_the_place_follows_the_page_as_shown(tmp_path, turn):
    # Helvetica's capital I: its stem stands 718/1000 em high on the base line (Adobe's metrics)
    content = "BT /F 20 Tf 30 10 Td (I) Tj ET 1 0 0 rg 30 10 5.56 14.36 re f"
    drawing, _ = read(tmp_path, by_hand(content, more=f"/Rotate {turn}"))
    (thing,) = lettering(drawing)
    (block,) = drawing.shapes
    block_box = block.area.bounds
    assert thing.box == pytest.approx(block_box, abs=2.5)


def test_lettering_goes_with_its_layer(tmp_path):
    # what is outside a layer, in one, in a layer switched off
    content = (
        "BT /F 12 Tf 20 80 Td (ALWAYS) Tj ET"
        " /OC /L0 BDC BT /F 12 Tf 20 50 Td (SUMMER) Tj ET EMC"
        " /OC /L1 BDC BT /F 12 Tf 20 20 Td (WINTER) Tj ET EMC"
    )
    drawing, _ = read(tmp_path, by_hand(content, layers=("Summer/1", "Winter"), off=(1,)))
    found = {thing.words: thing.group for thing in lettering(drawing)}
    assert found == {"ALWAYS": "", "SUMMER": "Summer-1", "WINTER": "Winter"}


def test_lettering_of_a_font_without_letters_is_still_said(tmp_path):
    # A font of drawn letters (type 3) without a table of what they are.
    font = (
        "/Font << /F << /Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0]"
        " /CharProcs << >> /Encoding << /Type /Encoding /Differences [1 /x1] >> /FirstChar 1"
        " /LastChar 1 /Widths [1] >> >>"
    )
    data = by_hand("BT /F 12 Tf 20 50 Td (\\001) Tj ET").replace(FONT.encode(), font.encode())
    drawing, findings = read(tmp_path, data)
    assert {one.code for one in findings} == {"artwork.text", "artwork.empty"}
    (said,) = artwork.wording_findings(drawing, Wording(brief=("PIER",)))
    assert said.code == "artwork.wording_unread"


def test_a_file_that_is_mended_on_reading_keeps_its_words(tmp_path):
    # Without its header pdfium refuses it; qpdf, under pikepdf, does not.
    data = by_hand("BT /F 12 Tf 20 50 Td (PIER) Tj ET").replace(b"%PDF", b"$PDF")
    drawing, findings = read(tmp_path, b"%PDF-1.7\n" + data)
    assert [thing.words for thing in lettering(drawing)] == ["PIER"]
    assert "artwork.text" in {one.code for one in findings}

"""Each thing in a drawing that is not flat colour is said, and never silently wrong."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from giornata.core.foundation import ArtworkError, Finding
from giornata.files.artwork import read_artwork

pytestmark = pytest.mark.usefixtures("read_here")

RECT = '<rect width="50" height="50" fill="#c00"/>'


def findings_of(path: Path) -> tuple[Finding, ...]:
    try:
        return read_artwork(path)[1]
    except ArtworkError as refused:
        return refused.findings


def svg(tmp_path: Path, body: str, head: str = 'viewBox="0 0 100 100"') -> tuple[Finding, ...]:
    path = tmp_path / "drawing.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        f" {head}>{body}</svg>"
    )
    return findings_of(path)


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ('<rect width="9" height="9"><animate attributeName="x"/></rect>', "artwork.animation"),
        (RECT + '<rect width="9" height="9" style="mix-blend-mode:multiply"/>', "artwork.blend"),
        (RECT + '<path d="M0 0L1e12 1e12L0 9z"/>', "artwork.coordinates"),
        (RECT + '<path d="M0 0H90" stroke="#000" stroke-dasharray="0.00001"/>', "artwork.dashes"),
        ("", "artwork.empty"),
        (RECT + '<use xlink:href="other.svg#bird"/>', "artwork.external"),
        (RECT + '<use xlink:href="https://example.org/a.svg#b"/>', "artwork.external"),
        (('<filter id="f"><feGaussianBlur stdDeviation="2"/></filter>'
         '<rect width="9" height="9" filter="url(#f)"/>'), "artwork.filter"),
        (RECT + '<foreignObject width="9" height="9"><p>x</p></foreignObject>', "artwork.foreign"),
        (('<linearGradient id="g"><stop stop-color="#f00"/><stop offset="1" stop-color="#00f"/>'
         '</linearGradient><rect width="9" height="9" fill="url(#g)"/>'), "artwork.gradient"),
        (RECT + '<image width="9" height="9" xlink:href="photo.png"/>', "artwork.image"),
        (('<mask id="m"><rect width="9" height="9" fill="url(#g)"/></mask>'
         '<linearGradient id="g"><stop stop-color="#fff"/><stop offset="1" stop-color="#000"/>'
         '</linearGradient><rect width="9" height="9" mask="url(#m)"/>'), "artwork.mask"),
        (RECT + '<circle cx="1" cy="1" r="wide"/>', "artwork.number"),
        (('<pattern id="p" width="4" height="4" patternUnits="userSpaceOnUse">'
         '<rect width="2" height="2" fill="#0c0"/></pattern>'
         '<rect width="90" height="90" fill="url(#p)"/>'), "artwork.pattern"),
        (RECT + '<use xlink:href="#nowhere"/>', "artwork.reference"),
        (RECT + "<script>alert(1)</script>", "artwork.script"),
        (RECT + '<path d="M1 1H9V9" stroke="#000" stroke-linejoin="arcs"/>', "artwork.stroke"),
        (RECT + '<rect width="9" height="9" fill="var(--x)"/>', "artwork.style"),
        (RECT + '<text x="5" y="20">HARBOUR</text>', "artwork.text"),
        (RECT + '<rect width="3cap" height="9"/>', "artwork.unit"),
        (RECT + '<rect width="3vw" height="9"/>', "artwork.unit"),
        (RECT + '<rect width="9" height="9" fill="#f00 icc-color(press, 0, 1, 1, 0)"/>',
         "artwork.colour"),
        (('<marker id="m"><path d="M0 0H3V3z"/></marker>'
         '<circle r="9" marker-start="url(#m)"/>'), "artwork.marker"),
        ("<g>" * 20_000 + RECT + "</g>" * 20_000, "artwork.too_large"),
    ],
)  # fmt: skip
def test_what_is_not_flat_is_said(tmp_path, body, code):
    found = [finding for finding in svg(tmp_path, body) if finding.code == code]
    assert found
    assert all(finding.remedy for finding in found)


def test_a_drawing_without_a_size(tmp_path):
    found = svg(tmp_path, RECT, head="")
    assert "artwork.size" in {finding.code for finding in found}


def test_entities_are_refused_and_nothing_outside_is_read(tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("tell-nobody")
    path = tmp_path / "drawing.svg"
    path.write_text(
        f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file://{secret}">]>'
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">&a;{RECT}</svg>'
    )
    found = findings_of(path)
    assert {finding.code for finding in found} & {"artwork.entity", "artwork.external"}
    assert "tell-nobody" not in str(found)


def test_an_entity_that_grows_is_refused(tmp_path):
    rows = "".join(f'<!ENTITY e{n + 1} "{f"&e{n};" * 10}">' for n in range(9))
    path = tmp_path / "drawing.svg"
    path.write_text(
        f'<!DOCTYPE svg [<!ENTITY e0 "<rect/>">{rows}]>'
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">&e9;</svg>'
    )
    assert "artwork.entity" in {finding.code for finding in findings_of(path)}


def test_a_cut_off_file(tmp_path):
    path = tmp_path / "drawing.svg"
    path.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect')
    assert "artwork.malformed" in {finding.code for finding in findings_of(path)}


def test_a_file_whose_ending_misleads(tmp_path):
    path = tmp_path / "drawing.png"
    path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 99 99">{RECT}</svg>')
    assert "artwork.file_ending" in {finding.code for finding in findings_of(path)}


def test_more_named_groups_than_are_told_apart(tmp_path):
    groups = "".join(f'<g id="group-{n}">{RECT}</g>' for n in range(4001))
    assert "artwork.groups" in {finding.code for finding in svg(tmp_path, groups)}


def pdf(tmp_path: Path, content: bytes, *, pages: int = 1, **page: object) -> tuple[Finding, ...]:
    document = pikepdf.new()
    for _ in range(pages):
        one = document.add_blank_page(page_size=(200, 100))
        one.Contents = document.make_stream(content)
        for key, value in page.items():
            one[f"/{key}"] = value
    sink = BytesIO()
    document.save(sink)
    path = tmp_path / "drawing.pdf"
    path.write_bytes(sink.getvalue())
    return findings_of(path)


def test_a_pdf_of_two_pages(tmp_path):
    found = pdf(tmp_path, b"1 0 0 rg 0 0 50 50 re f", pages=2)
    assert "artwork.pages" in {finding.code for finding in found}


def test_a_pdf_in_printing_inks(tmp_path):
    found = pdf(tmp_path, b"0 1 1 0 k 0 0 50 50 re f")
    assert "artwork.cmyk" in {finding.code for finding in found}


def test_a_pdf_with_a_note_on_it(tmp_path):
    note = pikepdf.Dictionary(
        Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Square, Rect=[0, 0, 9, 9]
    )
    found = pdf(tmp_path, b"1 0 0 rg 0 0 50 50 re f", Annots=pikepdf.Array([note]))
    assert "artwork.annotation" in {finding.code for finding in found}


def test_a_pdf_with_a_spot_colour_mixed_by_a_rule_that_is_not_read(tmp_path):
    rule = pikepdf.Dictionary(FunctionType=9, Domain=[0, 1], Range=[0, 1, 0, 1, 0, 1])
    space = pikepdf.Array([pikepdf.Name.Separation, pikepdf.Name("/Signal"),
                           pikepdf.Name.DeviceRGB, rule])  # fmt: skip
    resources = pikepdf.Dictionary(ColorSpace=pikepdf.Dictionary(S=space))
    found = pdf(tmp_path, b"/S cs 1 scn 0 0 50 50 re f", Resources=resources)
    assert "artwork.colour" in {finding.code for finding in found}


def test_a_pdf_whose_translucent_shape_knocks_out_what_it_overlaps(tmp_path):
    resources = pikepdf.Dictionary(
        ExtGState=pikepdf.Dictionary(H=pikepdf.Dictionary(ca=0.5, CA=0.5))
    )
    found = pdf(tmp_path, b"/H gs 1 0 0 rg 0 0 1 RG 8 w 20 20 50 50 re B", Resources=resources)
    assert "artwork.knockout" in {finding.code for finding in found}

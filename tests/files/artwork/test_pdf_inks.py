"""Layers, tables of colours and inks of PDF where pdfium is no judge, by ISO 32000-1."""

from __future__ import annotations

import io
from typing import Any

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from giornata.core.foundation import Severity
from giornata.files.artwork.pdf import read_pdf
from giornata.files.artwork.reading import Reading

SQUARE = "0 0 10 10 re f"


def read(
    content: str, resources: str = "", layers: tuple[str, ...] = (), off: int = -1, member: str = ""
) -> Reading:
    """A page of 100 x 50; its layers are /L0, /L1, ..., and /M hangs on them as written."""
    with pikepdf.new() as document:
        page = document.add_blank_page(page_size=(100, 50)).obj
        page.Contents = document.make_stream(content.encode())
        page.Resources = pikepdf.Object.parse(f"<< {resources} >>".encode())
        groups = [document.make_indirect(Dictionary(Type=Name.OCG, Name=name)) for name in layers]
        listed: dict[str, Any] = {f"/L{k}": group for k, group in enumerate(groups)}
        if member == "empty":
            listed["/M"] = Dictionary(Type=Name.OCMD, OCGs=Array([]))
        elif member:
            inner = Array([Name.Not, groups[0]])
            listed["/M"] = Dictionary(Type=Name.OCMD, OCGs=groups[0], VE=inner)
        if groups:
            page.Resources.Properties = Dictionary(listed)
            dark = Array(groups[off : off + 1] if off >= 0 else [])
            document.Root.OCProperties = Dictionary(OCGs=Array(groups), D=Dictionary(OFF=dark))
        out = io.BytesIO()
        document.save(out)
    return read_pdf(out.getvalue(), "drawing.pdf")


def said(reading: Reading, severity: Severity) -> set[str]:
    return {finding.code for finding in reading.findings if finding.severity is severity}


@pytest.mark.parametrize("names", [("Boats", "Boats"), ("", "Boats"), ("", "")])
def test_layers_of_one_name_or_none_are_told_apart(names: tuple[str, str]) -> None:
    content = f"/OC /L0 BDC {SQUARE} EMC /OC /L1 BDC {SQUARE} EMC"
    picture = read(content, layers=names, off=1).picture
    assert picture is not None
    first, second = picture.groups
    assert first != second
    assert picture.hidden == (second,)
    assert [shape.names for shape in picture.shapes] == [(first,), (second,)]


@pytest.mark.parametrize(
    ("member", "off", "count"),
    [
        ("empty", 0, 1),  # 8.11.2.2: a membership of no layer has no effect
        ("not", -1, 0),  # 8.11.2.2, VE: shown where the layer is not; VE stands over OCGs
        ("not", 0, 1),
    ],
)
def test_membership_of_layers(member: str, off: int, count: int) -> None:
    picture = read(f"/OC /M BDC {SQUARE} EMC", layers=("Boats",), off=off, member=member).picture
    assert picture is not None
    assert len(picture.shapes) == count


def test_a_table_of_lab_colours() -> None:
    # 8.6.6.3: bytes run over each channel's range. ff 80 80 are L* 100, a* 0, b* 0 in a range of
    # -128 to 127; white by the white point given.
    lab = "[/Lab << /WhitePoint [0.9642 1 0.8249] /Range [-128 127 -128 127] >>]"
    spaces = f"/ColorSpace << /S [/Indexed {lab} 1 <000000ff8080>] >>"
    reading = read(f"/S cs 1 scn {SQUARE}", spaces)
    assert reading.picture is not None
    assert reading.picture.shapes[0].colour == "#ffffff"


def test_a_mixed_ink_in_force_from_the_start_is_said() -> None:
    # 8.6.5.6 and 8.6.8: choosing the space puts full tints in force; no colour need follow.
    calculator = "/ColorSpace << /S [/DeviceN [/A /B] /DeviceRGB null] >>"
    assert "artwork.colour" in said(read(f"/S cs {SQUARE}", calculator), Severity.STOP)
    assert "artwork.colour" not in said(read(f"/S cs 1 0 0 rg {SQUARE}", calculator), Severity.STOP)


@pytest.mark.parametrize(
    ("state", "content", "told"),
    [
        ("/OP true", f"0 1 0 0 k {SQUARE}", True),  # 8.4.5: OP is for fillings too without op
        ("/OP true /op false", f"0 1 0 0 k {SQUARE}", False),
        ("/op true", f"1 0 0 rg {SQUARE}", False),  # 8.6.7: additive colours cover
        ("/OP true /op false", "0 1 0 0 K 0 5 m 90 5 l S", True),
    ],
)
def test_inks_that_overprint_are_said(state: str, content: str, told: bool) -> None:
    reading = read(f"/G gs {content}", f"/ExtGState << /G << {state} >> >>")
    assert ("artwork.overprint" in said(reading, Severity.WARN)) is told

"""Files made to harm: each is answered in time, in words, and nothing outside it is opened.

What may take time or memory is read in a process of its own, as in use; the rest in this one, which
can open files and sockets as freely as a reader could wish.

What such files do is common knowledge of the trade: entities that grow, references that leave the
file, copies of copies, archives that unpack without end (CWE-776, CWE-611, CWE-674, CWE-409).
"""

from __future__ import annotations

import gzip
import io
import threading
import time
import zlib
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import numpy as np
import pikepdf
import pytest

from giornata.core.artwork import Drawing
from giornata.core.foundation import ArtworkError, Finding, Severity
from giornata.files.artwork import Allowance, read_artwork

LIMIT = 20.0  # s, as allowed to the reading; starting and stopping it may take some more
SPARE = 10.0  # s, on a machine that does other things besides
SECRET = "harbour-lamp-9041"
RECT = '<rect width="10" height="10" fill="#102030"/>'
SPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'

Answer = tuple[Drawing | None, tuple[Finding, ...]]


def svg(body: str, root: str = 'width="200" height="100"', before: str = "") -> bytes:
    return f"{before}<svg {SPACES} {root}>{body}</svg>".encode()


def pdf(
    content: bytes,
    *,
    size: tuple[float, float] = (200, 100),
    change: Callable[[pikepdf.Pdf], None] = lambda _: None,
    encryption: pikepdf.Encryption | None = None,
) -> bytes:
    document = pikepdf.new()
    page = document.add_blank_page()
    page.MediaBox = pikepdf.Array([0, 0, *size])
    page.Contents = document.make_stream(content)
    change(document)
    out = io.BytesIO()
    document.save(out, encryption=encryption or False)
    return out.getvalue()


def as_finding(error: ArtworkError) -> Finding:
    assert "Traceback" not in error.message
    assert error.remedy
    return Finding(
        code="foundation.error",
        severity=Severity.STOP,
        subject="the whole file",
        message=error.message,
        remedy=error.remedy,
    )


def answer(path: Path, data: bytes, seconds: float = LIMIT) -> Answer:
    """What is said of a file, an error as one STOP finding without a code; within the time."""
    path.write_bytes(data)
    begun = time.monotonic()
    try:
        drawing, findings = read_artwork(path, allowance=Allowance(seconds=seconds))
    except ArtworkError as error:
        drawing, findings = None, (as_finding(error),)
    assert time.monotonic() - begun < seconds + SPARE
    return drawing, findings


def stops(findings: tuple[Finding, ...]) -> set[str]:
    found = [finding for finding in findings if finding.severity is Severity.STOP]
    assert all(finding.remedy and finding.message for finding in found)
    return {finding.code for finding in found}


def codes(findings: tuple[Finding, ...]) -> set[str]:
    return {finding.code for finding in findings}


def growing_entities() -> bytes:
    # ten characters, each step ten times the one before: 10^10 in the end
    steps = "".join(f'<!ENTITY a{k} "{f"&a{k - 1};" * 10}">' for k in range(1, 10))
    doctype = f'<!DOCTYPE svg [<!ENTITY a0 "0123456789">{steps}]>'
    return svg(f"<title>&a9;</title>{RECT}", before=doctype)


def repeated_entity() -> bytes:
    # one entity of 60,000 characters used 5,000 times: 300 million
    doctype = f'<!DOCTYPE svg [<!ENTITY a "{"x" * 60_000}">]>'
    return svg(f"<title>{'&a;' * 5_000}</title>{RECT}", before=doctype)


def doubling_uses(times: int) -> bytes:
    # each group holds the one before twice: 2^times squares
    groups = "".join(
        f'<g id="u{k}"><use xlink:href="#u{k - 1}"/><use xlink:href="#u{k - 1}"/></g>'
        for k in range(1, times + 1)
    )
    return svg(
        f'<defs><rect id="u0" width="1" height="1"/>{groups}</defs><use xlink:href="#u{times}"/>'
    )


def bomb() -> bytes:
    # 300 MiB of spaces, packed
    packer = zlib.compressobj(9, zlib.DEFLATED, 31)
    begin = packer.compress(b'<svg xmlns="http://www.w3.org/2000/svg">')
    return begin + b"".join(packer.compress(b" " * 2**20) for _ in range(300)) + packer.flush()


JUNK = np.random.default_rng(5).bytes(5_000)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        pytest.param(growing_entities(), "artwork.entity", id="entities ten times ten"),
        pytest.param(repeated_entity(), "artwork.entity", id="one long entity many times"),
        pytest.param(
            svg("<text>&a;</text>", before='<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]>'),
            "artwork.malformed",
            id="entity in itself",
        ),
        pytest.param(
            svg("<g>" * 20_000 + RECT + "</g>" * 20_000), "artwork.too_large", id="20,000 groups"
        ),
        pytest.param(doubling_uses(24), "artwork.malformed", id="2^24 copies"),
        pytest.param(
            svg(f'<g id="a"><use xlink:href="#b"/></g><g id="b"><use xlink:href="#a"/>{RECT}</g>'),
            "artwork.malformed",
            id="copies of one another",
        ),
        pytest.param(
            svg("<rect " + " ".join(f'a{k}="1"' for k in range(20_000)) + "/>"),
            "artwork.too_large",
            id="20,000 attributes",
        ),
        pytest.param(
            svg(
                '<filter id="f"><feTurbulence baseFrequency=".01" numOctaves="100000000"/>'
                '</filter><rect width="90" height="90" filter="url(#f)"/>'
            ),
            "artwork.filter",
            id="noise of 10^8 octaves",
        ),
        pytest.param(
            svg(RECT, 'width="1000000000" height="1000000000"'), "artwork.too_large", id="10^9 wide"
        ),
        pytest.param(svg(RECT, 'width="90000000" height="10"'), "artwork.too_large", id="a strip"),
        pytest.param(
            svg('<path d="M0 0H200" stroke="#000" stroke-dasharray="1e-7"/>'),
            "artwork.dashes",
            id="two thousand million dashes",
        ),
        pytest.param(
            pdf(b"0 0 9 9 re f", size=(1e9, 1e9)), "artwork.too_large", id="PDF of 10^9 points"
        ),
    ],
)
def test_refused_or_flagged(data: bytes, code: str, tmp_path: Path) -> None:
    _, findings = answer(tmp_path / "drawing", data)
    assert code in stops(findings)


@pytest.mark.usefixtures("read_here")
@pytest.mark.parametrize(
    ("data", "code"),
    [
        pytest.param(svg(RECT, 'width="1e308" height="1e308"'), "artwork.malformed", id="10^308"),
        pytest.param(svg(RECT, 'width="0" height="0"'), "artwork.malformed", id="no size"),
        pytest.param(svg(RECT, 'width="-5" height="9"'), "artwork.malformed", id="negative size"),
        pytest.param(svg(RECT * 50)[:300], "artwork.malformed", id="cut short"),
        pytest.param(b"<" + JUNK, "artwork.malformed", id="junk like XML"),
        pytest.param(b"<!DOCTYPE html><html><p>x</html>", "artwork.malformed", id="web page"),
        pytest.param(b"<a/>", "artwork.malformed", id="other XML"),
        pytest.param(
            svg(RECT, before='<?xml version="1.0" encoding="klingon"?>'),
            "artwork.malformed",
            id="unknown encoding",
        ),
        pytest.param(gzip.compress(gzip.compress(svg(RECT))), "artwork.malformed", id="packed 2x"),
        pytest.param(b"%PDF-1.7\n" + JUNK, "artwork.malformed", id="junk like a PDF"),
        pytest.param(pdf(JUNK), "artwork.malformed", id="PDF of junk"),
        pytest.param(
            pdf(b"0 0 9 9 re f", encryption=pikepdf.Encryption(owner="a", user="b")),
            "artwork.malformed",
            id="locked PDF",
        ),
    ],
)
def test_what_cannot_be_read_is_refused(data: bytes, code: str, tmp_path: Path) -> None:
    _, findings = answer(tmp_path / "drawing", data)
    assert code in stops(findings)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        pytest.param(b"", "is empty", id="empty"),
        pytest.param(b" \n" * 100, "is empty", id="blanks"),
        pytest.param(b"\x01" + JUNK, "no kind that is read", id="junk"),
        pytest.param(bomb(), "unpacks to more than", id="bomb"),
        pytest.param(gzip.compress(svg(RECT))[:-9], "cut short", id="packed, cut short"),
        pytest.param(b"\x1f\x8b" + JUNK, "damaged", id="packed junk"),
    ],
)
def test_not_opened_at_all(data: bytes, said: str, tmp_path: Path) -> None:
    drawing, findings = answer(tmp_path / "drawing", data)
    assert drawing is None
    assert said in findings[0].message


def test_a_file_of_a_gibibyte_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.svg"
    with path.open("wb") as file:
        file.write(b"<svg>")
        file.truncate(2**30)
    with pytest.raises(ArtworkError, match=r"1024\.0 MiB large"):
        read_artwork(path)


def test_vector_file_above_its_limit_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.svg"
    with path.open("wb") as file:
        file.write(b"<svg>")
        file.truncate(100 * 2**20)
    with pytest.raises(ArtworkError, match=r"100\.0 MiB large; the limit for vector"):
        read_artwork(path)


def test_folders_and_missing_files_are_named(tmp_path: Path) -> None:
    with pytest.raises(ArtworkError, match="is not a file"):
        read_artwork(tmp_path)
    with pytest.raises(ArtworkError, match="There is no artwork file"):
        read_artwork(tmp_path / "none.svg")


def test_a_path_of_a_million_points_is_answered(tmp_path: Path) -> None:
    # 6.9 MB, each line crossing some hundred thousand others: read or refused, but answered
    points = np.random.default_rng(1).integers(0, 999, (1_000_000, 2)).tolist()
    path = " ".join(f"{x},{y}" for x, y in points)
    drawing, findings = answer(
        tmp_path / "a.svg", svg(f'<path d="M{path}"/>', 'width="999" height="999"'), seconds=3.0
    )
    assert drawing is not None or stops(findings)


def test_a_smooth_ring_of_many_points_is_read(tmp_path: Path) -> None:
    # a regular polygon of n sides on a circle of radius r: n/2 r² sin(2 pi / n)
    count = 30_000
    turn = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)
    xy = 500.0 + 400.0 * np.column_stack((np.cos(turn), np.sin(turn)))
    path = " ".join(f"{x:.3f},{y:.3f}" for x, y in xy.tolist())
    root = 'width="1000" height="1000"'
    drawing, findings = answer(tmp_path / "ring.svg", svg(f'<path d="M{path}z"/>', root))
    assert findings == ()
    assert drawing is not None
    expected = count / 2.0 * 400.0**2 * np.sin(2.0 * np.pi / count)
    assert drawing.shapes[0].area.area == pytest.approx(expected, rel=1e-4)


def test_dashes_on_many_lines_end_in_time(tmp_path: Path) -> None:
    # 400 lines of 40,000 dashes: 16 million, each line within the limit for one
    line = '<path d="M0 9H200" stroke="#000" stroke-dasharray="0.0025"/>'
    _, findings = answer(tmp_path / "dashes.svg", svg(line * 400), seconds=5.0)
    assert stops(findings)


@pytest.fixture
def secret(tmp_path: Path) -> Path:
    """A file beside the drawing that is a drawing itself: whoever loads it shows its colour."""
    path = tmp_path / "secret.svg"
    square = f'<rect id="a" width="9" height="9" fill="#abcdef"><title>{SECRET}</title></rect>'
    path.write_bytes(svg(square))
    return path


@pytest.mark.usefixtures("read_here")
@pytest.mark.parametrize("way", ["file://{}", "{}", "secret.svg"])
@pytest.mark.parametrize(
    ("body", "before", "code"),
    [
        ("<text>&a;</text>", '<!DOCTYPE svg [<!ENTITY a SYSTEM "WAY">]>', "artwork.external"),
        ("<g>&a;</g>", '<!DOCTYPE svg [<!ENTITY a PUBLIC "x" "WAY">]>', "artwork.external"),
        ("", '<!DOCTYPE svg [<!ENTITY % a SYSTEM "WAY"> %a;]>', "artwork.external"),
        ("<text>&a;</text>", '<!DOCTYPE svg SYSTEM "WAY">', "artwork.entity"),
        ('<image width="9" height="9" xlink:href="WAY"/>', "", "artwork.image"),
        ('<image width="9" height="9" href="WAY"/>', "", "artwork.image"),
        ('<use xlink:href="WAY#a"/>', "", "artwork.external"),
        ('<rect width="9" height="9" fill="url(WAY#a)"/>', "", "artwork.external"),
        ("<style>@import url(WAY);</style>", "", "artwork.external"),
        ("", '<?xml-stylesheet href="WAY"?>', "artwork.external"),
        (
            '<filter id="f"><feImage href="WAY"/></filter><g filter="url(#f)">RECT</g>',
            "",
            "artwork.filter",
        ),
    ],
)
def test_nothing_beside_the_file_is_read(
    body: str,
    before: str,
    code: str,
    way: str,
    tmp_path: Path,
    secret: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)  # even where the file beside it would be found by its bare name
    target = way.format(secret)
    data = svg(
        body.replace("WAY", target).replace("RECT", RECT) + RECT,
        before=before.replace("WAY", target),
    )
    drawing, findings = answer(tmp_path / "drawing.svg", data)
    assert code in stops(findings)
    assert SECRET not in repr(findings)
    if drawing is not None:
        assert SECRET not in repr(drawing)
        assert {shape.colour for shape in drawing.shapes} <= {"#102030", "#000000"}


@pytest.mark.usefixtures("read_here")
def test_included_text_is_not_read(tmp_path: Path, secret: Path) -> None:
    # XInclude is no part of SVG; the element is passed over like any foreign one
    body = (
        '<xi:include xmlns:xi="http://www.w3.org/2001/XInclude"'
        f' href="file://{secret}" parse="text"/>{RECT}'
    )
    drawing, findings = answer(tmp_path / "drawing.svg", svg(body))
    assert drawing is not None
    assert [shape.colour for shape in drawing.shapes] == ["#102030"]
    assert SECRET not in repr((drawing, findings))


@pytest.mark.usefixtures("read_here")
def test_no_server_is_asked(tmp_path: Path) -> None:
    asked: list[str] = []

    class Listener(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_error(404)

    server = HTTPServer(("127.0.0.1", 0), Listener)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        place = f"http://127.0.0.1:{server.server_port}"
        body = (
            f'<style>@import url({place}/a.css);</style><image width="9" height="9"'
            f' href="{place}/a.png"/><use href="{place}/a.svg#a"/>{RECT}'
        )
        before = f'<!DOCTYPE svg SYSTEM "{place}/a.dtd">'
        _, findings = answer(tmp_path / "drawing.svg", svg(body, before=before))
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
    assert {"artwork.image", "artwork.external"} <= stops(findings)
    assert asked == []


@pytest.mark.usefixtures("read_here")
def test_a_group_that_holds_itself_is_left_out(tmp_path: Path) -> None:
    # SVG 2, 5.6.1: a reference to an ancestor is in error and not rendered
    body = f'<g id="a"><use xlink:href="#a"/>{RECT}</g>'
    drawing, _ = answer(tmp_path / "drawing.svg", svg(body))
    assert drawing is not None
    assert [shape.area.area for shape in drawing.shapes] == [pytest.approx(100.0, rel=1e-4)]


def form_within_itself(document: pikepdf.Pdf) -> None:
    form = document.make_stream(b"/F Do /F Do")
    form.Type, form.Subtype = pikepdf.Name.XObject, pikepdf.Name.Form
    form.BBox = pikepdf.Array([0, 0, 200, 100])
    form.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=form))
    document.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=form))


def packed_blanks(document: pikepdf.Pdf) -> None:
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(b" " * 2**20) for _ in range(300)) + packer.flush()
    stream = document.make_stream(b"")
    stream.write(packed, filter=pikepdf.Name.FlateDecode)
    document.pages[0].Contents = stream


@pytest.mark.parametrize(
    ("content", "change"),
    [
        pytest.param(b"/F Do", form_within_itself, id="form in itself"),
        pytest.param(b"", packed_blanks, id="300 MB of blanks"),
        pytest.param(
            b"1 0 0 1 1e308 0 cm 9" + b"9" * 60 + b" 0 m 5 5 l 9 0 l f",
            lambda _: None,
            id="numbers without bounds",
        ),
    ],
)
def test_harmful_page(
    content: bytes, change: Callable[[pikepdf.Pdf], None], tmp_path: Path
) -> None:
    _, findings = answer(tmp_path / "page.pdf", pdf(content, change=change))
    assert stops(findings)


@pytest.mark.usefixtures("read_here")
def test_a_page_of_too_many_shapes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # the limit, 300,000 in use, lowered so that the page can be small
    monkeypatch.setattr("giornata.files.artwork.pdf_state._MOST_LEAVES", 3_000)
    few, many = (pdf(b"0 0 1 1 re f " * count) for count in (3_000, 3_001))
    assert stops(answer(tmp_path / "few.pdf", few)[1]) == set()
    assert stops(answer(tmp_path / "many.pdf", many)[1]) == {"artwork.too_large"}


@pytest.mark.usefixtures("read_here")
@pytest.mark.parametrize("share", [0.02, 0.3, 0.6, 0.9])
def test_cut_off_pdf(share: float, tmp_path: Path) -> None:
    whole = pdf(b"1 0 0 rg 0 0 50 50 re f\n" + JUNK.hex().encode() * 2)
    drawing, findings = answer(tmp_path / "page.pdf", whole[: int(len(whole) * share)])
    assert stops(findings)
    assert drawing is None or drawing.shapes == ()


def test_time_allowed_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "drawing.svg"
    path.write_bytes(svg(RECT))
    with pytest.raises(ArtworkError, match=r"took longer than 0\.01 s and was stopped"):
        read_artwork(path, allowance=Allowance(seconds=0.01))


def test_memory_allowed_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "drawing.svg"
    path.write_bytes(svg(RECT))
    with pytest.raises(ArtworkError, match=r"broke down or took more than 0\.1 GiB"):
        read_artwork(path, allowance=Allowance(memory=100 * 2**20))


@pytest.mark.usefixtures("read_here")
@pytest.mark.parametrize(
    ("shape", "code"),
    [
        # single precision, in which drawings are kept, ends at 3.4e38
        ('<path d="M0 0L1e308 1e308L-1e308 0z"/>', "artwork.coordinates"),
        ('<path d="M0 0L1e39 0L5 5z"/>', "artwork.coordinates"),
        ('<path d="M0 0L1.5.5e40 0L5 5z"/>', "artwork.coordinates"),
        (f'<path d="M0 0L{"9" * 60} 0L5 5z"/>', "artwork.coordinates"),
        ('<polygon points="0,0 1e308,0 5,5"/>', "artwork.coordinates"),
        ('<rect width="1e308" height="9"/>', "artwork.coordinates"),
        (f'<g transform="scale(1e200) scale(1e200)">{RECT}</g>', "artwork.coordinates"),
        (f'<g transform="translate(1e39)">{RECT}</g>', "artwork.coordinates"),
        # found by fuzzing: the converter did not come back
        ('<path d="M0 0Q9 9 2e21 20T5 5" stroke="#000"/>', "artwork.coordinates"),
        ('<ellipse cx="5" cy="5" rx="1e38" ry="9"/>', "artwork.coordinates"),
        (
            f'<g transform="scale(99999)"><g transform="scale(99999)">{RECT}</g></g>',
            "artwork.coordinates",
        ),
        # a million canvases away is too far even for what is cut off
        ('<path d="M0 0L3e8 0L5 5z"/>', "artwork.coordinates"),
        (
            '<clipPath id="c"><circle r="3e8"/></clipPath><g clip-path="url(#c)">' + RECT + "</g>",
            "artwork.coordinates",
        ),
    ],
)
def test_numbers_that_lose_a_shape_are_said(shape: str, code: str, tmp_path: Path) -> None:
    _, findings = answer(tmp_path / "drawing.svg", svg(RECT + shape))
    assert code in stops(findings)


@pytest.mark.usefixtures("read_here")
@pytest.mark.parametrize(
    "shape",
    [
        '<path d="M0 0LNaN NaN L5 5z"/>',
        '<polygon points="0,0 9,0 NaN,4 5,5"/>',
        f'<g transform="scale(NaN)">{RECT}</g>',
        f'<g transform="rotate(30, 5)">{RECT}</g>',
    ],
)
def test_numbers_that_are_none_are_said(shape: str, tmp_path: Path) -> None:
    _, findings = answer(tmp_path / "drawing.svg", svg(RECT + shape))
    assert "artwork.number" in codes(findings)
    assert stops(findings) == set()


@pytest.mark.usefixtures("read_here")
@pytest.mark.parametrize(
    "shape",
    [
        f'<path d="M0 0L0.{"1" * 60} 9L5.5.5z"/>',
        '<path d="M0 0L1e1 9e-60L5 5z"/>',
        f'<g transform=" rotate(30) , scale(2 1.5)translate(-1-2)">{RECT}</g>',
        f'<g transform="none">{RECT}</g>',
        f'<path d="M0 0L{"0.5" * 100_000} 9"/>',
    ],
)
def test_long_numbers_that_harm_nothing(shape: str, tmp_path: Path) -> None:
    _, findings = answer(tmp_path / "drawing.svg", svg(RECT + shape))
    assert stops(findings) == set()


# What is not harmful, but has to be said


@pytest.mark.usefixtures("read_here")
def test_ending_that_disagrees_with_the_content(tmp_path: Path) -> None:
    drawing, (finding,) = answer(tmp_path / "drawing.png", svg(RECT))
    assert drawing is not None
    assert finding.code == "artwork.file_ending"
    assert "SVG" in finding.message


@pytest.mark.usefixtures("read_here")
def test_page_without_a_size(tmp_path: Path) -> None:
    # neither size nor view box: the canvas is what is drawn, here 10 by 10 at the corner
    drawing, findings = answer(tmp_path / "drawing.svg", svg(RECT, ""))
    assert codes(findings) == {"artwork.size"}
    assert drawing is not None
    assert (drawing.width, drawing.height) == pytest.approx((10.0, 10.0), rel=1e-3)


@pytest.mark.usefixtures("read_here")
def test_groups_are_told_apart_where_a_rule_counts_parents(tmp_path: Path) -> None:
    # Named groups are told apart by groups put in around or inside them; to this rule either
    # would be a parent too many.
    body = (
        "<style>svg > g > rect {fill: #ff0000}</style>"
        f'<g id="boats"><rect width="9" height="9"/></g>{RECT}'
    )
    drawing, findings = answer(tmp_path / "drawing.svg", svg(body))
    assert drawing is not None
    assert findings == ()
    assert drawing.groups == ("boats",)
    assert drawing.shapes[0].colour == "#ff0000"


@pytest.mark.usefixtures("read_here")
def test_mask_that_fades(tmp_path: Path) -> None:
    body = (
        '<linearGradient id="l"><stop stop-color="#fff"/><stop offset="1"/></linearGradient>'
        '<mask id="m"><rect width="99" height="99" fill="url(#l)"/></mask>'
        '<rect width="50" height="50" mask="url(#m)"/>'
    )
    _, findings = answer(tmp_path / "drawing.svg", svg(body))
    assert "artwork.mask" in stops(findings)


def second_page(document: pikepdf.Pdf) -> None:
    document.add_blank_page()


def note(document: pikepdf.Pdf) -> None:
    stamp = pikepdf.Dictionary(
        Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Square, Rect=[0, 0, 9, 9]
    )
    document.pages[0].Annots = pikepdf.Array([document.make_indirect(stamp)])


@pytest.mark.usefixtures("read_here")
@pytest.mark.parametrize(
    ("content", "change", "code"),
    [
        (b"0 0 9 9 re f", second_page, "artwork.pages"),
        (b"0 0 9 9 re f", note, "artwork.annotation"),
        (b"0 1 1 0 k 0 0 9 9 re f", lambda _: None, "artwork.cmyk"),
    ],
)
def test_page_with_more_than_flat_screen_colours(
    content: bytes, change: Callable[[pikepdf.Pdf], None], code: str, tmp_path: Path
) -> None:
    drawing, findings = answer(tmp_path / "page.pdf", pdf(content, change=change))
    assert codes(findings) == {code}
    assert drawing is not None
    # a square of 9 points
    assert [shape.area.area for shape in drawing.shapes] == [pytest.approx(81.0, rel=1e-4)]

"""What the lettering of a PDF page says, line by line, and where it stands."""

from __future__ import annotations

import codecs
import ctypes
import io
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium

from giornata.files.artwork.display import Matrix, Thing
from giornata.files.artwork.pdf_state import UNSEEN

__all__ = ["lettering_of"]

_BREAKS = "\r\n"
_UTF_16 = codecs.lookup("utf-16-le")
_ONE_PLACE = 0.25  # of a line's height: nearer than this, two equal lines are one drawn twice

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class _Letter:
    character: str
    box: Box | None = None
    names: tuple[str, ...] = ()


def lettering_of(
    document: pikepdf.Pdf, matrix: Matrix, layers: Collection[str], before: int
) -> list[Thing]:
    """Each line of lettering on the first page: what it says and the box about its letters.

    Lettering that is neither filled nor lined (under a scanned page, say) is left out. A line
    drawn twice in one place, filled and then lined, is said once. A file that cannot be read for
    its words has none; that it holds lettering is said all the same.

    Parameters
    ----------
    document : pikepdf.Pdf
        It is read as pikepdf mends it, for pdfium mends less.
    matrix : Matrix
        From the page's user space to the artwork.
    layers : collection of str
        Names of the document's layers, as groups are called.
    before : int
        Index of the shape before which lettering is taken to lie; where it stands among the
        shapes is not told.

    References
    ----------
    ISO 32000-1:2008, 9.3.6, 9.10 and 14.6.
    """
    mended = io.BytesIO()
    document.save(mended)
    try:
        with pypdfium2.PdfDocument(mended.getvalue()) as opened:
            lines = list(_lines(opened[0].get_textpage(), layers))
    except pypdfium2.PdfiumError:
        return []
    things: list[Thing] = []
    for line in lines:
        words = " ".join("".join(letter.character for letter in line).split())
        boxes = [_mapped(matrix, letter.box) for letter in line if letter.box is not None]
        if not words or not boxes:
            continue
        left, top, right, bottom = zip(*boxes, strict=True)
        thing = Thing(
            kind="lettering",
            words=words,
            box=(min(left), min(top), max(right), max(bottom)),
            before=before,
            names=next((letter.names for letter in line if letter.names), ()),
        )
        if not any(_drawn_twice(thing, other) for other in things):
            things.append(thing)
    return things


def _mapped(matrix: Matrix, box: Box) -> Box:
    """The box about a box taken by a matrix."""
    a, b, c, d, e, f = matrix
    x = [a * x + c * y + e for x in box[::2] for y in box[1::2]]
    y = [b * x + d * y + f for x in box[::2] for y in box[1::2]]
    return min(x), min(y), max(x), max(y)


def _drawn_twice(one: Thing, other: Thing) -> bool:
    if one.words != other.words or one.box is None or other.box is None:
        return False
    near = _ONE_PLACE * (one.box[3] - one.box[1])
    return all(abs(a - b) <= near for a, b in zip(one.box, other.box, strict=True))


def _lines(text: pypdfium2.PdfTextPage, layers: Collection[str]) -> Iterator[list[_Letter]]:
    """Lines in the order of the file."""
    line: list[_Letter] = []
    for at in range(text.count_chars()):
        letter = _letter(text, at, layers)
        if letter is not None and letter.character in _BREAKS:
            yield line
            line = []
        elif letter is not None:
            line.append(letter)
    yield line


def _letter(text: pypdfium2.PdfTextPage, at: int, layers: Collection[str]) -> _Letter | None:
    """One character; None where it is not seen."""
    code = pdfium.FPDFText_GetUnicode(text, at)
    character = chr(code) if code else "\N{REPLACEMENT CHARACTER}"
    thing = pdfium.FPDFText_GetTextObject(text, at)
    if not thing:  # a space or a break that pdfium reads from the places of the letters
        return _Letter(character)
    if pdfium.FPDFTextObj_GetTextRenderMode(thing) == UNSEEN:
        return None
    edges = [ctypes.c_double() for _ in range(4)]
    pdfium.FPDFText_GetCharBox(text, at, *map(ctypes.byref, edges))
    left, right, bottom, top = (edge.value for edge in edges)
    return _Letter(character, (left, bottom, right, top), _layers_of(thing, layers))


def _layers_of(thing: Any, layers: Collection[str]) -> tuple[str, ...]:
    """Layers in which a page object is marked to lie, outermost first."""
    names: list[str] = []
    for at in range(pdfium.FPDFPageObj_CountMarks(thing)):
        mark = pdfium.FPDFPageObj_GetMark(thing, at)
        if _told(pdfium.FPDFPageObjMark_GetName, mark) == "OC":
            name = _told(pdfium.FPDFPageObjMark_GetParamStringValue, mark, b"Name")
            names.append(name.replace("/", "-"))
    return tuple(name for name in names if name in layers)


def _told(question: Callable[..., int], *of: Any) -> str:
    """Answer of a call that writes UTF-16 into a buffer whose length it says first. [bytes]"""
    length = ctypes.c_ulong()
    question(*of, None, 0, length)
    buffer = (ctypes.c_ushort * (length.value // 2))()
    question(*of, buffer, length, length)
    return _UTF_16.decode(bytes(buffer), "replace")[0].rstrip("\0")


class _NoFonts(pypdfium2.PdfSysfontBase):  # type: ignore[misc]  # it has no types
    """No font of this machine is looked for: a file's words do not hang on them."""

    def EnumFonts(self, _: Any, mapper: Any) -> None:
        """None to tell of."""

    def MapFont(self, *_: Any) -> None:
        """None for a name; pdfium takes one of its own."""

    def GetFont(self, *_: Any) -> None:
        """None by that name."""


_NoFonts().setup()

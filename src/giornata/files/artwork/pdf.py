"""Reading the first page of a vector PDF."""

from __future__ import annotations

import io
import math
from typing import Any

import pikepdf

from giornata.core.foundation import Finding, Place, Severity
from giornata.files.artwork.display import Layer, Matrix, Picture, Thing, multiplied
from giornata.files.artwork.painting import Canvas, painted
from giornata.files.artwork.pdf_content import Interpreter
from giornata.files.artwork.pdf_layers import OptionalContent
from giornata.files.artwork.pdf_state import State, TooMuchContent
from giornata.files.artwork.reading import (
    Reading,
    canvas_findings,
    page_findings,
    painting_findings,
    stopped,
)
from giornata.files.artwork.said import said_of

__all__ = ["read_pdf"]


def _frame(page: pikepdf.Page) -> tuple[Canvas, Matrix] | None:
    """Canvas and the matrix from user space to it: crop box, rotation and unit applied."""
    media = [float(value) for value in page.mediabox]
    crop = [float(value) for value in page.cropbox]
    x0 = max(min(media[0], media[2]), min(crop[0], crop[2]))
    y0 = max(min(media[1], media[3]), min(crop[1], crop[3]))
    x1 = min(max(media[0], media[2]), max(crop[0], crop[2]))
    y1 = min(max(media[1], media[3]), max(crop[1], crop[3]))
    unit = float(page.get("/UserUnit", 1))
    width, height = (x1 - x0) * unit, (y1 - y0) * unit
    if not (0.0 < width < math.inf and 0.0 < height < math.inf):
        return None
    upright: Matrix = (unit, 0.0, 0.0, -unit, -x0 * unit, y1 * unit)
    turns: dict[int, tuple[float, float, Matrix]] = {
        0: (width, height, (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)),
        90: (height, width, (0.0, 1.0, -1.0, 0.0, height, 0.0)),
        180: (width, height, (-1.0, 0.0, 0.0, -1.0, width, height)),
        270: (height, width, (0.0, -1.0, 1.0, 0.0, 0.0, width)),
    }
    across, down, turn = turns[int(page.get("/Rotate", 0)) % 360 // 90 * 90]
    return Canvas(width=across, height=down), multiplied(upright, turn)


def _document_findings(name: str, document: pikepdf.Pdf, page: Any) -> tuple[Finding, ...]:
    found: list[Finding] = []
    if len(document.pages) > 1:
        found.append(
            Finding(
                code="artwork.pages",
                severity=Severity.WARN,
                subject=f"{len(document.pages)} pages",
                message="Only the first page is read.",
                remedy="Save each page that is to be painted as a file of its own.",
                place=Place(file=name),
            )
        )
    if page.get("/Annots"):
        found.append(
            Finding(
                code="artwork.annotation",
                severity=Severity.WARN,
                subject="notes on the page",
                message="Notes, stamps or form fields lie on the page; they are not read.",
                remedy="Take them off, or flatten them into the page, if they belong to the art.",
                place=Place(file=name),
            )
        )
    return tuple(found)


def read_pdf(data: bytes, name: str) -> Reading:
    """A drawing from the first page of a PDF.

    Artwork units are points (1/72 inch) of the page as shown. Layers become named groups; those
    switched off are read and listed as hidden.

    Parameters
    ----------
    data : bytes
        The file.
    name : str
        File name, for findings.
    """
    remedy = "Export the drawing as SVG, or save the PDF again without a password."
    try:
        document = pikepdf.open(io.BytesIO(data))
    except pikepdf.PasswordError:
        said = stopped(
            name, "artwork.malformed", "the whole file", "It is locked by a password.", remedy
        )
        return Reading(picture=None, findings=(said,))
    except pikepdf.PdfError as error:
        message = f"It cannot be read as a PDF: {str(error)[:200]}."
        said = stopped(name, "artwork.malformed", "the whole file", message, remedy)
        return Reading(picture=None, findings=(said,))
    with document:
        try:
            return _page_read(document, name)
        except TooMuchContent as error:
            said = stopped(
                name,
                "artwork.too_large",
                "the whole file",
                f"The page holds {error}.",
                "Simplify paths and take out repeated copies, then save again.",
            )
        except (
            pikepdf.PdfError,
            ValueError,
            TypeError,
            KeyError,
            ArithmeticError,
            AttributeError,
            IndexError,
        ) as error:
            message = f"Its first page is damaged: {str(error)[:200] or type(error).__name__}."
            said = stopped(name, "artwork.malformed", "the whole file", message, remedy)
    return Reading(picture=None, findings=(said,))


def _page_read(document: pikepdf.Pdf, name: str) -> Reading:
    if not document.pages:
        said = stopped(
            name, "artwork.empty", "the whole file", "It has no page.", "Save the drawing again."
        )
        return Reading(picture=None, findings=(said,))
    page = document.pages[0]
    frame = _frame(page)
    if frame is None:
        said = stopped(
            name, "artwork.too_large", "canvas", "The page has no size.", "Save the drawing again."
        )
        return Reading(picture=None, findings=(said,))
    canvas, matrix = frame
    findings = _document_findings(name, document, page) + canvas_findings(name, canvas)
    if any(finding.severity is Severity.STOP for finding in findings):
        return Reading(picture=None, findings=findings)
    layers = OptionalContent.of(document)
    interpreter = Interpreter(layers, lambda _: None)
    items = interpreter.read(page, page.get("/Resources"), State(matrix=matrix))
    result = painted(Layer(items), canvas)
    shown = {kind: interpreter.notices.kinds.get(kind, {""}) for kind in _kinds(result.things)}
    kinds = interpreter.notices.kinds | shown
    for kind in ("gradient", "pattern", "image"):
        if kind not in shown:
            kinds.pop(kind, None)  # chosen and never used, or outside the page
    if "text" in interpreter.notices.kinds:
        from giornata.files.artwork.pdf_lettering import lettering_of  # its library takes 0.2 s

        on_top = len(result.shapes)
        result.things += lettering_of(document, matrix, set(layers.names.values()), on_top)
    findings += page_findings(name, kinds) + painting_findings(name, result)
    findings = said_of(name, result.things, findings)
    picture = Picture(
        width=canvas.width,
        height=canvas.height,
        shapes=tuple(result.shapes),
        groups=tuple(dict.fromkeys(filter(None, layers.names.values()))),
        hidden=layers.hidden,
        things=tuple(result.things),
    )
    return Reading(picture=picture, findings=findings)


def _kinds(things: list[Thing]) -> set[str]:
    """Kinds of what is not flat, as the page's notices call them."""
    return {"image" if thing.kind == "picture" else thing.kind for thing in things}

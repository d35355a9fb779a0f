"""Reading SVG: scan the source, convert it, read the page, tell its groups apart."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pikepdf

from giornata.core.foundation import Finding, Place, RenderError, Severity
from giornata.files.artwork.comparison import same_painting, without_names
from giornata.files.artwork.display import Layer, Matrix, Picture, Thing
from giornata.files.artwork.painting import Canvas, Painted, painted
from giornata.files.artwork.pdf_content import Interpreter
from giornata.files.artwork.pdf_layers import OptionalContent
from giornata.files.artwork.pdf_state import Notices, State, TooMuchContent
from giornata.files.artwork.reading import (
    Reading,
    canvas_findings,
    page_findings,
    painting_findings,
    stopped,
)
from giornata.files.artwork.said import called, said_of
from giornata.files.artwork.svg_cascade import cascaded
from giornata.files.artwork.svg_gradients import Gradient, gradients_of, known_gradients
from giornata.files.artwork.svg_groups import MOST_GROUPS, NamedGroup, group_number, named_groups
from giornata.files.artwork.svg_reach import Reach, reach_of
from giornata.files.artwork.svg_scan import scanned
from giornata.files.artwork.svg_settling import settle
from giornata.files.artwork.svg_source import Element, read_source
from giornata.files.artwork.svg_things import Mark, marks_of
from giornata.files.artwork.svg_units import no_view, yardstick_of
from giornata.files.artwork.svg_writing import picture_attributes, plain_svg
from giornata.files.artwork.typesetting import PX_PER_PT, page_of
from giornata.files.artwork.veiling import SVG_BRIGHTNESS

__all__ = ["read_svg"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """The display list of a converted source."""

    canvas: Canvas
    list: Layer
    notices: Notices

    @property
    def names(self) -> frozenset[str]:
        """Names of the groups that anything on the page stands in."""
        found: set[str] = set()
        waiting = list(self.list.content)
        while waiting:
            item = waiting.pop()
            found.update(item.names)
            if isinstance(item, Layer):
                waiting.extend(item.content)
        return frozenset(found)


def _canvas_of(page: pikepdf.Page) -> tuple[Canvas, float]:
    """Canvas, and the page's height. [px; pt]

    The converter first clips to the drawing's frame; the page itself is never under 3 points.
    """
    corners: list[tuple[float, float]] = []
    for instruction in pikepdf.parse_content_stream(page, "q m l h W"):
        if str(instruction.operator) == "W":
            break
        if len(instruction.operands) == 2:
            x, y = (float(value) for value in instruction.operands)
            corners.append((x, y))
    width = max(x for x, _ in corners) - min(x for x, _ in corners)
    height = max(y for _, y in corners) - min(y for _, y in corners)
    top = max(y for _, y in corners)
    return Canvas(width=width * PX_PER_PT, height=height * PX_PER_PT), top


@dataclass(frozen=True, slots=True, kw_only=True)
class _Source:
    """What is converted: the source, and what of it is told apart on the page."""

    root: Element
    groups: tuple[NamedGroup, ...] = ()
    marks: tuple[Mark, ...] = ()
    gradients: tuple[Gradient, ...] = ()

    def converted(self, *, wrapped: bool = False, show_hidden: bool = False) -> _Page:
        """The page; its groups are told apart where they are wrapped."""
        svg = plain_svg(
            self.root,
            self.groups,
            wrapped=wrapped,
            show_hidden=show_hidden,
            marks=self.marks,
            gradients=self.gradients,
        )
        names = {mark.number: mark.name for mark in self.marks}
        names |= {number: group.name for number, group in enumerate(self.groups, start=1)}
        with page_of(svg) as document:
            if not document.pages:
                raise RenderError(
                    "The drawing has no size that a page can have.",
                    remedy="Correct the width, height and view box of the drawing.",
                )
            page = document.pages[0]
            canvas, top = _canvas_of(page)
            matrix: Matrix = (PX_PER_PT, 0.0, 0.0, -PX_PER_PT, 0.0, top * PX_PER_PT)

            def mark(opacity: float) -> str | None:
                number = group_number(opacity)
                return None if number is None else names.get(number)

            interpreter = Interpreter(
                OptionalContent(), mark, known=known_gradients(self.gradients)
            )
            items = interpreter.read(page, page.get("/Resources"), State(matrix=matrix))
            return _Page(canvas=canvas, list=Layer(items), notices=interpreter.notices)

    def first(self) -> tuple[_Source, _Page]:
        """The page with no group told apart, and this source or one whose gradients stay plain.

        A colour that stands for a gradient and shows as a flat one means that the converter took
        the gradient for flat, or that the file holds that very colour.
        """
        page = self.converted()
        stand_ins = {end for gradient in self.gradients for end in gradient.ends}
        if not stand_ins & _flat_colours(page.list):
            return self, page
        plain = replace(self, gradients=())
        return plain, plain.converted()


def _flat_colours(layer: Layer) -> set[str]:
    """Colours of all that is painted flat, in masks and cells as well."""
    found: set[str] = set()
    for item in layer.content:
        if item.mask is not None:
            found |= _flat_colours(item.mask.content)
        if isinstance(item, Layer):
            found |= _flat_colours(item)
        elif item.ink.tile is not None:
            found |= _flat_colours(item.ink.tile.content)
        elif item.ink.exact:
            found.add(item.ink.colour)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grouped:
    page: _Page
    hidden: tuple[str, ...] = ()
    told_apart: bool = True


def _told_apart(source: _Source, plain: _Page) -> _Grouped:
    """The page with its groups named, checked against the page as the file gives it.

    Should the opacities change the drawing, nothing is told apart: the page without names must
    paint the same.
    """
    span = plain.canvas.span
    shown = source.converted(wrapped=True, show_hidden=True)
    if same_painting(plain.list, shown.list, span):
        return _Grouped(page=shown)
    as_given = source.converted(wrapped=True)
    if not same_painting(plain.list, as_given.list, span):
        return _Grouped(page=plain, told_apart=False)
    off = shown.names - as_given.names
    if not same_painting(plain.list, without_names(shown.list, off), span):
        return _Grouped(page=as_given)
    return _Grouped(page=shown, hidden=_switches(source.groups, off))


def _switches(groups: tuple[NamedGroup, ...], off: frozenset[str]) -> tuple[str, ...]:
    """Groups that are off by themselves, not only for standing in one that is."""
    inside: set[int] = set()
    for group in groups:
        if group.name in off:
            inside.update(
                id(element) for element in group.element.walk() if element is not group.element
            )
    return tuple(
        group.name
        for group in groups
        if group.name in off and (group.off or id(group.element) not in inside)
    )


def _size_findings(name: str, root: Element) -> tuple[Finding, ...]:
    if "viewBox" in root.attributes:
        return ()
    given = [root.attributes.get(side, "%") for side in ("width", "height")]
    if not any(value.strip().endswith("%") for value in given):
        return ()
    return (
        Finding(
            code="artwork.size",
            severity=Severity.WARN,
            subject="canvas",
            message="The drawing says neither its size nor its view box; the canvas is what is"
            " drawn in it.",
            remedy="Set the page size in the drawing program and save again.",
            place=Place(file=name, line=root.line),
        ),
    )


def read_svg(data: bytes, name: str) -> Reading:
    """A drawing from SVG.

    Artwork units are CSS pixels of the root's viewport (width and height as the root gives them,
    96 to the inch, else the view box); the view box is already applied.

    Parameters
    ----------
    data : bytes
        The file, not compressed.
    name : str
        File name, for findings.
    """
    root, findings = read_source(data, name)
    if root is None:
        return Reading(picture=None, findings=findings)
    hairline = no_view(root)
    if hairline is not None:
        said = stopped(
            name,
            "artwork.malformed",
            hairline.label,
            f"Its view box {hairline.attributes['viewBox']!r:.60} is as good as empty.",
            "Correct the view box, or save again from the drawing program.",
            line=hairline.line,
        )
        return Reading(picture=None, findings=(*findings, said))
    sheets = cascaded(root)
    reach = reach_of(root)
    findings += settle(name, root, reach, yardstick_of(root))
    scan = scanned(name, reach, sheets)
    findings += _size_findings(name, root) + tuple(scan.findings)
    if not scan.readable:  # the converter might not come back
        return Reading(picture=None, findings=findings)
    groups = named_groups(root, reach)
    try:
        source, plain = _source_of(root, reach, groups).first()
        bad = canvas_findings(name, plain.canvas)
        if bad:
            return Reading(picture=None, findings=findings + bad)
        grouped = _Grouped(page=plain)
        if source.groups:
            grouped = _told_apart(source, plain)
    except RenderError as error:
        said = stopped(name, "artwork.malformed", "the whole file", error.message, error.remedy)
        return Reading(picture=None, findings=(*findings, said))
    except (
        pikepdf.PdfError,
        ValueError,
        TypeError,
        KeyError,
        IndexError,
        AttributeError,
    ) as error:
        # Numbers at the ends of what can be held come back from the converter as none.
        message = f"The drawing does not come through its conversion: {str(error)[:200]}."
        remedy = "Look for extreme numbers, correct them in the drawing program and save again."
        said = stopped(name, "artwork.malformed", "the whole file", message, remedy)
        return Reading(picture=None, findings=(*findings, said))
    except TooMuchContent as error:
        said = stopped(
            name,
            "artwork.too_large",
            "the whole file",
            f"The drawing holds {error}.",
            "Simplify paths and take out repeated copies, then save again.",
        )
        return Reading(picture=None, findings=(*findings, said))
    told_apart = grouped.told_apart and len(groups) <= MOST_GROUPS
    if groups and not told_apart:
        findings += (_untold(name, len(groups)),)
    page = grouped.page
    marks = {mark.name: mark.thing for mark in source.marks}
    result = painted(page.list, page.canvas, marks, SVG_BRIGHTNESS)
    called(result.things, marks)
    findings += _page_said(name, result.things, page.notices, scan.suspects, result)
    findings = said_of(name, result.things, findings)
    said_masks = "mask" in scan.suspects
    findings += tuple(
        f for f in painting_findings(name, result) if not (f.code == "artwork.mask" and said_masks)
    )
    picture = Picture(
        width=page.canvas.width,
        height=page.canvas.height,
        shapes=tuple(result.shapes),
        groups=tuple(group.name for group in groups) if told_apart else (),
        hidden=grouped.hidden,
        things=tuple(result.things),
    )
    return Reading(picture=picture, findings=findings)


def _source_of(root: Element, reach: Reach, groups: tuple[NamedGroup, ...]) -> _Source:
    # Of elements of one id links mean the first (DOM, getElementById).
    for element in root.walk():
        if element.identity and reach.identities.get(element.identity, element) is not element:
            del element.attributes["id"]
    groups = groups if len(groups) <= MOST_GROUPS else ()
    attributes = {
        id(element): picture_attributes(element)
        for element in reach.elements
        if element.name == "image"
    }
    marks = marks_of(root, reach, len(groups) + 1, attributes)
    gradients = gradients_of(root, reach.parents)
    return _Source(root=root, groups=groups, marks=marks, gradients=gradients)


def _page_said(
    name: str,
    things: list[Thing],
    notices: Notices,
    suspects: dict[str, list[Finding]],
    result: Painted,
) -> tuple[Finding, ...]:
    """Findings of the page, by element and line where the scan knows them."""
    kinds = dict(notices.kinds)
    found: list[Finding] = []
    if result.masks_not_flat and "mask" in suspects:
        found.extend(suspects["mask"])
    kinds.pop("mask", None)
    for kind in ("gradient", "pattern"):
        kinds.pop(kind, None)
        own = [thing for thing in things if thing.kind == kind]
        subjects = {f'{kind} "{thing.source}"' for thing in own}
        known = [one for one in suspects.get(kind, []) if one.subject in subjects]
        found.extend(known)
        if subjects - {one.subject for one in known}:
            unknown = [one for one in suspects.get(kind, []) if one not in known]
            found.extend(unknown if unknown else page_findings(name, {kind: {""}}))
    return (*found, *page_findings(name, kinds))


def _untold(name: str, count: int) -> Finding:
    return Finding(
        code="artwork.groups",
        severity=Severity.WARN,
        subject=f"{count} named groups",
        message="The named groups cannot be told apart in this file, or there are more than"
        f" {MOST_GROUPS}; all shapes are read, without group names, so no group can be left out"
        " of an option.",
        remedy="Save as plain SVG, and name only the groups that matter.",
        place=Place(file=name),
    )

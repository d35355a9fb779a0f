"""Reading SVG: scan the source, convert it, read the page, tell its groups apart."""

from __future__ import annotations

from dataclasses import dataclass

import pikepdf

from giornata.core.foundation import Finding, Place, RenderError, Severity
from giornata.files.artwork.comparison import same_painting, without_names
from giornata.files.artwork.display import Layer, Matrix, Picture
from giornata.files.artwork.painting import Canvas, painted
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
from giornata.files.artwork.svg_groups import MOST_GROUPS, NamedGroup, group_number, named_groups
from giornata.files.artwork.svg_reach import reach_of, styles_of
from giornata.files.artwork.svg_scan import scanned
from giornata.files.artwork.svg_settling import settle
from giornata.files.artwork.svg_source import Element, read_source
from giornata.files.artwork.svg_units import yardstick_of
from giornata.files.artwork.svg_writing import Wrapping, plain_svg
from giornata.files.artwork.typesetting import PX_PER_PT, page_of

__all__ = ["read_svg"]

_CONFIRMED = ("gradient", "pattern", "mask")


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


def _converted(
    root: Element,
    groups: tuple[NamedGroup, ...] = (),
    wrapping: Wrapping = Wrapping.NONE,
    show_hidden: bool = False,
) -> _Page:
    with page_of(plain_svg(root, groups, wrapping, show_hidden=show_hidden)) as document:
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
            return groups[number - 1].name if number and number <= len(groups) else None

        interpreter = Interpreter(OptionalContent(), mark)
        items = interpreter.read(page, page.get("/Resources"), State(matrix=matrix))
        return _Page(canvas=canvas, list=Layer(items), notices=interpreter.notices)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grouped:
    page: _Page
    hidden: tuple[str, ...] = ()
    told_apart: bool = True


def _told_apart(root: Element, groups: tuple[NamedGroup, ...], plain: _Page) -> _Grouped:
    """The page with its groups named, checked against the page as the file gives it.

    The opacities could change the drawing where a style sheet counts parents and children, so
    the page without names must paint the same. Wrapping inside the group fails only where a
    rule reaches from the group to its child, wrapping around it only where one reaches from its
    parent to the group.
    """
    span = plain.canvas.span
    for wrapping in (Wrapping.INSIDE, Wrapping.AROUND):
        shown = _converted(root, groups, wrapping, show_hidden=True)
        if same_painting(plain.list, shown.list, span):
            return _Grouped(page=shown)
        as_given = _converted(root, groups, wrapping)
        if not same_painting(plain.list, as_given.list, span):
            continue
        off = shown.names - as_given.names
        if not same_painting(plain.list, without_names(shown.list, off), span):
            return _Grouped(page=as_given)
        return _Grouped(page=shown, hidden=_switches(groups, off))
    return _Grouped(page=plain, told_apart=False)


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
    styles = styles_of(root)
    reach = reach_of(root, styles)
    by_rule = any(p in ("font", "font-size") for r in styles.rules for p, _ in r.declarations)
    yardstick = yardstick_of(root, type_by_rule=by_rule)
    findings += settle(name, root, reach, yardstick, styled=bool(styles.rules))
    scan = scanned(name, reach, styles)
    findings += _size_findings(name, root) + tuple(scan.findings)
    groups = named_groups(root, reach)
    try:
        plain = _converted(root)
        bad = canvas_findings(name, plain.canvas)
        if bad:
            return Reading(picture=None, findings=findings + bad)
        grouped = _Grouped(page=plain)
        if 0 < len(groups) <= MOST_GROUPS:
            grouped = _told_apart(root, groups, plain)
    except RenderError as error:
        said = stopped(name, "artwork.malformed", "the whole file", error.message, error.remedy)
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
    result = painted(page.list, page.canvas)
    findings += _page_said(name, page.notices, scan.suspects, result.masks_not_flat > 0)
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
    )
    return Reading(picture=picture, findings=findings)


def _page_said(
    name: str, notices: Notices, suspects: dict[str, list[Finding]], masks: bool
) -> tuple[Finding, ...]:
    """Findings of the page, by element and line where the scan knows them."""
    kinds = dict(notices.kinds)
    found: list[Finding] = []
    for kind in _CONFIRMED:
        borne_out = masks if kind == "mask" else kind in kinds
        if borne_out and kind in suspects:
            found.extend(suspects[kind])
            kinds.pop(kind, None)
    return (*found, *page_findings(name, kinds))


def _untold(name: str, count: int) -> Finding:
    return Finding(
        code="artwork.groups",
        severity=Severity.WARN,
        subject=f"{count} named groups",
        message="The named groups cannot be told apart in this file (its style sheet counts parents"
        f" and children, or there are more than {MOST_GROUPS}); all shapes are read, without"
        " group names, so no group can be left out of an option.",
        remedy="Save as plain SVG with presentation attributes in place of a style sheet, and"
        " name only the groups that matter.",
        place=Place(file=name),
    )

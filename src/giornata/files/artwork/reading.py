"""The result of reading one file, and findings common to both vector formats."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Finding, Place, Severity, number_of
from giornata.files.artwork.display import Picture
from giornata.files.artwork.painting import Canvas, Painted

__all__ = ["Reading", "canvas_findings", "page_findings", "painting_findings", "stopped"]

LARGEST_SIDE = 1.0e8  # artwork units; 100 million
LONGEST_SHAPE = 10_000.0  # larger side over smaller


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A picture, or None, and what is to be said about it."""

    picture: Picture | None
    findings: tuple[Finding, ...] = ()


def stopped(
    name: str, code: str, subject: str, message: str, remedy: str, line: int = 0
) -> Finding:
    """A finding of the artwork that holds the job up."""
    return Finding(
        code=code,
        severity=Severity.STOP,
        subject=subject,
        message=message,
        remedy=remedy,
        place=Place(file=name, line=line),
    )


def canvas_findings(name: str, canvas: Canvas) -> tuple[Finding, ...]:
    """What is wrong with the canvas; nothing is read where there is anything."""
    low, high = sorted((canvas.width, canvas.height))
    if high > LARGEST_SIDE:
        return (
            stopped(
                name,
                "artwork.too_large",
                "canvas",
                f"The canvas is {canvas.width:g} by {canvas.height:g} units; the limit is"
                f" {LARGEST_SIDE:g} a side.",
                "Correct the width and height of the drawing.",
            ),
        )
    if high > LONGEST_SHAPE * low:
        return (
            stopped(
                name,
                "artwork.too_large",
                "canvas",
                f"The canvas is {canvas.width:g} by {canvas.height:g} units, {high / low:.0f} times"
                f" as long as it is wide; the limit is {LONGEST_SHAPE:.0f}.",
                "Correct the width and height of the drawing.",
            ),
        )
    return ()


_PAGE = {
    "gradient": (
        "artwork.gradient",
        "gradients",
        "A gradient is not a flat colour; its mean colour stands in for it.",
        "Fill with one flat colour, or draw the steps as shapes of their own.",
    ),
    "pattern": (
        "artwork.pattern",
        "patterns",
        "A pattern is not a flat colour; a mean colour stands in for it.",
        "Draw the pattern out as shapes (expand it) or fill with one flat colour.",
    ),
    "image": (
        "artwork.image",
        "pictures",
        "A picture of pixels stands in the drawing; it is not read.",
        "Trace it to flat shapes, or read the picture as an artwork of its own.",
    ),
    "text": (
        "artwork.text",
        "lettering",
        "Lettering is stored as text; it is not read.",
        "Convert text to outlines in the drawing program and save again.",
    ),
    "knockout": (
        "artwork.knockout",
        "translucent line and filling",
        "Something knocks out what it overlaps; that is not read: translucent paint may be wrong.",
        "Flatten transparency in the drawing program and save again.",
    ),
    "colour": (
        "artwork.colour",
        "spot colours",
        "A spot colour is mixed by a rule that is not read; grey stands in for it.",
        "Save with spot colours turned into RGB.",
    ),
}


def page_findings(name: str, kinds: dict[str, set[str]]) -> tuple[Finding, ...]:
    """What the page says of things that are not flat shapes."""
    found: list[Finding] = []
    for kind, (code, subject, message, remedy) in _PAGE.items():
        if kind in kinds:
            detail = ", ".join(sorted(filter(None, kinds[kind])))
            found.append(stopped(name, code, f"{subject} {detail}".strip()[:80], message, remedy))
    if "blend" in kinds:
        modes = ", ".join(sorted(kinds["blend"]))
        found.append(
            stopped(
                name,
                "artwork.blend",
                f"blend modes {modes}",
                "Shapes blend with what lies below other than by covering it; they are read as"
                " covering.",
                "Set the blend mode to normal, or flatten transparency, and save again.",
            )
        )
    if "hairline" in kinds:
        found.append(
            Finding(
                code="artwork.hairline",
                severity=Severity.WARN,
                subject="lines of no width",
                message="Lines have no width: printers and screens draw them as thin as they can."
                " They cover nothing and are not read.",
                remedy="Give the lines the width that is to be painted, or take them out.",
                place=Place(file=name),
            )
        )
    if "overprint" in kinds:
        found.append(
            Finding(
                code="artwork.overprint",
                severity=Severity.WARN,
                subject="inks that overprint",
                message="Shapes in printing inks are set to print over what lies below and mix"
                " with it; they are read as covering it, as screens show them.",
                remedy="Look at where such shapes overlap; turn overprinting off, or flatten it, if"
                " the mixed colour is meant.",
                place=Place(file=name),
            )
        )
    if "cmyk" in kinds:
        found.append(
            Finding(
                code="artwork.cmyk",
                severity=Severity.WARN,
                subject="printing colours",
                message="Colours are given as CMYK, made for a press; they are turned into screen"
                " colours by the plain formula, without a profile.",
                remedy="Match each colour to a paint by eye or by its colour number, not by this"
                " value; or save as RGB.",
                place=Place(file=name),
            )
        )
    return tuple(found)


def painting_findings(name: str, painted: Painted) -> tuple[Finding, ...]:
    """What could not be had exactly while shapes were worked out."""
    found: list[Finding] = []
    if painted.masks_not_flat:
        found.append(
            stopped(
                name,
                "artwork.mask",
                f"{painted.masks_not_flat} masks",
                "The mask fades or holds something that is not flat; it is left out, and what it"
                " covers is read whole.",
                "Use a clip with a hard edge instead.",
            )
        )
    if painted.too_many_dashes:
        found.append(
            stopped(
                name,
                "artwork.dashes",
                number_of(painted.too_many_dashes, "line"),
                "A dashed line falls into more than 20,000 dashes, or all lines into 150,000; it is"
                " not read.",
                "Make the dashes longer, or convert the stroke to a path.",
            )
        )
    if painted.out_of_reach:
        found.append(
            stopped(
                name,
                "artwork.coordinates",
                number_of(painted.out_of_reach, "shape"),
                "Their coordinates are not numbers, or lie more than a million canvases"
                " away; they are not read.",
                "Take them out, or correct them in the drawing program.",
            )
        )
    if not painted.shapes and not painted.things:
        found.append(
            stopped(
                name,
                "artwork.empty",
                "the whole file",
                "Nothing that shows is drawn on the canvas.",
                "Check that the right file was saved, that its layers are switched on, and that"
                " the drawing lies on the page.",
            )
        )
    return tuple(found)

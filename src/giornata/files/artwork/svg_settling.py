"""What the converter would read amiss in a source, written otherwise in its tree."""

from __future__ import annotations

import re

from giornata.core.foundation import Finding, Place, Severity
from giornata.files.artwork.svg_clip_shapes import clip_given, clip_shape
from giornata.files.artwork.svg_reach import Reach
from giornata.files.artwork.svg_source import SVG, Element
from giornata.files.artwork.svg_style import declarations
from giornata.files.artwork.svg_units import LENGTHS, ODD_UNIT, Yardstick
from giornata.files.artwork.svg_values import Said, is_transform_list, passed_over

__all__ = ["settle"]

_LENGTHS = LENGTHS | {"stroke-dasharray", "font-size"}
_POINTS = re.compile(r"[\s0-9eE,.+-]*")


def _told(name: str, value: str, yardstick: Yardstick) -> tuple[str, Said | None]:
    """A length in units that the converter reads, and what is said of it."""
    if name not in _LENGTHS:
        return value, None
    units = {found[2].lower() for found in ODD_UNIT.finditer(value)}
    told = yardstick.told(value) if units else value
    if told == value or not units - {"q", "rem"}:
        return told, None
    return told, Said(
        "artwork.unit",
        f"{name} is {value.strip()[:40]!r}, which hangs on a screen or font; it is taken for"
        f" {told.strip()[:40]}, as in a page of the drawing's own size without the font.",
        "Give the length in px or mm, or without a unit.",
        Severity.WARN,
    )


def _settled(name: str, value: str, yardstick: Yardstick) -> tuple[str | None, Said | None]:
    """An attribute as the converter reads it (None: as not given), and what is said of it."""
    if name == "transform" and not is_transform_list(value):
        return None, passed_over(value)
    found = _POINTS.match(value) if name == "points" else None
    if found is not None and found[0] != value:
        return found[0], Said(
            "artwork.number",
            "Its points hold something that is not a number; the shape ends there. Some programs"
            " leave out the whole shape.",
            "Open the artwork in the drawing program, mend this shape and save again.",
            Severity.WARN,
        )
    return _told(name, value, yardstick)


class _Settler:
    def __init__(self, name: str, yardstick: Yardstick) -> None:
        self.name = name
        self.yardstick = yardstick
        self.findings: list[Finding] = []

    def say(self, element: Element, said: Said | None) -> None:
        if said is None:
            return
        self.findings.append(
            Finding(
                code=said.code,
                severity=said.severity,
                subject=element.label,
                message=said.message,
                remedy=said.remedy,
                place=Place(file=self.name, line=element.line),
            )
        )

    def values(self, element: Element) -> None:
        for name, value in list(element.attributes.items()):
            if name == "style":
                self.style(element, value)
                continue
            settled, said = _settled(name, value, self.yardstick)
            self.say(element, said)
            if settled is None:
                del element.attributes[name]
            else:
                element.attributes[name] = settled

    def style(self, element: Element, text: str) -> None:
        if not ODD_UNIT.search(text):
            return
        pairs: list[str] = []
        for name, value in declarations(text):
            told, said = _told(name, value, self.yardstick)
            self.say(element, said)
            pairs.append(f"{name}:{told}")
        element.attributes["style"] = ";".join(pairs)


def _clip_by(element: Element, identity: str) -> None:
    style = element.attributes.get("style", "")
    pairs = [(n, v) for n, v in declarations(style) if n != "clip-path"]
    if style:
        element.attributes["style"] = ";".join(f"{n}:{v}" for n, v in pairs)
    element.attributes["clip-path"] = f"url(#{identity})"


def settle(name: str, root: Element, reach: Reach, yardstick: Yardstick) -> tuple[Finding, ...]:
    """Write lengths, transforms, points and clips of a source so that the converter reads them.

    Parameters
    ----------
    name : str
        File name, for findings.
    root : Element
        The source; its attributes are changed in place.
    reach : Reach
        Its elements that can show.
    yardstick : Yardstick
        What relative units go by.

    Returns
    -------
    tuple of Finding
        What was taken in a way that the painter should know of.
    """
    settler = _Settler(name, yardstick)
    clips: list[Element | str] = []
    for element in reach.elements:
        if element.space != SVG:
            continue
        settler.values(element)
        if "(" not in clip_given(element):
            continue
        shape = clip_shape(element, reach, yardstick)
        if shape is None:
            continue
        identity = f"clip-by-shape-{len(clips) + 1}"
        clips.append(
            Element(
                space=SVG,
                name="clipPath",
                attributes={"id": identity},
                line=element.line,
                content=[shape],
            )
        )
        _clip_by(element, identity)
    if clips:
        root.content.append(
            Element(space=SVG, name="defs", attributes={}, line=root.line, content=clips)
        )
    return tuple(settler.findings)

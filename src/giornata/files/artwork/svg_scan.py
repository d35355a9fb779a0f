"""What in an SVG source is not flat artwork, by element and line, before it is converted."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from giornata.core.foundation import Finding, Place, Severity
from giornata.files.artwork.svg_cascade import Sheets
from giornata.files.artwork.svg_reach import Link, Reach
from giornata.files.artwork.svg_source import SVG, Element
from giornata.files.artwork.svg_style import declarations
from giornata.files.artwork.svg_units import LENGTHS
from giornata.files.artwork.svg_values import (
    CHECKS,
    FARTHEST,
    PAINTING,
    PLAIN_STYLE,
    TEXTS,
    growth,
    not_a_length,
    said_of_root,
)

__all__ = ["Scan", "scanned"]

_MOST_ALIKE = 12  # findings of one code that are listed one by one

_ANIMATIONS = frozenset({"animate", "animateColor", "animateMotion", "animateTransform", "set"})
_FOREIGN = frozenset({"audio", "canvas", "embed", "foreignObject", "iframe", "object", "video"})
_GRADIENTS = frozenset({"linearGradient", "radialGradient"})

_NO_LINES = frozenset({"circle", "ellipse", "rect"})
_MARKED = frozenset({"line", "path", "polygon", "polyline"})

_PATH_DATA = re.compile(r"[\sMmZzLlHhVvCcSsQqTtAaEe0-9,.+-]*")


@dataclass(slots=True)
class Scan:
    """Findings of a source, and suspects that only count if the converted page bears them out.

    ``suspects`` maps a kind ("gradient", "pattern", "mask", "blend") to findings.
    """

    findings: list[Finding] = field(default_factory=list)
    suspects: dict[str, list[Finding]] = field(default_factory=dict)

    @property
    def readable(self) -> bool:
        """Whether the source may be converted."""
        return all(finding.code != "artwork.coordinates" for finding in self.findings)


class _Scanner:
    def __init__(self, name: str, reach: Reach, sheets: Sheets) -> None:
        self.name = name
        self.reach = reach
        self.sheets = sheets
        self.scan = Scan()
        self.grown: dict[int, float] = {}

    def finding(
        self,
        code: str,
        subject: str,
        line: int,
        message: str,
        remedy: str,
        severity: Severity = Severity.STOP,
    ) -> Finding:
        return Finding(
            code=code,
            severity=severity,
            subject=subject,
            message=message,
            remedy=remedy,
            place=Place(file=self.name, line=line),
        )

    def add(
        self,
        code: str,
        subject: str,
        line: int,
        message: str,
        remedy: str,
        severity: Severity = Severity.STOP,
    ) -> None:
        self.scan.findings.append(self.finding(code, subject, line, message, remedy, severity))

    # Elements

    def element(self, element: Element) -> None:
        if element.space != SVG:
            return
        name = element.name
        if name == "image" and element.href:
            self.add(
                "artwork.image",
                element.label,
                element.line,
                "A picture of pixels stands in the drawing; it is not read.",
                "Trace it to flat shapes, or read the picture as an artwork of its own.",
            )
        elif name in TEXTS and any(part.text.strip() for part in element.walk()):
            self.add(
                "artwork.text",
                element.label,
                element.line,
                "Lettering is stored as text; how it looks hangs on the fonts of the machine,"
                " so it is not read.",
                "Convert text to outlines in the drawing program and save again.",
            )
        elif name in _FOREIGN:
            parent = self.reach.parents.get(id(element))
            if parent is None or parent.name != "switch":
                self.add(
                    "artwork.foreign",
                    element.label,
                    element.line,
                    "Holds something that is not SVG; it is not read.",
                    "Take it out, or redraw it as shapes.",
                )
        elif name == "script":
            self.add(
                "artwork.script",
                element.label,
                element.line,
                "A script stands in the file; it is never run, so what it would draw is missing.",
                "Save the drawing again without scripts.",
                Severity.WARN,
            )
        elif name in _ANIMATIONS:
            self.add(
                "artwork.animation",
                element.label,
                element.line,
                "The drawing moves; the picture before the first movement is read.",
                "Save the moment that is to be painted as a still drawing.",
                Severity.WARN,
            )
        for attribute, value in element.attributes.items():
            if attribute == "style":
                for property_, text in declarations(value):
                    self.value(element, property_, text, element.line, True)
            elif not attribute.startswith("{"):
                self.value(element, attribute, value, element.line, False)
        if "transform" in element.attributes and self.growth(element) >= FARTHEST:
            self.add(
                "artwork.coordinates",
                element.label,
                element.line,
                "Its transforms, with those around it, stretch it beyond any drawing; the drawing"
                " is not read.",
                "Correct them in the drawing program.",
            )
        if name == "path" and not _PATH_DATA.fullmatch(element.attributes.get("d", "")):
            self.add(
                "artwork.number",
                element.label,
                element.line,
                "Its path data holds something that is not a number or a path letter; the path"
                " ends there, as in browsers.",
                "Open the artwork in the drawing program, mend this path and save again.",
                Severity.WARN,
            )

    def growth(self, element: Element) -> float:
        """Largest factor by which transforms stretch an element, those around it included."""
        waiting = []
        at: Element | None = element
        while at is not None and id(at) not in self.grown:
            waiting.append(at)
            at = self.reach.parents.get(id(at))
        times = 1.0 if at is None else self.grown[id(at)]
        for one in reversed(waiting):
            times = min(times * growth(one.attributes.get("transform", "")), 1e300)
            self.grown[id(one)] = times
        return times

    # Values, in attributes, style attributes and rules

    def value(self, element: Element, property_: str, text: str, line: int, css: bool) -> None:
        subject = element.label
        checked = [check(element, property_, text, css) for check in CHECKS]
        if element is self.reach.elements[0]:
            checked.append(said_of_root(property_, text))
        for said in checked:
            if said is not None:
                self.add(said.code, subject, line, said.message, said.remedy, said.severity)
        if not css and not_a_length(element, property_, text):
            self.add(
                "artwork.number",
                subject,
                line,
                f"{property_}={text[:40]!r} is not a length; it is taken as not given.",
                "Correct the value, or save again from the drawing program.",
                Severity.WARN,
            )

    # Style sheets

    def style_sheets(self) -> None:
        for other in self.sheets.others:
            if other.name == "@import":
                self.add(
                    "artwork.external",
                    "style sheet",
                    other.line,
                    "A style sheet outside the file is asked for; it is never loaded.",
                    "Put the styles into the file: save it as plain SVG.",
                )
            elif other.name not in ("@charset", "@font-face", "@namespace", "@page", "@keyframes"):
                self.add(
                    "artwork.style",
                    f"style rule {other.text[:40]}",
                    other.line,
                    f"Rules under {other.name} are not read.",
                    PLAIN_STYLE,
                )
        for rule in self.sheets.unread:
            if any(name in PAINTING for name, _ in rule.declarations):
                self.add(
                    "artwork.style",
                    f"style rule {', '.join(rule.selectors)[:40]}",
                    rule.line,
                    "The rule's selector is of a kind that is not read, so the rule is left out.",
                    PLAIN_STYLE,
                )
        for element, names in self.sheets.apart:
            if told := sorted(names & (PAINTING | LENGTHS)):
                self.add(
                    "artwork.style",
                    element.label,
                    element.line,
                    "Rules that look at what is around it style it, and not its copies by use; "
                    f"copies are read in the same style ({', '.join(told)}).",
                    "Style it by a class of its own, or unlink the copies in the drawing program.",
                )

    # Links

    def links(self) -> None:
        painted: dict[str, list[Link]] = {}
        masked: dict[str, list[Link]] = {}
        for link in self.reach.links:
            subject = link.user.label
            if not link.target.startswith("#"):
                self._outside(link, subject)
                continue
            target = self.reach.identities.get(link.target[1:])
            if target is None:
                if link.property == "href" and link.user.name == "use":
                    self.add(
                        "artwork.reference",
                        subject,
                        link.line,
                        f"Points at {link.target!r}, which is not in the file; nothing is drawn.",
                        "Save again from the drawing program, or take the element out.",
                        Severity.WARN,
                    )
                continue
            if link.property.startswith("marker"):
                self._marker(link, link.user)
            if link.property in ("fill", "stroke"):
                painted.setdefault(link.target[1:], []).append(link)
            elif link.property == "mask":
                masked.setdefault(link.target[1:], []).append(link)
        for identity, users in painted.items():
            self._paint_server(identity, users)
        for identity, users in masked.items():
            self._suspect(
                "artwork.mask",
                f'mask "{identity}"',
                users,
                "The mask fades or holds something that is not flat; it is left out",
                "Use a clip with a hard edge instead.",
            )

    def _outside(self, link: Link, subject: str) -> None:
        if link.user.name in _FOREIGN | {"feImage", "image", "script"} or link.user.space != SVG:
            return
        if not link.target:
            return
        self.add(
            "artwork.external",
            subject,
            link.line,
            f"{link.property} points outside the file ({link.target[:60]!r}); it is never loaded.",
            "Bring what it points at into the file and save again.",
        )

    def _marker(self, link: Link, user: Element) -> None:
        shapes = [e for e in user.walk() if e.name in _NO_LINES]
        if shapes and user.name not in _MARKED:
            self.add(
                "artwork.marker",
                shapes[0].label,
                link.line,
                "Markers stand on a rectangle, circle or ellipse. They are read, as SVG 2 says;"
                " browsers leave them out.",
                "Look at the shape; convert it to a path to keep the markers, or take them off.",
                Severity.WARN,
            )

    def _paint_server(self, identity: str, users: list[Link]) -> None:
        target = self.reach.identities[identity]
        if target.name in _GRADIENTS:
            self._suspect(
                "artwork.gradient",
                f'gradient "{identity}"',
                users,
                "A gradient is not a flat colour; its mean colour stands in for it",
                "Fill with one flat colour, or draw the steps as shapes of their own.",
            )
        elif target.name == "pattern":
            self._suspect(
                "artwork.pattern",
                f'pattern "{identity}"',
                users,
                "A pattern is not a flat colour; a mean colour stands in for it",
                "Draw the pattern out as shapes (expand it) or fill with one flat colour.",
            )
        else:
            self.add(
                "artwork.gradient",
                f'{target.name} "{identity}"',
                users[0].line,
                f"Paint of the kind <{target.name}> is not read{_used(users)}.",
                "Fill with one flat colour.",
            )

    def _suspect(
        self, code: str, subject: str, users: list[Link], message: str, remedy: str
    ) -> None:
        self.scan.suspects.setdefault(code.removeprefix("artwork."), []).append(
            self.finding(code, subject, users[0].line, f"{message}{_used(users)}.", remedy)
        )


def _used(users: list[Link]) -> str:
    where = users[0].user.label
    more = f" and {len(users) - 1} more" if len(users) > 1 else ""
    return f" (used by {where}{more})"


def _gathered(findings: list[Finding]) -> Iterator[Finding]:
    """Findings, those of one code beyond the first dozen as one."""
    by_code: dict[str, list[Finding]] = {}
    for finding in findings:
        by_code.setdefault(finding.code, []).append(finding)
    for alike in by_code.values():
        yield from alike[:_MOST_ALIKE]
        rest = alike[_MOST_ALIKE:]
        if rest:
            lines = ", ".join(str(f.place.line) for f in rest[:6] if f.place)
            yield Finding(
                code=alike[0].code,
                severity=alike[0].severity,
                subject=f"{len(rest)} more of the kind",
                message=f"{rest[0].message} Lines {lines}{' and more' if len(rest) > 6 else ''}.",
                remedy=rest[0].remedy,
                place=rest[0].place,
            )


def scanned(name: str, reach: Reach, sheets: Sheets) -> Scan:
    """Findings of a source.

    Parameters
    ----------
    name : str
        File name.
    reach : Reach
        Elements that can show; no other is looked at.
    sheets : Sheets
        What of its style sheets is not worked into the elements.
    """
    scanner = _Scanner(name, reach, sheets)
    for element in reach.elements:
        scanner.element(element)
    scanner.style_sheets()
    scanner.links()
    scanner.scan.findings = list(_gathered(scanner.scan.findings))
    return scanner.scan

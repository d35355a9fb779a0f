"""SVG text to a bare tree of elements with line numbers, within limits.

The parser is expat. No external subset, parameter entity or external entity is ever loaded:
expat loads none unless it is handed a loader, and it is handed none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.parsers import expat

from giornata.core.foundation import Finding, Place, Severity

__all__ = ["INKSCAPE", "SVG", "XLINK", "Element", "Limits", "read_source"]

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
_XML = "http://www.w3.org/XML/1998/namespace"

_ENTITY = re.compile(r"&([^\s;&#]+);")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How much a source may hold before it is refused.

    Parameters
    ----------
    elements : int
        Elements of any kind. [-]
    depth : int
        Elements inside one another. [-]
    attributes : int
        Attributes of one element. [-]
    entity_characters : int
        Characters one entity may stand for, once those inside it are written out. [-]
    growth : float
        Characters read over bytes in the file; above it entities are at work. [-]
    """

    elements: int = 400_000
    depth: int = 150
    attributes: int = 1_000
    entity_characters: int = 65_536
    growth: float = 4.0


@dataclass(slots=True, kw_only=True)
class Element:
    """One element of the source.

    Parameters
    ----------
    space, name : str
        Namespace and local name. An element without a namespace is taken for SVG when it stands
        in a file whose root has none either.
    attributes : dict
        SVG attributes by their bare name, foreign ones as ``{namespace}name``.
    line : int
        Line of its start tag, counted from 1. [-]
    content : list
        Elements and pieces of text, in order.
    """

    space: str
    name: str
    attributes: dict[str, str]
    line: int
    content: list[Element | str] = field(default_factory=list)

    @property
    def children(self) -> list[Element]:
        """Elements directly inside, in order."""
        return [item for item in self.content if isinstance(item, Element)]

    @property
    def text(self) -> str:
        """Text directly inside."""
        return "".join(item for item in self.content if isinstance(item, str))

    @property
    def label(self) -> str:
        """How a finding names it."""
        return f'<{self.name}> "{self.identity}"' if self.identity else f"<{self.name}>"

    @property
    def identity(self) -> str:
        """The ``id``, or ""."""
        return self.attributes.get("id", "")

    @property
    def href(self) -> str:
        """What a link points at, or ""."""
        return self.attributes.get("href", self.attributes.get(f"{{{XLINK}}}href", ""))

    def walk(self) -> Iterator[Element]:
        """The element and all inside it, in document order."""
        stack = [self]
        while stack:
            element = stack.pop()
            yield element
            stack.extend(reversed(element.children))


class _Refusal(Exception):
    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


class _Builder:
    """Expat's handlers: builds the tree and keeps the limits."""

    def __init__(self, name: str, size: int, limits: Limits) -> None:
        self.name = name
        self.limits = limits
        self.most_characters = int(size * limits.growth) + limits.entity_characters
        self.characters = 0
        self.elements = 0
        self.entities: dict[str, int] = {}
        self.root: Element | None = None
        self.stack: list[Element] = []
        self.spaces: list[dict[str, str]] = [{"xml": _XML}]
        self.stylesheet_lines: list[int] = []
        self.parser = expat.ParserCreate()
        self.parser.ordered_attributes = True
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._characters
        self.parser.EntityDeclHandler = self._entity
        self.parser.SkippedEntityHandler = self._skipped
        self.parser.ProcessingInstructionHandler = self._instruction

    def refuse(self, subject: str, message: str, remedy: str, code: str) -> _Refusal:
        return _Refusal(
            Finding(
                code=code,
                severity=Severity.STOP,
                subject=subject,
                message=message,
                remedy=remedy,
                place=Place(file=self.name, line=self.parser.CurrentLineNumber),
            )
        )

    def _resolve(self, name: str, scope: dict[str, str], attribute: bool) -> tuple[str, str]:
        prefix, colon, local = name.rpartition(":")
        if not colon:
            return ("" if attribute else scope.get("", "")), name
        return scope.get(prefix, f"unbound:{prefix}"), local

    def _start(self, name: str, pairs: list[str]) -> None:
        self.elements += 1
        if self.elements > self.limits.elements:
            raise self.refuse(
                "the whole file",
                f"More than {self.limits.elements} elements; that is the limit.",
                "Join or simplify paths in the drawing program and save again.",
                "artwork.too_large",
            )
        if len(self.stack) >= self.limits.depth:
            raise self.refuse(
                f"<{name[:40]}>",
                f"Elements stand more than {self.limits.depth} deep inside one another;"
                " that is the limit.",
                "Ungroup the artwork in the drawing program and save again.",
                "artwork.too_large",
            )
        if len(pairs) // 2 > self.limits.attributes:
            raise self.refuse(
                f"<{name[:40]}>",
                f"{len(pairs) // 2} attributes on one element; the limit is"
                f" {self.limits.attributes}.",
                "Save the file again as plain SVG.",
                "artwork.too_large",
            )
        scope = self.spaces[-1]
        named = list(zip(pairs[::2], pairs[1::2], strict=True))
        declared = {
            key[6:] if key != "xmlns" else "": value
            for key, value in named
            if key == "xmlns" or key.startswith("xmlns:")
        }
        if declared:
            scope = {**scope, **declared}
        self.spaces.append(scope)
        attributes: dict[str, str] = {}
        for key, value in named:
            self._count(len(value))
            if key == "xmlns" or key.startswith("xmlns:"):
                continue
            space, local = self._resolve(key, scope, attribute=True)
            attributes[local if space in ("", SVG) else f"{{{space}}}{local}"] = value
        space, local = self._resolve(name, scope, attribute=False)
        if space == "" and (self.root is None or self.root.attributes.get("{}bare")):
            space = SVG
            if self.root is None:
                attributes["{}bare"] = "1"
        element = Element(
            space=space, name=local, attributes=attributes, line=self.parser.CurrentLineNumber
        )
        if self.stack:
            self.stack[-1].content.append(element)
        else:
            self.root = element
        self.stack.append(element)

    def _end(self, name: str) -> None:
        self.stack.pop()
        self.spaces.pop()

    def _characters(self, text: str) -> None:
        self._count(len(text))
        if self.stack:
            self.stack[-1].content.append(text)

    def _count(self, length: int) -> None:
        self.characters += length
        if self.characters > self.most_characters:
            raise self.refuse(
                "entities",
                f"Entities blow the text up to more than {self.most_characters} characters.",
                "Save the file again as plain SVG.",
                "artwork.entity",
            )

    def _entity(
        self,
        name: str,
        is_parameter: int,
        value: str | None,
        base: str | None,
        system: str | None,
        public: str | None,
        notation: str | None,
    ) -> None:
        if value is None or is_parameter:
            raise self.refuse(
                f"entity {name}",
                "The file asks for text from outside itself; that is never loaded.",
                "Save the file again as plain SVG.",
                "artwork.external",
            )
        length = len(value) + sum(self.entities.get(m, 0) for m in _ENTITY.findall(value))
        if length > self.limits.entity_characters:
            raise self.refuse(
                f"entity {name}",
                f"Stands for {length} characters; the limit is {self.limits.entity_characters}.",
                "Save the file again as plain SVG.",
                "artwork.entity",
            )
        self.entities[name] = length

    def _skipped(self, name: str, is_parameter: int) -> None:
        raise self.refuse(
            f"entity {name}",
            "An entity is used that the file does not explain.",
            "Save the file again as plain SVG.",
            "artwork.entity",
        )

    def _instruction(self, target: str, data: str) -> None:
        if target == "xml-stylesheet":
            self.stylesheet_lines.append(self.parser.CurrentLineNumber)


def _malformed(name: str, line: int, message: str) -> Finding:
    return Finding(
        code="artwork.malformed",
        severity=Severity.STOP,
        subject="the whole file",
        message=message,
        remedy="Open the artwork in the drawing program and save it again as plain SVG; if it came"
        " by message or download, fetch it again.",
        place=Place(file=name, line=line),
    )


def read_source(
    data: bytes, name: str, limits: Limits | None = None
) -> tuple[Element | None, tuple[Finding, ...]]:
    """Tree of the SVG source, or None and the reason why there is none.

    Parameters
    ----------
    data : bytes
        The file as it lies on the disk, not compressed.
    name : str
        File name, for findings.
    limits : Limits, optional
        How much it may hold.
    """
    limits = limits or Limits()
    builder = _Builder(name, len(data), limits)
    try:
        builder.parser.Parse(data, True)
    except _Refusal as refusal:
        return None, (refusal.finding,)
    except expat.ExpatError as error:
        what = expat.errors.messages.get(error.code) or expat.ErrorString(error.code)
        message = f"Not well-formed XML: {what} (column {error.offset + 1})."
        return None, (_malformed(name, error.lineno, message),)
    except (LookupError, ValueError) as error:
        return None, (_malformed(name, 1, f"The text cannot be read: {error}."),)
    root = builder.root
    if root is None or root.name != "svg" or root.space != SVG:
        kind = "nothing" if root is None else f"<{root.name[:40]}>"
        return None, (_malformed(name, 1, f"The root is {kind}, not an SVG drawing."),)
    root.attributes.pop("{}bare", None)
    return root, tuple(
        Finding(
            code="artwork.external",
            severity=Severity.STOP,
            subject="style sheet",
            message="A style sheet outside the file is asked for; it is never loaded.",
            remedy="Put the styles into the file: save it as plain SVG.",
            place=Place(file=name, line=line),
        )
        for line in builder.stylesheet_lines
    )

"""A read source written out again as plain SVG for the converter.

Only what draws flat shapes is written: no document type, entities, comments, scripts, text,
images, filters, foreign elements, and nothing that points outside the file. So the converter
never meets what it might load.
"""

from __future__ import annotations

from dataclasses import replace
from xml.sax.saxutils import quoteattr

from giornata.files.artwork.svg_colours import COLOURS, plain_colour
from giornata.files.artwork.svg_dots import widened_dot
from giornata.files.artwork.svg_gradients import Gradient
from giornata.files.artwork.svg_groups import NamedGroup, group_opacity
from giornata.files.artwork.svg_source import SVG, XLINK, Element
from giornata.files.artwork.svg_style import declarations, outside_links
from giornata.files.artwork.svg_things import Mark

__all__ = ["picture_attributes", "plain_svg"]

_KEPT = frozenset(
    "a circle clipPath defs ellipse g line linearGradient marker mask path pattern polygon"
    " polyline radialGradient rect stop svg switch symbol use".split()
)
# Left out, but a group stands in the place so that the others' order and a switch's choice hold.
_EMPTIED = frozenset({"image", "text"})
_DROPPED = frozenset({"filter", "backdrop-filter", "cursor"})
# The initial size, "medium", is 16 px in every browser; the converter would take 12 for 1 em.
_MEDIUM = ' font-size="16px"'
_SHOWN = "display:inline !important;visibility:visible !important"
_GROUP_PROPERTIES = frozenset(
    "clip-path isolation mask mix-blend-mode opacity transform transform-origin".split()
)
_XML = "{http://www.w3.org/XML/1998/namespace}"


def _plain_value(name: str, value: str) -> str | None:
    """A value that may be passed on, or None."""
    if name in _DROPPED or outside_links(value):
        return None
    return plain_colour(value) if name in COLOURS else value


def _plain_style(pairs: tuple[tuple[str, str], ...]) -> str:
    # What of a style's transforms is read is an attribute by now.
    kept = ((name, _plain_value(name, value)) for name, value in pairs if name != "transform")
    return ";".join(f"{name}:{value}" for name, value in kept if value is not None)


def _attributes(element: Element, shown: bool) -> str:
    out: list[str] = []
    style = ""
    for name, value in element.attributes.items():
        if name == "style":
            style = _plain_style(declarations(value))
        elif name == "href" or name == f"{{{XLINK}}}href":
            if value.startswith("#") and element.name != "a" and value == element.href:
                out.append(f" xlink:href={quoteattr(value)}")
        elif name in (f"{_XML}space", f"{_XML}lang"):
            out.append(f" xml:{name.removeprefix(_XML)}={quoteattr(value)}")
        elif not name.startswith(("{", "on", "xmlns")):
            plain = _plain_value(name, value)
            if plain is not None:
                out.append(f" {name}={quoteattr(plain)}")
    if shown:
        style = ";".join(filter(None, (style, _SHOWN)))
    if style:
        out.append(f" style={quoteattr(style)}")
    return "".join(out)


def _parted(element: Element) -> tuple[Element, str]:
    """A nested ``svg`` without what the converter would apply twice, and that as attributes.

    Group properties of a nested ``svg`` are applied once to it and once more to its content by
    the converter, so they go onto a group around it.
    """
    kept = {k: v for k, v in element.attributes.items() if k not in _GROUP_PROPERTIES}
    hoisted = {k: v for k, v in element.attributes.items() if k in _GROUP_PROPERTIES}
    if "style" in kept:
        pairs = declarations(kept["style"])
        kept["style"] = ";".join(f"{k}:{v}" for k, v in pairs if k not in _GROUP_PROPERTIES)
        hoisted["style"] = ";".join(f"{k}:{v}" for k, v in pairs if k in _GROUP_PROPERTIES)
    parted = replace(element, attributes=kept)
    return parted, _attributes(replace(element, attributes=hoisted), shown=False)


def _opened(number: int) -> str:
    """A group whose opacity stands for a number."""
    # Twelve decimals: the step is about 1e-6, single precision holds 6e-8 near 1.
    return f'<g style="opacity:{group_opacity(number):.12f}">'


def picture_attributes(element: Element) -> str:
    """Attributes of a picture's placeholder, painted flat."""
    style = element.attributes.get("style", "")
    flat = "fill:#000000;fill-opacity:1;stroke:none"
    kept = {**element.attributes, "style": f"{style};{flat}" if style else flat}
    kept.pop("id", None)  # it stays on the group around
    return _attributes(replace(element, attributes=kept), shown=False)


class _Writer:
    def __init__(
        self,
        groups: tuple[NamedGroup, ...],
        wrapped: bool,
        show_hidden: bool,
        marks: tuple[Mark, ...],
        gradients: tuple[Gradient, ...],
    ) -> None:
        self.numbers = {id(group.element): k for k, group in enumerate(groups, start=1)}
        self.wrapped = wrapped
        self.show_hidden = show_hidden
        self.marks = {id(mark.element): mark for mark in marks}
        self.gradients = {id(one.element): one for one in gradients}
        self.out: list[str] = []

    def write(self, element: Element, root: bool = False) -> None:
        name = element.name
        if element.space != SVG or name not in _KEPT | _EMPTIED:
            self.out.append("<metadata/>")
            return
        mark = self.marks.get(id(element))
        if name in _EMPTIED:
            stands = "" if mark is None else f"{_opened(mark.number)}{mark.placeholder}</g>"
            self.out.append(f"<g{self._conditions(element)}>{stands}</g>")
            return
        if id(element) in self.gradients:
            self._gradient(element, self.gradients[id(element)])
            return
        if mark is not None and mark.thing.kind == "effect":
            self.out.append(_opened(mark.number))
        number = self.numbers.get(id(element))
        element = widened_dot(element)
        name = element.name
        shown = number is not None and self.show_hidden
        spaces = f' xmlns="{SVG}" xmlns:xlink="{XLINK}"' if root else ""
        if root and "font-size" not in element.attributes:
            spaces += _MEDIUM
        inside = _opened(number) if number is not None and self.wrapped else ""
        around = after = ""
        if mark is not None:
            inside = _opened(mark.number) if mark.thing.kind == "cell" else inside
            after += "</g>" if mark.thing.kind == "effect" else ""
        if name == "svg" and not root:
            element, hoisted = _parted(element)
            around, after = f"<g{hoisted}>", f"</g>{after}"
        self.out.append(f"{around}<{name}{spaces}{_attributes(element, shown)}>{inside}")
        for child in element.children:
            self.write(child)
        self.out.append(f"{'</g>' if inside else ''}</{name}>{after}")

    def _gradient(self, element: Element, gradient: Gradient) -> None:
        """A gradient whose two stops say its number."""
        kept = {k: v for k, v in element.attributes.items() if k != "spreadMethod"}
        written = _attributes(replace(element, attributes=kept), shown=False)
        self.out.append(f'<{element.name}{written} spreadMethod="pad">')
        for place, colour in zip((0, 1), gradient.ends, strict=True):
            said = f"stop-color:{colour} !important;stop-opacity:1 !important"
            self.out.append(f'<stop offset="{place}" style="{said}"/>')
        self.out.append(f"</{element.name}>")

    def _conditions(self, element: Element) -> str:
        kept = ("systemLanguage", "requiredFeatures", "requiredExtensions", "id")
        return "".join(
            f" {name}={quoteattr(element.attributes[name])}"
            for name in kept
            if name in element.attributes
        )


def plain_svg(
    root: Element,
    groups: tuple[NamedGroup, ...] = (),
    *,
    wrapped: bool = False,
    show_hidden: bool = False,
    marks: tuple[Mark, ...] = (),
    gradients: tuple[Gradient, ...] = (),
) -> bytes:
    """The source as plain SVG.

    Parameters
    ----------
    root : Element
        The source.
    groups : tuple of NamedGroup
        Groups to be told apart; the k-th gets the k-th opacity.
    wrapped : bool
        Whether their opacities are set.
    show_hidden : bool
        True to switch on named groups that the file switches off.
    marks : tuple of Mark
        Elements for which a placeholder stands, or that are put into a group of an opacity.
    gradients : tuple of Gradient
        Gradients that are written with stops that say their number.
    """
    writer = _Writer(groups, wrapped, show_hidden, marks, gradients)
    writer.write(root, root=True)
    return "".join(writer.out).encode("utf-8")

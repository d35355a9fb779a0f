"""Named groups of an SVG source, and the opacities by which they are told apart on the page.

The page that the converter makes knows no names. So the content of each named group is put into
a group of its own with an opacity that no file would hold by chance: the k-th has 1 - k / 2^20.
The converter keeps a translucent group as one object, in its place in the painting order, also
inside ``use``; the interpreter reads k back from the opacity and takes the opacity for 1.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from giornata.files.artwork.svg_reach import Reach
from giornata.files.artwork.svg_source import INKSCAPE, SVG, Element
from giornata.files.artwork.svg_style import declarations

__all__ = ["MOST_GROUPS", "NamedGroup", "group_number", "group_opacity", "named_groups"]

MOST_GROUPS = 4_000
_STEPS = float(2**20)
_AUTOMATIC = re.compile(r"(g|XMLID_|SVGID_|surface|id|_x?)[-_]?\d[\d_-]*", re.IGNORECASE)
_UNMARKED = frozenset({"clipPath", "mask", "pattern", "marker", "filter"})


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedGroup:
    """One named group or layer.

    Parameters
    ----------
    name : str
        Unique in the file, a repeated name gets a number; without "/".
    element : Element
        The ``g``.
    off : bool
        Whether its own attributes switch it off.
    """

    name: str
    element: Element
    off: bool


def group_opacity(number: int) -> float:
    """Opacity that stands for the group of a number, counted from 1. [-]"""
    return 1.0 - number / _STEPS


def group_number(opacity: float) -> int | None:
    """Number that an opacity stands for, or None.

    A page holds opacities in single precision, to a sixteenth of the step near 1.

    Examples
    --------
    >>> group_number(group_opacity(7)), group_number(0.999), group_number(1.0)
    (7, None, None)
    """
    steps = (1.0 - opacity) * _STEPS
    number = round(steps)
    if not 1 <= number <= MOST_GROUPS or abs(steps - number) > 0.1:
        return None
    return number


def _name(element: Element) -> str:
    label = element.attributes.get(f"{{{INKSCAPE}}}label", "").strip()
    if label:
        return label
    plain = element.attributes.get("data-name", "").strip()
    if plain:
        return plain
    if element.identity and not _AUTOMATIC.fullmatch(element.identity):
        return element.identity
    for child in element.children:
        if child.name == "title" and child.space == SVG:
            return " ".join(child.text.split())
    return ""


def _off(element: Element) -> bool:
    styles = dict(declarations(element.attributes.get("style", "")))
    display = styles.get("display", element.attributes.get("display", ""))
    visibility = styles.get("visibility", element.attributes.get("visibility", ""))
    return display.split("!")[0].strip() == "none" or visibility.split("!")[0].strip() in (
        "hidden",
        "collapse",
    )


def named_groups(root: Element, reach: Reach) -> tuple[NamedGroup, ...]:
    """Named groups that can show, in document order.

    A name is the layer's label, else the name the drawing program kept beside the id, else the
    id unless a program numbered it, else the title. Groups inside clips, masks, patterns and
    markers have no names here.
    """
    shown = {id(element) for element in reach.elements}
    taken: dict[str, int] = {}
    groups: list[NamedGroup] = []
    for element in root.walk():
        if element.name != "g" or element.space != SVG or id(element) not in shown:
            continue
        name = _name(element).replace("/", "-")
        if not name or any(around.name in _UNMARKED for around in reach.ancestors(element)):
            continue
        taken[name] = taken.get(name, 0) + 1
        if taken[name] > 1:
            name = f"{name} ({taken[name]})"
        groups.append(NamedGroup(name=name, element=element, off=_off(element)))
    return tuple(groups)

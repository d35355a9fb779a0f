"""Style sheets of an SVG source worked into its elements' own styles.

The converter would read only simple selectors, would weigh ``!important`` otherwise, and would not
drop what is no value. So each element is given its own cascaded style, and the style sheets are
not passed on (CSS Cascading and Inheritance Level 4, section 6). Selectors are matched in the tree
that an element shows in: what ``use`` repeats sees nothing of what is around it (``svg_copies``).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

import cssselect2

from giornata.files.artwork.svg_colours import COLOURS, plain_colour
from giornata.files.artwork.svg_copies import Copied
from giornata.files.artwork.svg_source import SVG, Element
from giornata.files.artwork.svg_style import AtRule, Rule, declarations, stylesheet
from giornata.files.artwork.svg_transform import attribute_transform
from giornata.files.artwork.svg_units import NUMBER

__all__ = ["Sheets", "cascaded"]

Pairs = tuple[tuple[str, str], ...]

_IMPORTANT = re.compile(r"(?<!\s)\s*!\s*important\s*\Z", re.IGNORECASE)
_LINKS = re.compile(r":(any-)?link\b", re.IGNORECASE)  # the library knows those of web pages only
_ROOT = re.compile(r":(root|scope)\b", re.IGNORECASE)
_NEVER = ".giornata-never"  # weighs as much as what it stands for
_BY_PLACE = re.compile(r"[\s>+~:]")  # in selectors that look at what is around an element
_SCREEN = re.compile(r"(all|(only\s+)?screen)?", re.IGNORECASE)
_LENGTH = re.compile(rf"{NUMBER}\s*(px|in|cm|mm|q|pt|pc|em|ex|%)|[-+]?0", re.IGNORECASE)
_SHARE = re.compile(rf"({NUMBER})(%?)")
_FUNCTION = re.compile(r"[\w-]+\(")
_EVERYWHERE = frozenset({"inherit", "initial", "unset", "revert", "revert-layer"})
_OPACITIES = frozenset({"fill-opacity", "opacity", "stop-opacity", "stroke-opacity"})
_CHOICES = {
    "clip-rule": "nonzero evenodd",
    "fill-rule": "nonzero evenodd",
    "stroke-linecap": "butt round square",
    "stroke-linejoin": "miter miter-clip round bevel arcs",
    "visibility": "visible hidden collapse",
}
# Initial values; those of the first row are not passed on to what is inside (SVG 2, appendix).
_APART = {
    "clip-path": "none", "display": "inline", "mask": "none", "mix-blend-mode": "normal",
    "opacity": "1", "stop-color": "black", "stop-opacity": "1", "transform": "none",
}  # fmt: skip
_PASSED_ON = {
    "clip-rule": "nonzero", "color": "black", "fill": "black", "fill-opacity": "1",
    "fill-rule": "nonzero", "marker-end": "none", "marker-mid": "none", "marker-start": "none",
    "stroke": "none", "stroke-dasharray": "none", "stroke-dashoffset": "0",
    "stroke-linecap": "butt", "stroke-linejoin": "miter", "stroke-miterlimit": "4",
    "stroke-opacity": "1", "stroke-width": "1", "visibility": "visible",
}  # fmt: skip
# Attributes that are properties too, by the elements that have them (SVG 2, section 7.2).
_PLACED = frozenset({"foreignObject", "image", "svg", "use"})
_GEOMETRY = {
    "cx": frozenset({"circle", "ellipse"}),
    "cy": frozenset({"circle", "ellipse"}),
    "height": _PLACED | {"rect"},
    "r": frozenset({"circle"}),
    "rx": frozenset({"ellipse", "rect"}),
    "ry": frozenset({"ellipse", "rect"}),
    "width": _PLACED | {"rect"},
    "x": _PLACED | {"rect"},
    "y": _PLACED | {"rect"},
}
_TOLD = frozenset({"auto", "none"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """What of the style sheets is not worked in.

    At-rules; rules by selectors not read; elements that show in several trees, in which they have
    different values of the properties named.
    """

    others: tuple[AtRule, ...] = ()
    unread: tuple[Rule, ...] = ()
    apart: tuple[tuple[Element, frozenset[str]], ...] = ()


def _sheets(root: Element) -> tuple[list[Rule], list[AtRule]]:
    rules: list[Rule] = []
    others: list[AtRule] = []
    for element in root.walk():
        if element.name != "style" or element.space != SVG:
            continue
        if element.attributes.get("type", "").split(";")[0].strip().lower() not in ("text/css", ""):
            continue
        more, at = stylesheet(element.text, element.line)
        media = element.attributes.get("media", "").strip()
        if more and not any(_SCREEN.fullmatch(one.strip()) for one in media.split(",")):
            others.append(AtRule("@media", f"@media {media}", element.line))
            continue
        rules.extend(more)
        others.extend(at)
    return rules, others


def _tree(root: Element) -> ElementTree.Element:
    """The source as the library of selectors takes it, its elements in the same order."""
    made: dict[int, ElementTree.Element] = {}
    for element in root.walk():
        own = made.setdefault(id(element), _alike(element))
        for child in element.children:
            made[id(child)] = _alike(child)
            own.append(made[id(child)])
    return made[id(root)]


def _alike(element: Element) -> ElementTree.Element:
    attributes = {k: v for k, v in element.attributes.items() if not k.startswith("{}")}
    return ElementTree.Element(f"{{{element.space}}}{element.name}", attributes)


class _Rules:
    """Rules that are matched in the source and in copies of its parts."""

    def __init__(self, rules: Iterable[Rule]) -> None:
        self.unread: list[Rule] = []
        self.by_place = False
        self._whole, self._copied = cssselect2.Matcher(), cssselect2.Matcher()
        for rule in rules:
            written = ", ".join(rule.selectors)
            try:
                if _LINKS.search(written):
                    raise cssselect2.SelectorError(written)
                whole: list[Any] = cssselect2.compile_selector_list(written)
                # A copy's top is no root, though it stands in nothing.
                copied: list[Any] = cssselect2.compile_selector_list(_ROOT.sub(_NEVER, written))
            except (cssselect2.SelectorError, NotImplementedError):
                self.unread.append(rule)
                continue
            self.by_place |= any(_BY_PLACE.search(one.strip()) for one in rule.selectors)
            for matcher, selectors in ((self._whole, whole), (self._copied, copied)):
                for selector in selectors:
                    if selector.pseudo_element is None:
                        matcher.add_selector(selector, rule.declarations)

    def matched(self, top: Element, *, copied: bool) -> dict[int, list[Pairs]]:
        """Declarations that apply to each element of a tree, by ``id()``, rising in weight."""
        matcher = self._copied if copied else self._whole
        wrapped = cssselect2.ElementWrapper.from_xml_root(_tree(top))
        return {
            id(element): [payload for *_, payload in matcher.match(each)]
            for element, each in zip(top.walk(), wrapped.iter_subtree(), strict=True)
        }


def _is_value(name: str, value: str) -> bool:
    """Whether a property takes a value, as far as it is told here; what it does not is dropped."""
    small = value.lower()
    if small in _EVERYWHERE:
        return True
    if name in COLOURS:
        return plain_colour(value) is not None
    if name in _CHOICES:
        return small in _CHOICES[name].split()
    if name in _OPACITIES:
        return _SHARE.fullmatch(value) is not None or _FUNCTION.match(value) is not None
    return True


def _plain(name: str, value: str) -> str:
    """A value as every reader knows it."""
    small = value.lower()
    if small in _EVERYWHERE - {"inherit"} and name in _APART | _PASSED_ON:
        return "inherit" if small != "initial" and name in _PASSED_ON else (
            _APART.get(name) or _PASSED_ON[name]
        )  # fmt: skip
    if name in COLOURS and "(" in value and "icc-color" not in small and "device-" not in small:
        return plain_colour(value) or value
    if name in COLOURS:
        return value if "(" in value else plain_colour(value) or value
    if name in _CHOICES or name == "display":
        return small
    share = _SHARE.fullmatch(value) if name in _OPACITIES else None
    return f"{float(share[1]) / 100:.9g}" if share and share[2] else value


def _cascade(matched: Iterable[Pairs], own: Pairs) -> dict[str, str]:
    """Values by property: later over earlier, what is important over all that is not."""
    plain: dict[str, str] = {}
    weighty: dict[str, str] = {}
    for pairs in (*matched, own):
        for name, written in pairs:
            value = _IMPORTANT.sub("", written)
            into = plain if value == written else weighty
            names = [f"marker-{end}" for end in ("start", "mid", "end")]
            for each in names if name == "marker" else [name]:
                if _is_value(each, value):
                    into.pop(each, None)
                    into[each] = value
    return {name: _plain(name, value) for name, value in (plain | weighty).items()}


def _settled(element: Element, style: dict[str, str]) -> None:
    """Write a cascaded style into an element; what is an attribute's matter becomes one."""
    for name in list(style):
        value = style[name]
        if name == "transform" and (told := attribute_transform(value)) is not None:
            element.attributes["transform"] = told
            del style[name]
        elif element.name in _GEOMETRY.get(name, ()) and (
            _LENGTH.fullmatch(value) or value.lower() in _TOLD
        ):
            if value.lower() in _TOLD:
                element.attributes.pop(name, None)
            else:
                element.attributes[name] = value
            del style[name]
    element.attributes.pop("style", None)
    if style:
        element.attributes["style"] = ";".join(f"{name}:{value}" for name, value in style.items())


def _attributes(element: Element) -> None:
    """Presentation attributes without what is no value."""
    for name in element.attributes.keys() & (COLOURS | _OPACITIES | _CHOICES.keys()):
        value = element.attributes[name].strip()
        if value and _is_value(name, value):
            element.attributes[name] = _plain(name, value)
        else:
            del element.attributes[name]


def cascaded(root: Element) -> Sheets:
    """Give each element the style that its style sheets and it itself give it.

    Parameters
    ----------
    root : Element
        The source; attributes are changed in place.
    """
    given, others = _sheets(root)
    rules = _Rules(given)
    copied = Copied(root) if rules.by_place else None
    trees = {0: rules.matched(root, copied=False) if given else {}}
    if copied is not None:
        trees |= {at: rules.matched(top, copied=True) for at, top in copied.tops.items()}
    apart: list[tuple[Element, frozenset[str]]] = []
    for element in list(root.walk()):
        if element.space != SVG:
            continue
        _attributes(element)
        own = declarations(element.attributes.get("style", ""))
        tops = copied.trees_of(element) if copied is not None else []
        styles = [
            _cascade(trees[0 if top is None else id(top)].get(id(element), []), own)
            for top in tops or [None]
        ]
        last = styles[-1]  # where they differ, the source's own
        names = {n for one in styles for n in one.keys() | last if one.get(n) != last.get(n)}
        if names:
            apart.append((element, frozenset(names)))
        if last or "style" in element.attributes:
            _settled(element, last)
    return Sheets(others=tuple(others), unread=tuple(rules.unread), apart=tuple(apart))

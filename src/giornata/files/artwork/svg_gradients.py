"""Gradients of an SVG source, told apart on the page by the colours of their ends.

The page that the converter makes knows no names, writes a repeated gradient as a program, and a
fading one as a mask. So each gradient is handed to it with two stops of colours that stand for
its number, padded; where it lies is read back from the page, its own stops and what it shows
beyond its run from the source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from giornata.files.artwork.svg_reach import Styles
from giornata.files.artwork.svg_source import SVG, Element
from giornata.files.artwork.svg_style import declarations

__all__ = ["Gradient", "gradients_of", "known_gradients", "resolved_colours"]

_NAMES = frozenset({"linearGradient", "radialGradient"})
_STOP_PROPERTIES = frozenset({"stop-color", "stop-opacity", "color"})
_SIMPLE = re.compile(r"(?P<tag>[\w-]+|\*)?(?P<rest>(?:[.#][\w-]+)*)")
_NUMBER = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(%?)\s*")
_FIRST, _LAST = 0xA50000, 0x5A0000
_DEEPEST = 32

Colour = tuple[str, float]  # #rrggbb and opacity


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stop:
    place: float
    colour: str
    opacity: float


@dataclass(slots=True, kw_only=True)
class Gradient:
    """One gradient of the source.

    ``rows`` are its stops as written, empty where a style that is not read may set them;
    ``inner`` is the radius at which a round run begins, which the converter passes over, not a
    number where it hangs on what is around.
    """

    element: Element
    number: int
    spread: str
    rows: tuple[_Stop, ...] = ()
    stops: tuple[tuple[float, ...], ...] = field(default=())
    inner: float = 0.0

    @property
    def ends(self) -> tuple[str, str]:
        """The colours that stand for it."""
        return f"#{_FIRST + self.number:06x}", f"#{_LAST + self.number:06x}"


def _chain(element: Element, identities: Mapping[str, Element]) -> list[Element]:
    """The gradient and those it points at, one after another."""
    found = [element]
    while len(found) < _DEEPEST:
        target = identities.get(found[-1].href[1:]) if found[-1].href.startswith("#") else None
        if target is None or target.name not in _NAMES or target in found:
            break
        found.append(target)
    return found


def _number(text: str, default: float) -> float:
    found = _NUMBER.fullmatch(text)
    return default if found is None else float(found[1]) / (100.0 if found[2] else 1.0)


def _written(element: Element, styles: Styles) -> dict[str, str]:
    """Properties of a stop or what is around it: attributes, simple rules, its style."""
    values = {k: v for k, v in element.attributes.items() if k in _STOP_PROPERTIES}
    classes = element.attributes.get("class", "").split()
    weighed: list[tuple[tuple[int, int, int], dict[str, str]]] = []
    for rule in styles.rules:
        own = {k: v for k, v in rule.declarations if k in _STOP_PROPERTIES}
        for selector in rule.selectors if own else ():
            found = _SIMPLE.fullmatch(selector)
            if found is None:
                continue
            tag, rest = found["tag"] or "*", re.findall(r"[.#][\w-]+", found["rest"])
            if tag not in ("*", element.name):
                continue
            if all(part[1:] in classes if part[0] == "." else part[1:] == element.identity
                   for part in rest):  # fmt: skip
                ids = sum(part[0] == "#" for part in rest)
                weighed.append(((ids, len(rest) - ids, int(tag != "*")), own))
    for _, own in sorted(weighed, key=lambda pair: pair[0]):
        values |= own
    style = declarations(element.attributes.get("style", ""))
    values |= {k: v for k, v in style if k in _STOP_PROPERTIES}
    return {k: v.split("!")[0].strip() for k, v in values.items()}


def _stops(
    holder: Element, styles: Styles, around: Callable[[Element], list[Element]]
) -> tuple[_Stop, ...]:
    stops: list[_Stop] = []
    for element in holder.children:
        if element.name != "stop" or element.space != SVG:
            continue
        values = _written(element, styles)
        outer = [_written(each, styles) for each in around(element)]
        for name in ("stop-color", "stop-opacity"):
            if values.get(name) == "inherit":
                values[name] = next((each[name] for each in outer if name in each), "")
        colour = values.get("stop-color", "") or "black"
        if colour.lower() == "currentcolor":
            colour = next((each["color"] for each in (values, *outer) if "color" in each), "black")
        opacity = min(max(_number(values.get("stop-opacity", "1"), 1.0), 0.0), 1.0)
        place = min(max(_number(element.attributes.get("offset", "0"), 0.0), 0.0), 1.0)
        place = max(place, stops[-1].place if stops else 0.0)
        stops.append(_Stop(place=place, colour=colour, opacity=opacity))
    return tuple(stops)


def _sizeless(chain: Sequence[Element]) -> bool:
    """Whether a gradient is a round one without a size; the converter takes it for flat."""
    if chain[0].name != "radialGradient":
        return False
    text = next((e.attributes["r"] for e in chain if "r" in e.attributes), "50%")
    return _number(text, float("nan")) == 0.0


def _inner(chain: Sequence[Element]) -> float:
    """Radius at which a round run begins, in the gradient's own units (SVG 2, 14.2.3: fr)."""
    if chain[0].name != "radialGradient":
        return 0.0
    text = next((e.attributes["fr"] for e in chain if "fr" in e.attributes), "0")
    units = next(
        (e.attributes["gradientUnits"] for e in chain if "gradientUnits" in e.attributes), ""
    )
    if text.strip().endswith("%") and units == "userSpaceOnUse":
        return float("nan")
    return _number(text, float("nan"))


def gradients_of(
    root: Element, styles: Styles, parents: Mapping[int, Element]
) -> tuple[Gradient, ...]:
    """Gradients of the source that have a size and two stops or more, numbered from 1.

    Parameters
    ----------
    root : Element
        The source.
    styles : Styles
        Its style sheets.
    parents : mapping of int to Element
        The element around each, by its ``id()``.
    """
    identities: dict[str, Element] = {}
    for element in root.walk():
        identities.setdefault(element.identity, element)
    unread = any(
        name in _STOP_PROPERTIES and not _SIMPLE.fullmatch(selector)
        for rule in styles.rules
        for name, _ in rule.declarations
        for selector in rule.selectors
    )

    def around(element: Element) -> list[Element]:
        found: list[Element] = []
        at = parents.get(id(element))
        while at is not None:
            found.append(at)
            at = parents.get(id(at))
        return found

    found: list[Gradient] = []
    for element in root.walk():
        if element.name not in _NAMES or element.space != SVG:
            continue
        chain = _chain(element, identities)
        holder = next((e for e in chain if any(c.name == "stop" for c in e.children)), None)
        rows = () if holder is None else _stops(holder, styles, around)
        if len(rows) < 2 or _sizeless(chain) or len(found) >= 0xFFFF:
            continue
        spread = next(
            (e.attributes["spreadMethod"] for e in chain if "spreadMethod" in e.attributes), "pad"
        )
        found.append(
            Gradient(
                element=element,
                number=len(found) + 1,
                spread=spread if spread in ("reflect", "repeat") else "pad",
                rows=() if unread else rows,
                inner=_inner(chain),
            )
        )
    return tuple(found)


def resolved_colours(gradients: Sequence[Gradient], colours: Mapping[str, Colour]) -> None:
    """Give each gradient its stops; those of a colour that is not known get none.

    Parameters
    ----------
    gradients : sequence of Gradient
        As written.
    colours : mapping of str to (str, float)
        What each colour as written is: ``#rrggbb`` and opacity.
    """
    for gradient in gradients:
        if not all(row.colour in colours for row in gradient.rows):
            continue
        gradient.stops = tuple(
            (
                row.place,
                *(float(level) for level in bytes.fromhex(colours[row.colour][0][1:])),
                row.opacity * colours[row.colour][1],
            )
            for row in gradient.rows
        )


def known_gradients(
    gradients: Sequence[Gradient],
) -> Callable[[str, str], tuple[str, str, float, tuple[tuple[float, ...], ...]] | None]:
    """What two colours at the ends of a run stand for: id, spread, inner radius and stops."""
    listed = {
        one.ends: (one.element.identity, one.spread, one.inner, one.stops) for one in gradients
    }
    return lambda first, last: listed.get((first, last))

"""Gradients of an SVG source, told apart on the page by the colours of their ends.

The page that the converter makes knows no names, writes a repeated gradient as a program, and a
fading one as a mask. So each gradient is handed to it with two stops of colours that stand for
its number, padded; where it lies is read back from the page, its own stops and what it shows
beyond its run from the source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from giornata.files.artwork.svg_colours import known_colour
from giornata.files.artwork.svg_source import SVG, Element
from giornata.files.artwork.svg_style import declarations

__all__ = ["Gradient", "gradients_of", "known_gradients"]

_NAMES = frozenset({"linearGradient", "radialGradient"})
_STOP_PROPERTIES = frozenset({"stop-color", "stop-opacity", "color"})
_NUMBER = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(%?)\s*")
_FIRST, _LAST = 0xA50000, 0x5A0000
_DEEPEST = 32

Stops = tuple[tuple[float, float, float, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gradient:
    """One gradient of the source.

    ``stops`` are empty where a colour is given in a way that is not read;
    ``inner`` is the radius at which a round run begins, which the converter passes over, not a
    number where it hangs on what is around.
    """

    element: Element
    number: int
    spread: str
    stops: Stops = ()
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


def _written(element: Element) -> dict[str, str]:
    """Properties of a stop or what is around it: attributes and its style."""
    style = declarations(element.attributes.get("style", ""))
    return {k: v for k, v in (*element.attributes.items(), *style) if k in _STOP_PROPERTIES}


def _inherited(name: str, around: Iterable[Element], default: str) -> str:
    for each in around:
        value = _written(each).get(name, "inherit")
        if value != "inherit":
            return value
    return default


def _stops(holder: Element, around: Callable[[Element], Iterable[Element]]) -> tuple[int, Stops]:
    """How many stops there are, and all of them or, where a colour is not known, none."""
    count, unknown = 0, False
    stops: list[tuple[float, float, float, float, float]] = []
    for element in holder.children:
        if element.name != "stop" or element.space != SVG:
            continue
        values = _written(element)
        for name in ("stop-color", "stop-opacity"):
            if values.get(name) == "inherit":
                values[name] = _inherited(name, around(element), "")
        colour = values.get("stop-color", "") or "black"
        if colour.lower() == "currentcolor":
            colour = _inherited("color", (element, *around(element)), "black")
        opacity = min(max(_number(values.get("stop-opacity", "1"), 1.0), 0.0), 1.0)
        place = min(max(_number(element.attributes.get("offset", "0"), 0.0), 0.0), 1.0)
        place = max(place, stops[-1][0] if stops else 0.0)
        count += 1
        known = known_colour(colour)
        if known is None:
            unknown = True
            continue
        red, green, blue = map(float, bytes.fromhex(known[0][1:]))
        stops.append((place, red, green, blue, opacity * known[1]))
    return count, () if unknown else tuple(stops)


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


def gradients_of(root: Element, parents: Mapping[int, Element]) -> tuple[Gradient, ...]:
    """Gradients of the source that have a size and two stops or more, numbered from 1.

    Parameters
    ----------
    root : Element
        The source.
    parents : mapping of int to Element
        The element around each, by its ``id()``.
    """
    identities: dict[str, Element] = {}
    for element in root.walk():
        identities.setdefault(element.identity, element)

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
        count, stops = (0, ()) if holder is None else _stops(holder, around)
        if count < 2 or _sizeless(chain) or len(found) >= 0xFFFF:
            continue
        spread = next(
            (e.attributes["spreadMethod"] for e in chain if "spreadMethod" in e.attributes), "pad"
        )
        found.append(
            Gradient(
                element=element,
                number=len(found) + 1,
                spread=spread if spread in ("reflect", "repeat") else "pad",
                stops=stops,
                inner=_inner(chain),
            )
        )
    return tuple(found)


def known_gradients(
    gradients: Sequence[Gradient],
) -> Callable[[str, str], tuple[str, str, float, tuple[tuple[float, ...], ...]] | None]:
    """What two colours at the ends of a run stand for: id, spread, inner radius and stops."""
    listed = {
        one.ends: (one.element.identity, one.spread, one.inner, one.stops) for one in gradients
    }
    return lambda first, last: listed.get((first, last))

"""Values in an SVG source that the converter would pass over or read amiss."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from giornata.core.foundation import Severity
from giornata.files.artwork.svg_colours import plain_colour
from giornata.files.artwork.svg_source import Element
from giornata.files.artwork.svg_style import PROFILE
from giornata.files.artwork.svg_units import LENGTHS, NUMBER, ODD_UNIT

__all__ = [
    "CHECKS",
    "FARTHEST",
    "PAINTING",
    "PLAIN_STYLE",
    "TEXTS",
    "Said",
    "growth",
    "is_transform_list",
    "not_a_length",
    "passed_over",
    "said_of_root",
]

TEXTS = frozenset({"text", "flowRoot", "altGlyph"})

_LENGTH = re.compile(rf"\s*{NUMBER}\s*(em|ex|px|in|cm|mm|pt|pc|%)?\s*", re.IGNORECASE)
_WORDS = frozenset({"auto", "inherit", "initial", "unset", "none"})
_GEOMETRY = frozenset({"cx", "cy", "d", "height", "r", "rx", "ry", "width", "x", "y"})
_UNREAD_FUNCTION = re.compile(
    r"(?<![\w-])(var|calc|env|attr|min|max|clamp|color|color-mix|lab|lch|oklab|oklch|light-dark)\(",
    re.IGNORECASE,
)
_UNREAD_WORD = re.compile(r"(revert|revert-layer|unset)(\s*!important)?", re.IGNORECASE)
_TRANSFORM = re.compile(r"(\w+)\s*\(([^()]*)\)")
_TRANSFORM_NUMBERS = {  # SVG 2, 8.5, by way of CSS Transforms Level 1, 8
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}
_LONG_NUMBER = re.compile(r"(?<![\d.])(?:[\d.]++[eE]\+?\d+|\d{9,})")
FARTHEST = 1.0e9  # artwork units; single precision, in which drawings are kept, is 64 there
_PLACES = frozenset(
    "d gradientTransform patternTransform points stroke-dasharray transform".split()
)
PAINTING = frozenset(
    "clip-path clip-rule color display fill fill-opacity fill-rule filter marker marker-end"
    " marker-mid marker-start mask mix-blend-mode opacity paint-order stop-color stop-opacity"
    " stroke stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin"
    " stroke-miterlimit stroke-opacity stroke-width transform visibility".split()
)
_MIXED = frozenset({"defs", "g", "linearGradient", "mask", "radialGradient", "svg"})
_BARE = ("", "none", "transparent", "initial", "inherit", "unset", "rgba(0,0,0,0)")
PLAIN_STYLE = "Write the value out plainly, or save as plain SVG with presentation attributes."


class Said(NamedTuple):
    """What is said of a value."""

    code: str
    message: str
    remedy: str
    severity: Severity = Severity.STOP


def _filter(element: Element, name: str, text: str, css: bool) -> Said | None:
    if name not in ("filter", "backdrop-filter") or text.strip().lower() in ("none", "", "inherit"):
        return None
    if element.name == "filter":
        return None
    return Said(
        "artwork.filter",
        "A filter (blur, shadow and the like) does not give flat colours; it is left out.",
        "Take the filter off, or draw its effect as shapes.",
    )


def _profile(element: Element, name: str, text: str, css: bool) -> Said | None:
    if name not in ("color", "fill", "stroke", "stop-color") or not PROFILE.search(text):
        return None
    return Said(
        "artwork.colour",
        f"{name} gives a colour by a profile beside {(plain_colour(text) or text)[:24]!r}; the"
        " latter is read, as SVG 1.1 says. Browsers show black in its place.",
        "Compare the colour with your own; save with plain RGB colours.",
        Severity.WARN,
    )


def _unit(element: Element, name: str, text: str, css: bool) -> Said | None:
    if name not in LENGTHS | {"stroke-dasharray", "font-size", "offset"}:
        return None
    found = ODD_UNIT.search(text)
    if found is None:
        return None
    return Said(
        "artwork.unit",
        f"{name} is in {found[2]!r}, a unit that hangs on a screen or font; it is not read.",
        "Give the length in px or mm, or without a unit.",
    )


def _function(element: Element, name: str, text: str, css: bool) -> Said | None:
    relevant = name in PAINTING or name in LENGTHS
    found = _UNREAD_FUNCTION.search(text) if relevant else None
    word = _UNREAD_WORD.fullmatch(text.strip()) if name in PAINTING else None
    if found is None and word is None:
        return None
    what = f"{found[1]}()" if found else word[1] if word else ""
    return Said("artwork.style", f"{name} is given by {what}, which is not read.", PLAIN_STYLE)


def _shape_function(element: Element, name: str, text: str, css: bool) -> Said | None:
    if name != "clip-path" or "(" not in text or text.strip().lower().startswith("url("):
        return None
    return Said(
        "artwork.style",
        f"clip-path is given as {text[:40]!r}, which is not read.",
        "Clip with a drawn path.",
    )


def _mask_style(element: Element, name: str, text: str, css: bool) -> Said | None:
    """Masks and their brightness as only browsers have them."""
    value = text.strip().lower()
    if name == "color-interpolation" and value == "linearrgb" and element.name in _MIXED:
        return Said(
            "artwork.style",
            "color-interpolation is linearRGB, which is not read: masks let through as in sRGB.",
            "Set it to sRGB, or clip with a hard edge.",
        )
    plain = value in ("", "none", "inherit", "initial") or (
        name == "mask" and value.startswith("url(")
    )
    if not (name.removeprefix("-webkit-") in ("mask", "mask-image") and css and not plain):
        return None
    return Said(
        "artwork.style", f"{name} is given as {text[:40]!r}, which is not read.", PLAIN_STYLE
    )


def _moving(element: Element, name: str, text: str, css: bool) -> Said | None:
    if name not in ("animation", "animation-name") or text.strip().lower() in ("none", "initial"):
        return None
    return Said(
        "artwork.animation",
        "The drawing moves by its style; it is read as it stands without moving.",
        "Save the moment that is to be painted as a still drawing.",
        Severity.WARN,
    )


def said_of_root(name: str, text: str) -> Said | None:
    """What is said of a property or attribute of the drawing itself.

    A page has a background and a place, which a browser shows (CSS Backgrounds Level 3, 2.11).
    """
    value = text.strip().lower()
    if name in ("background", "background-color", "background-image") and value not in _BARE:
        return Said(
            "artwork.style",
            f"The drawing has a {name} ({text[:30]}); that is a page's and is not read.",
            "Draw it as a rectangle under all else, or take it out.",
        )
    if name == "transform" and value not in ("", "none"):
        return Said(
            "artwork.style",
            "The drawing itself is moved by a transform, which programs read differently.",
            "Put its content into a group, and the transform on that.",
        )
    return None


def _line_style(element: Element, name: str, text: str, css: bool) -> Said | None:
    value = text.strip().lower()
    if name == "stroke-linejoin" and value == "miter-clip":
        return Said(
            "artwork.stroke",
            f"Corners of the line are of the kind {value!r}, which is read as a plain mitre.",
            "Convert the stroke to a path in the drawing program.",
        )
    if name == "stroke-linejoin" and value == "arcs":
        return Said(
            "artwork.stroke",
            "Corners of the line are to be arcs; they are read as plain mitres, as browsers show"
            " them.",
            "Look at the corners; if they are to be arcs, convert the stroke to a path.",
            Severity.WARN,
        )
    if name == "vector-effect" and value not in ("none", "inherit", "initial", ""):
        return Said(
            "artwork.stroke",
            f"The line has the effect {value!r}, which is not read.",
            "Convert the stroke to a path in the drawing program.",
        )
    return None


def _geometry(element: Element, name: str, text: str, css: bool) -> Said | None:
    if not css or name not in _GEOMETRY or text.strip().lower() in ("auto", "none"):
        return None
    return Said(
        "artwork.style",
        f"{name} is given as a style; only the attribute {name} is read.",
        "Save as plain SVG with presentation attributes.",
    )


def _transform(element: Element, name: str, text: str, css: bool) -> Said | None:
    if css and name in ("translate", "rotate", "scale", "offset-path", "perspective"):
        return Said("artwork.style", f"{name} is given as a style, which is not read.", PLAIN_STYLE)
    if name == "transform-box" and text.strip() != "view-box" and "transform" in element.attributes:
        return Said("artwork.style", f"transform-box is {text[:20]!r}, not read.", PLAIN_STYLE)
    if name != "transform" or not css:
        return None
    if is_transform_list(text):  # without the units that a style needs
        return passed_over(text)
    return Said("artwork.style", f"transform is {text[:40]!r}, which is not read.", PLAIN_STYLE)


def is_transform_list(text: str) -> bool:
    """Whether a text is a list of transforms (SVG 2, section 8.5), a keyword, or nothing."""
    text = text.split("!")[0]
    if text.strip().lower() in ("", "none", "inherit"):
        return True
    return not _TRANSFORM.sub("", text).replace(",", " ").strip() and all(
        not re.sub(NUMBER, "", numbers).replace(",", " ").strip()
        and len(re.findall(NUMBER, numbers)) in _TRANSFORM_NUMBERS.get(function, ())
        for function, numbers in _TRANSFORM.findall(text)
    )


def passed_over(text: str) -> Said:
    """What is said of a list of transforms that breaks the grammar."""
    return Said(
        "artwork.number",
        f"transform={text[:40]!r} is not a list of transforms; it is passed over, as in browsers.",
        "Correct the value, or save again from the drawing program.",
        Severity.WARN,
    )


def growth(text: str) -> float:
    """Largest factor by which a list of transforms may stretch what it moves. [-]

    Examples
    --------
    >>> growth("translate(5) scale(2,3)"), growth("matrix(2 0 0 2 90 0)")
    (3.0, 4.0)
    """
    times = 1.0
    for function, numbers in _TRANSFORM.findall(text):
        found = [abs(float(number)) for number in re.findall(NUMBER, numbers)]
        if function == "scale" and found:
            times *= max(1.0, *found)
        elif function == "matrix" and len(found) == 6:
            times *= max(1.0, found[0] + found[2], found[1] + found[3], 2.0 * max(found[:4]))
    return times


def _reach(element: Element, name: str, text: str, css: bool) -> Said | None:
    """Whether a number is beyond any drawing: the converter drops such shapes unsaid, or hangs."""
    if name not in LENGTHS | _PLACES:
        return None
    if element.name == "svg" and name in ("width", "height"):
        return None  # the canvas, which has limits of its own
    for long in _LONG_NUMBER.findall(text):
        before, point, after = long.rpartition(".")  # "1.5.5e40" is 1.5 and .5e40
        number = long if before.count(".") == 0 else point + after
        if not number.startswith((".e", ".E")) and float(number) >= FARTHEST:
            return Said(
                "artwork.coordinates",
                f"{name} holds {number[:20]}, beyond any drawing; the drawing is not read.",
                "Take it out, or correct it in the drawing program.",
            )
    return None


CHECKS: tuple[Callable[[Element, str, str, bool], Said | None], ...] = (
    _filter,
    _profile,
    _unit,
    _function,
    _shape_function,
    _mask_style,
    _moving,
    _line_style,
    _geometry,
    _transform,
    _reach,
)


def not_a_length(element: Element, name: str, text: str) -> bool:
    """Whether an attribute that takes a length holds something else."""
    return (
        name in LENGTHS
        and bool(text.strip())
        and _LENGTH.fullmatch(text) is None
        and ODD_UNIT.search(text) is None
        and text.strip().lower() not in _WORDS
        and _UNREAD_FUNCTION.search(text) is None
        and not element.name.startswith("fe")
        and element.name not in TEXTS | {"tspan", "textPath", "tref", "filter"}
    )

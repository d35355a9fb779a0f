"""Colours of an SVG source, in any notation, as one that every reader knows (CSS Color Level 4)."""

from __future__ import annotations

import re
from functools import lru_cache

from tinycss2.color5 import parse_color

from giornata.files.artwork.svg_style import PROFILE

__all__ = ["COLOURS", "known_colour", "plain_colour"]

COLOURS = frozenset({"color", "fill", "flood-color", "lighting-color", "stop-color", "stroke"})

_KEYWORDS = {
    word.lower(): word
    for word in ("context-fill", "context-stroke", "currentColor", "inherit", "none")
}
_KEPT = re.compile(r"#[0-9a-f]{6}|#[0-9a-f]{3}", re.IGNORECASE)
_SYSTEM = {"canvas": "#ffffff", "canvastext": "#000000"}  # CSS Color 4, 6.2, on a light page
_FUNCTION = re.compile(r"[a-z-]+\(", re.IGNORECASE)
_READ = re.compile(r"(rgba?|hsla?|hwb)\(", re.IGNORECASE)


@lru_cache(maxsize=4_096)
def plain_colour(value: str) -> str | None:
    """A colour as ``#rrggbb`` or ``rgba()``; None where it is none, as what cannot be read is.

    Keywords that are no colours, links to paint, and functions that are not read stay as they
    are. A profile colour after an sRGB one is dropped (SVG 1.1, section 12.2: the sRGB colour is
    its fallback).

    Examples
    --------
    >>> plain_colour("#f00 icc-color(press, 0, 1, 1, 0)"), plain_colour("rgba(255, 0, 0, 50%)")
    ('#f00', 'rgba(255,0,0,0.5)')
    >>> plain_colour("hwb(120 0% 0%)"), plain_colour("reddish"), plain_colour("url(#a) red")
    ('#00ff00', None, 'url(#a) red')
    """
    value = PROFILE.sub("", value).strip()
    small = value.lower()
    if small in _KEYWORDS:
        return _KEYWORDS[small]
    if _KEPT.fullmatch(value) or small.startswith("url("):
        return value
    if small in _SYSTEM:
        return _SYSTEM[small]
    if _FUNCTION.match(value) and not _READ.match(value):
        return value
    found = parse_color(value)
    if found is None or isinstance(found, str):
        return None
    levels = [round(255 * min(max(part, 0.0), 1.0)) for part in found.to("srgb").coordinates]
    if found.alpha >= 1.0:
        return "#" + "".join(f"{level:02x}" for level in levels)
    return f"rgba({','.join(map(str, levels))},{max(found.alpha, 0.0):.6g})"


@lru_cache(maxsize=4_096)
def known_colour(value: str) -> tuple[str, float] | None:
    """``#rrggbb`` and opacity of a colour, None where it cannot be told.

    Examples
    --------
    >>> known_colour("red"), known_colour("rgb(0 0 255 / 50%)"), known_colour("none")
    (('#ff0000', 1.0), ('#0000ff', 0.5), None)
    """
    found = parse_color(plain_colour(value) or "")
    if found is None or isinstance(found, str) or found.space != "srgb":
        return None
    levels = (round(255 * part) for part in found.coordinates)
    return "#" + "".join(f"{level:02x}" for level in levels), found.alpha

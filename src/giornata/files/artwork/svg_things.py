"""Things of an SVG source that are not drawn, with a placeholder where each stands.

Pictures and lettering are not handed to the converter; a rectangle in a group of an opacity that
no file holds by chance stands for each (see `svg_groups`), so that the page says where it lies.
What has a filter, and the cells of patterns, are put into such a group.
"""

from __future__ import annotations

import base64
import binascii
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import unquote_to_bytes
from xml.sax.saxutils import quoteattr

from PIL import Image

from giornata.files.artwork.display import Thing
from giornata.files.artwork.svg_groups import MOST_GROUPS
from giornata.files.artwork.svg_reach import Reach
from giornata.files.artwork.svg_source import SVG, Element
from giornata.files.artwork.svg_style import declarations
from giornata.files.artwork.svg_values import TEXTS

__all__ = ["Mark", "marks_of", "spoken_words"]

_STORES = frozenset({"clipPath", "mask", "pattern", "marker", "filter"})
_NUMBER = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(px|pt|mm|cm|in|pc)?")
_UNITS = {"pt": 96 / 72, "mm": 96 / 25.4, "cm": 96 / 2.54, "in": 96.0, "pc": 16.0}
_MEDIUM = 16.0  # px; the initial font size of every browser
_LETTER = 0.6  # of the font size; a letter's width, for the box of lettering only
_FLAT = "fill:#000000 !important;fill-opacity:1 !important;stroke:none !important"
_SUFFIXES = {"image/png", "image/jpeg", "image/jpg", "image/webp", "image/tiff"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An element that stands for a thing.

    ``name`` is what the page calls it; ``number`` the opacity's; ``placeholder`` what is written
    in the element's place, empty where it is only put into a group.
    """

    element: Element
    name: str
    number: int
    thing: Thing
    placeholder: str = ""


def spoken_words(element: Element) -> str:
    """What lettering says, its lines parted by a blank."""
    texts: list[str] = []

    def gather(at: Element) -> None:
        for item in at.content:
            if isinstance(item, str):
                texts.append(item)
            elif item.name in ("tspan", "a", "textPath", "flowPara", "flowSpan", "tref"):
                parted = item.name == "flowPara" or any(k in item.attributes for k in ("x", "y"))
                texts.append(" " if parted else "")
                gather(item)

    gather(element)
    return " ".join("".join(texts).split())


def _pixels(text: str, default: float) -> float:
    found = _NUMBER.match(text)
    return default if found is None else float(found[1]) * _UNITS.get(found[2] or "", 1.0)


def _property(element: Element, name: str) -> str:
    return dict(declarations(element.attributes.get("style", ""))).get(
        name, element.attributes.get(name, "")
    )


def _inherited(element: Element, reach: Reach, name: str) -> str:
    for at in (element, *reach.ancestors(element)):
        if value := _property(at, name):
            return value
    return ""


def _lettering(element: Element, reach: Reach) -> str:
    """A rectangle about where lettering stands; how wide it is hangs on the font."""
    words = spoken_words(element)
    size = _pixels(_inherited(element, reach, "font-size"), _MEDIUM)
    first = next((e for e in element.walk() if "x" in e.attributes), element)
    x = _pixels(first.attributes.get("x", "0"), 0.0)
    y = _pixels(first.attributes.get("y", element.attributes.get("y", "0")), 0.0)
    width = max(_LETTER * size * len(words), size)
    anchor = _inherited(element, reach, "text-anchor").strip()
    x -= {"middle": width / 2, "end": width}.get(anchor, 0.0)
    turn = element.attributes.get("transform", "")
    moved = f" transform={quoteattr(turn)}" if turn else ""
    return (
        f'<rect x="{x:g}" y="{y - 0.8 * size:g}" width="{width:g}" height="{size:g}"'
        f' style="{_FLAT}"{moved}/>'
    )


def _content(href: str) -> tuple[bytes | None, str]:
    """An embedded picture's file, or None and why there is none."""
    if not href.startswith("data:"):
        return None, "it lies outside the file"
    head, comma, body = href[5:].partition(",")
    kind = head.split(";")[0].strip().lower()
    if not comma or kind not in _SUFFIXES:
        return None, f"it is of the kind {kind[:40] or 'unknown'}, which is not read"
    try:
        if head.strip().lower().endswith("base64"):
            return base64.b64decode("".join(unquote_to_bytes(body).decode("ascii").split())), ""
        return unquote_to_bytes(body), ""
    except (binascii.Error, ValueError):
        return None, "its bytes are damaged"


def _size(content: bytes) -> tuple[int, int] | None:
    try:
        with Image.open(io.BytesIO(content), formats=("PNG", "JPEG", "TIFF", "WEBP")) as image:
            return image.size
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None


def _picture(element: Element, attributes: str) -> tuple[str, bytes | None, str]:
    """Placeholder of a picture, its file, and why that is not read."""
    content, doubt = _content(element.href)
    size = None if content is None else _size(content)
    if content is not None and size is None:
        content, doubt = None, "it is damaged"
    given = {name: element.attributes.get(name, "") for name in ("width", "height")}
    missing = [name for name, text in given.items() if text.strip() in ("", "auto")]
    if missing and size is None:
        return "", None, doubt or "it has no size"
    filled = ""
    if missing and size is not None:
        ratio = size[0] / size[1]
        width, height = float(size[0]), float(size[1])
        if "width" not in missing:
            height = _pixels(given["width"], width) / ratio
        elif "height" not in missing:
            width = _pixels(given["height"], height) * ratio
        value = {"width": width, "height": height}
        filled = "".join(f' {name}="{value[name]:g}"' for name in missing)
    return f"<rect{attributes}{filled}/>", content, doubt


def _room(element: Element) -> tuple[float, float] | None:
    """Sides of a picture's frame as written; None where they hang on what is around it."""
    sides = [element.attributes.get(name, "").strip() for name in ("width", "height")]
    if not all(_NUMBER.fullmatch(side) for side in sides):
        return None
    width, height = (_pixels(side, 0.0) for side in sides)
    return (width, height) if width > 0 and height > 0 else None


def _filtered(element: Element) -> bool:
    value = _property(element, "filter").split("!")[0].strip().lower()
    return value not in ("", "none", "inherit") and element.name != "filter"


def marks_of(root: Element, reach: Reach, first: int, plain: Mapping[int, str]) -> tuple[Mark, ...]:
    """Marks of pictures, lettering, filtered elements and pattern cells, in document order.

    Parameters
    ----------
    root : Element
        The source.
    reach : Reach
        Elements that can show.
    first : int
        The first number that is free. [-]
    plain : mapping of int to str
        Attributes of each picture as they may be passed on, by its ``id()``.
    """
    shown = {id(element) for element in reach.elements}
    marks: list[Mark] = []

    def add(
        element: Element, kind: str, source: str, placeholder: str = "", **more: object
    ) -> None:
        number = first + len(marks)
        thing = Thing(kind=kind, source=source, line=element.line)
        for key, value in more.items():
            setattr(thing, key, value)
        marks.append(
            Mark(element=element, name=f"\0{number}", number=number, thing=thing,
                 placeholder=placeholder)
        )  # fmt: skip

    counts: dict[str, int] = {}
    for element in root.walk():
        if element.space != SVG or id(element) not in shown or first + len(marks) > MOST_GROUPS:
            continue
        stored = element.name in _STORES or any(
            around.name in _STORES for around in reach.ancestors(element)
        )
        if element.name == "pattern" and element.identity and element.children:
            add(element, "cell", element.identity)
        elif stored:
            continue
        elif element.name == "image" and element.href:
            name = _called(element, "picture", counts)
            placeholder, content, doubt = _picture(element, plain.get(id(element), ""))
            if placeholder:
                fit = element.attributes.get("preserveAspectRatio", "xMidYMid")
                add(element, "picture", name, placeholder, content=content, doubt=doubt, fit=fit,
                    room=_room(element))  # fmt: skip
        elif element.name in TEXTS and spoken_words(element):
            name = _called(element, "lettering", counts)
            add(element, "lettering", name, _lettering(element, reach),
                words=spoken_words(element))  # fmt: skip
        elif _filtered(element):
            add(element, "effect", _called(element, "soft effect", counts))
    return tuple(marks)


def _called(element: Element, kind: str, counts: dict[str, int]) -> str:
    """What the file calls an element, else its kind and number in the file."""
    counts[kind] = counts.get(kind, 0) + 1
    return element.identity or f"{kind} {counts[kind]}"

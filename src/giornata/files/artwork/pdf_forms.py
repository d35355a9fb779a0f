"""Forms, patterns and soft masks: content streams inside a content stream (ISO 32000-1)."""

from __future__ import annotations

import operator
from dataclasses import replace
from typing import Any, Protocol

import pikepdf

from giornata.files.artwork.display import (
    Clip,
    Ink,
    Layer,
    Leaf,
    Mask,
    Matrix,
    Outline,
    Tile,
    multiplied,
)
from giornata.files.artwork.pdf_colour import colour_space, ink, mean_ink
from giornata.files.artwork.pdf_path import Pen
from giornata.files.artwork.pdf_run import Known, gradient_ink
from giornata.files.artwork.pdf_state import Budget, Notices, State, TooMuchContent
from giornata.files.artwork.veiling import PDF_BRIGHTNESS

__all__ = ["Reader", "form_items", "pattern_ink", "rectangle", "soft_mask"]

_DEEPEST_MASK = 12
_HARMLESS = frozenset({"cmyk", "overprint"})  # notices that leave a picture flat
_SLACK = 1.0e-6  # of the box: a producer's single precision cuts hairs off what touches it


class Reader(Protocol):
    """What reads one content stream."""

    notices: Notices
    masks: int
    budget: Budget
    known: Known

    def read(
        self, stream: Any, resources: Any, state: State, names: tuple[str, ...] = ()
    ) -> list[Leaf | Layer]:
        """Display list of one content stream."""

    def inner(self, *, notices: Notices | None = None, masks: int = 0) -> Reader:
        """Reader for a stream inside this one."""


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Outline:
    """A closed rectangle from corner to corner."""
    pen = Pen()
    pen.rectangle([x0, y0, x1 - x0, y1 - y0])
    return pen.take()


def form_items(
    reader: Reader, form: Any, outer: Any, state: State, names: tuple[str, ...]
) -> list[Leaf | Layer]:
    """Display list of a form (8.10) drawn in a state; ``outer`` holds resources it may lack."""
    if "/Matrix" in form:
        a, b, c, d, e, f = (float(value) for value in form.Matrix)
        state = replace(state, matrix=multiplied((a, b, c, d, e, f), state.matrix))
    if "/BBox" in form:
        x0, y0, x1, y1 = (float(value) for value in form.BBox)
        slack = _SLACK * max(abs(x0), abs(y0), abs(x1), abs(y1))
        x0, x1 = min(x0, x1) - slack, max(x0, x1) + slack
        y0, y1 = min(y0, y1) - slack, max(y0, y1) + slack
        box = rectangle(x0, y0, x1, y1)
        state = replace(state, clip=Clip(box, state.matrix, False, state.clip, frame=True))
    return reader.read(form, form.get("/Resources", outer), state, names)


def pattern_ink(reader: Reader, pattern: Any, resources: Any, base: Matrix) -> Ink:
    """Stand-in for a gradient or tiling pattern (8.7), noted as such.

    ``base`` takes the default space of the stream that uses it to the artwork frame.
    """
    if pattern is None:
        reader.notices.add("pattern")
        return replace(mean_ink([]), kind="pattern", doubt="it is not in the file")
    a, b, c, d, e, f = (float(value) for value in pattern.get("/Matrix", [1, 0, 0, 1, 0, 0]))
    matrix = multiplied((a, b, c, d, e, f), base)
    if int(pattern.get("/PatternType", 1)) == 2:
        found = gradient_ink(pattern.Shading, resources, matrix, reader.known)
        if found.kind:
            reader.notices.add("gradient")
        return found
    reader.notices.add("pattern")
    if reader.masks >= _DEEPEST_MASK:
        return replace(mean_ink([]), kind="pattern", doubt="it stands too deep in others")
    key = (*tuple(pattern.objgen), *(round(value, 6) for value in base))
    known = reader.budget.pattern_inks.get(key)
    if known is None:
        known = reader.budget.pattern_inks[key] = _tile_ink(reader, pattern, matrix)
    return known


def _tile_ink(reader: Reader, pattern: Any, matrix: Matrix) -> Ink:
    """Stand-in for a tiling pattern, with its cell where that is flat."""
    notices = Notices()
    cell = reader.inner(notices=notices, masks=1)
    items = cell.read(pattern, pattern.get("/Resources"), State(matrix=matrix))
    mean = replace(mean_ink([item.ink for item in _leaves(items)]), kind="pattern")
    source = next((name for item in _leaves(items) for name in item.names), "")
    if int(pattern.get("/PaintType", 1)) != 1:
        return replace(mean, source=source, doubt="its colour is given where it is used")
    if notices.kinds.keys() - _HARMLESS:
        held = ", ".join(sorted(notices.kinds.keys() - _HARMLESS))
        return replace(mean, source=source, doubt=f"its cell is not flat (it holds: {held})")
    x0, y0, x1, y1 = (float(value) for value in pattern.BBox)
    steps = (float(pattern.XStep), float(pattern.YStep))
    if not (abs(steps[0]) > 0 and abs(steps[1]) > 0):
        return replace(mean, source=source, doubt="its cells have no distance")
    box = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
    return replace(
        mean,
        source=source,
        tile=Tile(content=Layer(items), box=box, steps=steps, matrix=matrix),
    )


def _leaves(items: list[Leaf | Layer]) -> list[Leaf]:
    found: list[Leaf] = []
    for item in items:
        found.extend([item] if isinstance(item, Leaf) else _leaves(item.content))
    return found


def soft_mask(reader: Reader, mask: Any, resources: Any, state: State) -> Mask | None:
    """The soft mask of a graphics state (11.6.5.3), or None where it says none."""
    if not isinstance(mask, pikepdf.Dictionary):
        return None
    if reader.masks >= _DEEPEST_MASK:
        raise TooMuchContent("masks inside one another", _DEEPEST_MASK)
    picture = mask.G
    notices = Notices()
    inner = reader.inner(notices=notices, masks=1)
    items = form_items(inner, picture, resources, State(matrix=state.matrix), ())
    if mask.get("/TR", pikepdf.Name("/Identity")) != pikepdf.Name("/Identity"):
        notices.add("transfer")
    backdrop = 0.0
    if "/BC" in mask and "/Group" in picture:
        space = colour_space(picture.Group.get("/CS"), resources)
        base = ink(space, tuple(float(value) for value in mask.BC))
        levels = bytes.fromhex(base.colour[1:])
        backdrop = sum(map(operator.mul, PDF_BRIGHTNESS, levels)) / 255.0
    luminosity = pikepdf.Name("/Luminosity") == mask.S
    passed_on = {"text", "image", "cmyk"} if luminosity else {"text", "image"}
    for kind in notices.kinds.keys() & passed_on:
        reader.notices.add(kind)
    return Mask(
        content=Layer(content=items),
        luminosity=luminosity,
        backdrop=backdrop,
        flat=not notices.kinds.keys() - _HARMLESS,
        fade="shading" in notices,
    )

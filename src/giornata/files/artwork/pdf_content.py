"""A PDF content stream to a display list (ISO 32000-1, sections 8.4 to 8.10, 11.4 to 11.6)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pikepdf

from giornata.files.artwork.display import (
    IDENTITY,
    Clip,
    Ink,
    Layer,
    Leaf,
    Outline,
    Stroke,
    multiplied,
)
from giornata.files.artwork.pdf_colour import (
    BLACK,
    Space,
    colour_space,
    ink,
)
from giornata.files.artwork.pdf_forms import form_items, pattern_ink, rectangle, soft_mask
from giornata.files.artwork.pdf_images import picture_ink
from giornata.files.artwork.pdf_layers import OptionalContent
from giornata.files.artwork.pdf_operators import ACTIONS
from giornata.files.artwork.pdf_path import PATH_STEPS, Pen, number
from giornata.files.artwork.pdf_run import Known, gradient_ink
from giornata.files.artwork.pdf_state import UNSEEN, Budget, Notices, State, TooMuchContent

__all__ = ["Interpreter"]

_DEEPEST_FORM = 400
_FAR = 1.0e7
_BLEND_MODES = frozenset(
    "Normal Compatible Multiply Screen Overlay Darken Lighten ColorDodge ColorBurn HardLight"
    " SoftLight Difference Exclusion Hue Saturation Color Luminosity".split()
)


class Interpreter:
    """Reads content streams of one page into a display list.

    Parameters
    ----------
    layers : OptionalContent
        The document's optional content.
    mark : callable
        Gives the name that an opacity stands for, or None: groups of an SVG source are told
        apart by opacities that no file would hold by chance.
    notices : Notices, optional
        Where things that are not flat shapes are noted.
    known : callable, optional
        Stops of gradients that the source of the page knows.
    """

    def __init__(
        self,
        layers: OptionalContent,
        mark: Callable[[float], str | None],
        notices: Notices | None = None,
        budget: Budget | None = None,
        depth: int = 0,
        masks: int = 0,
        known: Known = lambda first, last: None,
    ) -> None:
        self.layers = layers
        self.mark = mark
        self.notices = notices if notices is not None else Notices()
        self.budget = budget if budget is not None else Budget()
        self.depth = depth
        self.masks = masks
        self.known = known

    def read(
        self, stream: Any, resources: Any, state: State, names: tuple[str, ...] = ()
    ) -> list[Leaf | Layer]:
        """Display list of one content stream.

        Parameters
        ----------
        stream : pikepdf.Page or Stream
            A page, form, pattern cell or mask picture.
        resources : pikepdf.Dictionary or None
            Its resources.
        state : State
            The graphics state it starts in.
        names : tuple of str
            Named groups around it, outermost first.
        """
        if self.depth > _DEEPEST_FORM:
            raise TooMuchContent("forms inside one another", _DEEPEST_FORM)
        return _Run(self, resources, state, names).run(stream)

    def inner(self, *, notices: Notices | None = None, masks: int = 0) -> Interpreter:
        """Interpreter for a stream inside this one."""
        return Interpreter(
            self.layers,
            self.mark,
            self.notices if notices is None else notices,
            self.budget,
            self.depth + 1,
            self.masks + masks,
            self.known,
        )


class _Run:
    """One content stream being read."""

    def __init__(
        self, owner: Interpreter, resources: Any, state: State, names: tuple[str, ...]
    ) -> None:
        self.owner = owner
        self.notices = owner.notices
        self.resources = resources
        self.state = state
        self.base = state.matrix  # of the stream's own default space, where patterns lie
        self.saved: list[State] = []
        self.names = names
        self.marked: list[tuple[tuple[str, ...], bool]] = []  # names and skipping to go back to
        self.skipping = False
        self.pen = Pen()
        self.clip_rule: bool | None = None
        self.items: list[Leaf | Layer] = []

    def run(self, stream: Any) -> list[Leaf | Layer]:
        count = self.owner.budget.count_operator
        pen = self.pen
        for instruction in pikepdf.parse_content_stream(stream):
            count()
            operands, name = instruction.operands, str(instruction.operator)
            step = PATH_STEPS.get(name)
            if step is not None:
                step(pen, [number(value) for value in operands])
                continue
            action = ACTIONS.get(name)
            if action is not None:
                action(self, operands)
        return self.items

    def named(self, kind: str, name: Any) -> Any:
        """A resource, or None."""
        group = self.resources.get(kind) if self.resources is not None else None
        return group.get(str(name)) if group is not None else None

    # Painting (8.5.3) and clipping (8.5.4)

    def paint(self, *, fill: bool, even_odd: bool, stroke: bool, close: bool) -> None:
        if close:
            self.pen.close([])
        outline, state = self.pen.outline, self.state
        if outline.verbs and not self.skipping:
            if fill and stroke and state.line_opacity < 1.0:
                self.notices.add("knockout")
            fills, lines = fill and state.fill_space.inks, stroke and state.line_space.inks
            if (fills and state.overprints[0]) or (lines and state.overprints[1]):
                self.notices.add("overprint")
            if fill and state.fill_space.paints:
                self._leaf(outline, state.fill, state.fill_opacity, even_odd, None)
            if stroke and state.line_space.paints:
                if state.stroke.width <= 0.0:
                    self.notices.add("hairline")
                self._leaf(outline, state.line, state.line_opacity, False, state.stroke)
        self.end_path()

    def _leaf(
        self,
        outline: Outline,
        colour: Ink,
        opacity: float,
        even_odd: bool,
        stroke: Stroke | None,
        content: bytes | None = None,
    ) -> None:
        self.owner.budget.count_leaf(len(outline.numbers))
        if not colour.exact and not colour.kind:
            self.notices.add("colour", colour.source)
        self.items.append(
            Leaf(
                outline=outline,
                matrix=self.state.matrix,
                ink=colour,
                opacity=opacity,
                even_odd=even_odd,
                stroke=stroke,
                clip=self.state.clip,
                mask=self.state.mask,
                names=self.names,
                content=content,
            )
        )

    def picture(self, stream: Any) -> None:
        """A picture of pixels: its frame, which the unit square makes (8.9.5)."""
        self.notices.add("image")
        if not self.skipping:
            colour, content = picture_ink(stream)
            frame = rectangle(0.0, 0.0, 1.0, 1.0)
            self._leaf(frame, colour, self.state.fill_opacity, False, None, content)

    def end_path(self) -> None:
        outline = self.pen.take()
        if self.clip_rule is not None and outline.verbs:
            clip = Clip(outline, self.state.matrix, self.clip_rule, self.state.clip)
            self.state = replace(self.state, clip=clip)
        self.clip_rule = None

    def shading(self, name: Any) -> None:
        self.notices.add("gradient")
        self.notices.add("shading")
        found = self.named("/Shading", name)
        if self.skipping or found is None:
            return
        stand_in = gradient_ink(found, self.resources, self.state.matrix, self.owner.known)
        state, self.state = self.state, replace(self.state, matrix=IDENTITY)
        self._leaf(rectangle(-_FAR, -_FAR, _FAR, _FAR), stand_in, state.fill_opacity, False, None)
        self.state = state

    # State (8.4)

    def save(self) -> None:
        self.saved.append(self.state)

    def restore(self) -> None:
        if self.saved:
            self.state = self.saved.pop()

    def concatenate(self, values: Any) -> None:
        a, b, c, d, e, f = (number(value) for value in values)
        self.state = replace(self.state, matrix=multiplied((a, b, c, d, e, f), self.state.matrix))

    def stroking(self, **changes: Any) -> None:
        self.state = replace(self.state, stroke=replace(self.state.stroke, **changes))

    def dash(self, values: Any) -> None:
        dashes = tuple(number(value) for value in values[0])
        if len(dashes) % 2:
            dashes *= 2
        if not (min(dashes, default=0.0) >= 0.0 and sum(dashes) > 0.0):
            dashes = ()
        self.stroking(dashes=dashes, phase=number(values[1]))

    def extended(self, name: Any) -> None:
        found = self.named("/ExtGState", name)
        if found is None:
            return
        for key, attribute in (("/LW", "width"), ("/ML", "mitre_limit")):
            if key in found:
                self.stroking(**{attribute: number(found[key])})
        for key, attribute in (("/LC", "cap"), ("/LJ", "join")):
            if key in found:
                self.stroking(**{attribute: int(found[key])})
        if "/D" in found:
            self.dash(list(found.D))
        if "/ca" in found:
            self.state = replace(self.state, fill_opacity=float(found["/ca"]))
        if "/CA" in found:
            self.state = replace(self.state, line_opacity=float(found["/CA"]))
        if "/OP" in found or "/op" in found:  # OP is for both where op is not given (8.4.5)
            line = bool(found.get("/OP", self.state.overprints[1]))
            fill = bool(found.get("/op", found.get("/OP", False)))
            self.state = replace(self.state, overprints=(fill, line))
        if "/BM" in found:
            given = found.BM if isinstance(found.BM, pikepdf.Array) else [found.BM]
            # Section 11.6.3: of several the first that is known; none known means normal.
            mode = next((str(m)[1:] for m in given if str(m)[1:] in _BLEND_MODES), "Normal")
            if mode not in ("Normal", "Compatible"):
                self.notices.add("blend", mode)
        if "/SMask" in found:
            self.state = replace(
                self.state, mask=soft_mask(self.owner, found.SMask, self.resources, self.state)
            )

    # Colour (8.6.8)

    def choose_space(self, value: Any, *, line: bool) -> None:
        space = colour_space(value, self.resources)
        colour = ink(space, space.initial) if space.channels else BLACK
        self._set(space, colour, line=line)

    def _set(self, space: Space, colour: Ink, *, line: bool) -> None:
        root = space.base if space.kind in ("spot", "indexed") and space.base else space
        if root.kind == "cmyk":
            self.notices.add("cmyk")
        if not colour.exact and not colour.kind:
            colour = replace(colour, source=space.name or space.kind)
        if line:
            self.state = replace(self.state, line_space=space, line=colour)
        else:
            self.state = replace(self.state, fill_space=space, fill=colour)

    def colour(self, operands: Any, *, line: bool, space: Space | None = None) -> None:
        space = space or (self.state.line_space if line else self.state.fill_space)
        values = list(operands)
        if values and isinstance(values[-1], pikepdf.Name):
            pattern = self.named("/Pattern", values[-1])
            colour = pattern_ink(self.owner, pattern, self.resources, self.base)
            self._set(space, colour, line=line)
            return
        result = ink(space, tuple(number(value) for value in values))
        self._set(space, result, line=line)

    # Forms (8.10), transparency groups (11.6.6), marked content (14.6)

    def do(self, name: Any) -> None:
        found = self.named("/XObject", name)
        if found is None or self.skipping:
            return
        kind = str(found.get("/Subtype"))
        names = self.names
        if "/OC" in found:
            layer = self.owner.layers.layer(found.OC)
            names = (*names, *layer.names)
            if not layer.readable:
                return
        if kind == "/Image":
            before, self.names = self.names, names
            self.picture(found)
            self.names = before
        if kind != "/Form":
            return
        state = self.state
        if "/Group" not in found:
            self.items.extend(form_items(self.owner.inner(), found, self.resources, state, names))
            return
        if found.Group.get("/K"):
            self.notices.add("knockout")
        group = self.owner.mark(state.fill_opacity)
        opacity = state.fill_opacity if group is None else 1.0
        names = names if group is None else (*names, group)
        inside = replace(state, fill_opacity=1.0, line_opacity=1.0, mask=None)
        items = form_items(self.owner.inner(), found, self.resources, inside, names)
        if opacity >= 1.0 and state.mask is None:
            self.items.extend(items)
        elif items:
            self.items.append(Layer(items, opacity, state.mask, names))

    def begin_marked(self, operands: Any) -> None:
        self.marked.append((self.names, self.skipping))
        if len(operands) < 2 or str(operands[0]) != "/OC":
            return
        properties = operands[1]
        if isinstance(properties, pikepdf.Name):
            properties = self.named("/Properties", properties)
        layer = self.owner.layers.layer(properties)
        self.names = (*self.names, *layer.names)
        self.skipping = self.skipping or not layer.readable

    def end_marked(self) -> None:
        if self.marked:
            self.names, self.skipping = self.marked.pop()

    def write_as(self, mode: int) -> None:
        """Text from here on filled, lined, both or neither."""
        self.state = replace(self.state, text_mode=mode)

    def text(self) -> None:
        if not self.skipping and self.state.text_mode != UNSEEN:
            self.notices.add("text")

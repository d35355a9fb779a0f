"""A drawing with its decisions carried out: flat shapes only."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from giornata.core.artwork.compositing import BARE
from giornata.core.artwork.drawing import Drawing
from giornata.core.artwork.groups import shown_shapes
from giornata.core.artwork.mapping import Decision, Tone, Way, chosen, nearest_paint, usable
from giornata.core.artwork.nonflat import Kind, Nonflat
from giornata.core.artwork.oklab import levels_of
from giornata.core.artwork.palette import Paint
from giornata.core.artwork.ramp import Ramp, colours_along
from giornata.core.artwork.ramp_bands import (
    Band,
    TooManyBands,
    cut,
    even_bands,
    nearest_bands,
)
from giornata.core.artwork.regions import flattened
from giornata.core.artwork.shape import Shape, Veil
from giornata.core.foundation import Finding, Floats, Severity

__all__ = ["carried_out"]

_WHITE = "#ffffff"
_FIRST_VEIL = 1_000_000_000  # above any number a reader gives
_OPAQUE = 1.0 - 0.5 / 255


def carried_out(
    drawing: Drawing,
    decisions: Sequence[Decision],
    paints: Sequence[Paint],
    *,
    tone: Tone,
    hide: Iterable[str] = (),
    show: Iterable[str] = (),
) -> tuple[Drawing, tuple[Finding, ...]]:
    """The drawing with every decided thing as flat shapes in its paints, and what went amiss.

    Parameters
    ----------
    drawing : Drawing
        As read; things without a decision stay as the reader's stand-ins.
    decisions : sequence of Decision
        Of the job.
    paints : sequence of Paint
        Of the job; those decided on list a colour, and the first one listed is what is laid.
    tone : callable
        Encoded sRGB, 0 to 1, to a space in which likeness is distance (CIELAB).
    hide, show : iterable of str
        Groups that the option leaves out or brings in; what is hidden is no backdrop.

    Notes
    -----
    What is decided is painted opaque. Where a gradient lets through what lies below and its paints
    are found by likeness, its colour is first laid over each flat colour below it.
    """
    if not drawing.things:
        return drawing, ()
    return _Mapper(drawing, decisions, paints, tone, tuple(hide), tuple(show)).run()


@dataclass(slots=True)
class _Mapper:
    drawing: Drawing
    decisions: Sequence[Decision]
    paints: Sequence[Paint]
    tone: Tone
    hide: tuple[str, ...]
    show: tuple[str, ...]
    veils: int = _FIRST_VEIL

    def run(self) -> tuple[Drawing, tuple[Finding, ...]]:
        drawing = self.drawing
        decided = {
            thing.number: (thing, decision)
            for thing in drawing.things
            if (decision := chosen(thing, self.decisions)) is not None
            and decision.way is not Way.REFUSED
            and not usable(thing, decision)
        }
        inserted: dict[int, list[Shape]] = {}
        for thing, decision in decided.values():
            if thing.kind is Kind.PICTURE:
                inserted.setdefault(thing.before, []).extend(self._picture(thing, decision))
        shapes: list[Shape] = []
        findings: list[Finding] = []
        for at, shape in enumerate(drawing.shapes):
            shapes += inserted.get(at, ())
            if shape.thing not in decided:
                shapes.append(shape)
                continue
            thing, decision = decided[shape.thing]
            pieces, said = self._carried_out(shape, thing, decision, shapes)
            shapes += pieces
            findings += said
        shapes += inserted.get(len(drawing.shapes), ())
        found = tuple(dict.fromkeys(findings))
        return replace(drawing, shapes=tuple(shapes), disjoint=False), found

    def _colour(self, key: str) -> str:
        return next(paint for paint in self.paints if paint.key == key).artwork[0]

    def _picture(self, thing: Nonflat, decision: Decision) -> list[Shape]:
        if decision.way is Way.AS_DRAWN and thing.drawn is not None:
            return list(thing.drawn)
        if decision.way is Way.ONE_PAINT and thing.box is not None:
            area = shapely.box(*thing.box) if thing.frame is None else thing.frame
            return [Shape(area=area, colour=self._colour(decision.paints[0]), group=thing.group)]
        return []

    def _carried_out(
        self, shape: Shape, thing: Nonflat, decision: Decision, below: Sequence[Shape]
    ) -> tuple[list[Shape], list[Finding]]:
        way = decision.way
        if way is Way.LEFT_OUT:
            return ([shape] if thing.kind is Kind.EFFECT else []), []
        if way is Way.ONE_PAINT:
            return [_laid(shape, shape.area, self._colour(decision.paints[0]))], []
        if way is Way.AS_DRAWN:
            return self._drawn_out(shape, thing), []
        assert thing.ramp is not None
        try:
            return self._stepped(shape, thing, thing.ramp, decision, below)
        except TooManyBands:
            return [shape], [_too_many(thing)]

    def _drawn_out(self, shape: Shape, thing: Nonflat) -> list[Shape]:
        """A thing's own flat shapes, cut to where it shows, under the veils over it."""
        veils = shape.veils
        if shape.opacity < 1:
            self.veils += 1
            veils = (*veils, Veil(number=self.veils, opacity=shape.opacity))
        out: list[Shape] = []
        for one in thing.drawn or ():
            area = one.area if shape.area.covers(one.area) else one.area & shape.area
            out += [
                replace(one, area=piece, group=shape.group, veils=(*veils, *one.veils))
                for piece in shapely.get_parts(area)
                if isinstance(piece, shapely.Polygon) and piece.area > 0
            ]
        return out

    def _stepped(
        self,
        shape: Shape,
        thing: Nonflat,
        ramp: Ramp,
        decision: Decision,
        below: Sequence[Shape],
    ) -> tuple[list[Shape], list[Finding]]:
        mean_side = math.sqrt(self.drawing.width * self.drawing.height)
        if decision.way is Way.STEPS and decision.paints:
            keys = decision.paints
            pieces = cut(shape.area, ramp, even_bands(len(keys)), mean_side=mean_side)
            return [_laid(shape, area, self._colour(keys[at])) for area, at in pieces], []
        among = [
            paint
            for paint in self.paints
            if paint.artwork and (not decision.paints or paint.key in decision.paints)
        ]
        opacity = shape.opacity * math.prod(veil.opacity for veil in shape.veils)
        found = [_veiled(thing)] if shape.veils else []
        out: list[Shape] = []
        for area, backdrop in self._backdrops(shape, ramp, opacity, below):
            over = levels_of([backdrop])[0]

            def nearest(
                colours: Floats, over: Floats = over
            ) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
                alpha = colours[:, 3:] * opacity
                seen = colours[:, :3] * alpha + over * (1 - alpha)
                return np.asarray(np.argmin(nearest_paint(seen, among, self.tone), axis=1))

            if decision.way is Way.STEPS:
                middle = (np.arange(decision.steps) + 0.5) / decision.steps
                at = nearest(colours_along(ramp, middle))
                bands = tuple(
                    Band(start=k / decision.steps, paint=int(paint)) for k, paint in enumerate(at)
                )
                ends = None
            else:
                bands = nearest_bands(ramp, nearest)
                first, last = nearest(ramp.stops[[0, -1], 1:])
                ends = (int(first), int(last))
            out += [
                _laid(shape, piece, among[at].artwork[0])
                for piece, at in cut(area, ramp, bands, mean_side=mean_side, ends=ends)
            ]
        return out, found

    def _backdrops(
        self, shape: Shape, ramp: Ramp, opacity: float, below: Sequence[Shape]
    ) -> list[tuple[shapely.Geometry, str]]:
        """Parts of the area, each over one flat colour; the whole where nothing shows through."""
        if opacity >= _OPAQUE and not ramp.fades:
            return [(shape.area, _WHITE)]
        under = replace(self.drawing, shapes=tuple(below), things=())
        shown, _ = shown_shapes(under, hide=self.hide, show=self.show)
        if not shown:
            return [(shape.area, _WHITE)]
        near = tuple(one for one in shown if one.area.intersects(shape.area))
        flat = flattened(replace(under, shapes=near, hidden=()))
        parts: list[tuple[shapely.Geometry, str]] = []
        for label, colour in enumerate(flat.colours):
            own = flat.coverage.faces[flat.coverage.labels == label]
            part = shapely.intersection(shape.area, shapely.union_all(own)) if len(own) else None
            for piece in () if part is None else shapely.get_parts(part):
                if isinstance(piece, shapely.Polygon) and piece.area > 0:
                    parts.append((piece, _WHITE if colour == BARE else colour))
        return parts


def _laid(shape: Shape, area: shapely.Geometry, colour: str) -> Shape:
    """A flat opaque piece in the place of a shape."""
    return replace(shape, area=area, colour=colour, opacity=1.0, veils=(), thing=0)


def _veiled(thing: Nonflat) -> Finding:
    return Finding(
        code="artwork.steps_through_a_veil",
        severity=Severity.WARN,
        subject=f'{thing.kind.one} "{thing.name}"',
        message="It stands in a translucent group; its steps are reckoned as if it alone stood "
        "in it.",
        remedy="Compare the picture; name the steps' paints, or flatten transparency in the file.",
        place=thing.finding.place,
    )


def _too_many(thing: Nonflat) -> Finding:
    return Finding(
        code="artwork.too_many_steps",
        severity=Severity.STOP,
        subject=f'{thing.kind.one} "{thing.name}"',
        message="It repeats so often over its shape that it would be more than 1,000 steps; its "
        "mean colour stands in for it.",
        remedy="Decide for one paint, or have it redrawn.",
        place=thing.finding.place,
    )

"""Flat shapes told apart from what stands in for things that are not flat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import shapely

from giornata.files.artwork.display import Flat, Thing

__all__ = ["separated"]

_UNDRAWN = ("picture", "lettering")


def separated(
    shapes: list[Flat], things: list[Thing], marks: Mapping[str, Thing], veils: int
) -> tuple[list[Flat], list[Thing]]:
    """Shapes without placeholders and marks' names, and things numbered in painting order.

    Parameters
    ----------
    shapes : list of Flat
        Bottom first; those of a thing carry its number.
    things : list of Thing
        By number, from 1.
    marks : mapping of str to Thing
        Names that stand for things of the source.
    veils : int
        Veils numbered so far. [-]
    """
    kept: list[Flat] = []
    order: dict[int | str, Thing] = {}
    numbers: dict[int | str, int] = {}
    for shape in shapes:
        soft = next((name for name in reversed(shape.names) if name in marks), "")
        names = tuple(name for name in shape.names if name not in marks)
        key: int | str = shape.thing or soft
        if key == "" or (not shape.thing and marks[soft].kind != "effect"):
            kept.append(replace(shape, names=names))
            continue
        for one in dict.fromkeys((key, soft)):
            if one and one not in order and (one == key or marks[str(one)].kind == "effect"):
                order[one] = things[one - 1] if isinstance(one, int) else replace(marks[one])
                numbers[one] = len(order)
                order[one].before, order[one].names = len(kept), names
                order[one].box = None
            if one in order:
                _grow(order[one], shape)
        if order[key].kind in _UNDRAWN:
            thing = order[key]
            thing.veils = shape.veils
            if shape.opacity < 1.0:
                veils += 1
                thing.veils = (*shape.veils, (veils, shape.opacity))
            continue
        kept.append(replace(shape, names=names, thing=numbers[key]))
    return kept, list(order.values())


def _grow(thing: Thing, shape: Flat) -> None:
    x0, y0, x1, y1 = shape.area.bounds
    if thing.box is not None:
        x0, y0 = min(x0, thing.box[0]), min(y0, thing.box[1])
        x1, y1 = max(x1, thing.box[2]), max(y1, thing.box[3])
    thing.box = (x0, y0, x1, y1)
    if thing.kind == "picture":
        whole = [shape.area] if thing.frame is None else [thing.frame, shape.area]
        thing.frame = shapely.union_all(whole)

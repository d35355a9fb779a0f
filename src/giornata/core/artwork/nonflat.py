"""Things in a drawing that are not flat colour, each by its name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import shapely

from giornata.core.artwork.ramp import Ramp
from giornata.core.artwork.shape import Shape, Veil
from giornata.core.foundation import Finding

__all__ = ["Kind", "Nonflat", "named"]


class Kind(StrEnum):
    """What a thing is; the word by which the job file speaks of all of a kind."""

    GRADIENT = "gradients"
    PATTERN = "patterns"
    PICTURE = "pictures"
    EFFECT = "soft effects"
    LETTERING = "lettering"

    @property
    def one(self) -> str:
        """The word for one of them."""
        return {
            Kind.GRADIENT: "gradient",
            Kind.PATTERN: "pattern",
            Kind.PICTURE: "picture",
            Kind.EFFECT: "soft effect",
            Kind.LETTERING: "lettering",
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Nonflat:
    """One thing that is not flat colour.

    Parameters
    ----------
    number : int
        From 1 in painting order; shapes that stand in for it carry it. [-]
    name : str
        Unique in the drawing.
    source : str
        What the file calls it; several things may share it (a gradient that fills two shapes).
    kind : Kind
        What it is.
    finding : Finding
        What is said while nothing is decided.
    box : tuple of float or None
        Least and greatest x, y on the artwork: x0, y0, x1, y1; None where it is not known. [-]
    ramp : Ramp or None
        The gradient, where its bands can be had.
    drawn : tuple of Shape or None
        The flat shapes that it is made of, where they can be had; bottom first.
    doubt : str
        Why it has no ramp, or no shapes.
    frame : shapely.Polygon, shapely.MultiPolygon or None
        What a picture covers of the canvas; artwork frame.
    words : str
        What lettering says.
    before : int
        Place of ``drawn`` in the painting order: before the shape of this index. [-]
    group : str
        Names of the groups around it, as a shape's.
    veils : tuple of Veil
        Translucent groups around it, as a shape's.
    """

    number: int
    name: str
    source: str
    kind: Kind
    finding: Finding
    box: tuple[float, float, float, float] | None = None
    ramp: Ramp | None = None
    drawn: tuple[Shape, ...] | None = None
    doubt: str = ""
    frame: shapely.Geometry | None = None
    words: str = ""
    before: int = 0
    group: str = ""
    veils: tuple[Veil, ...] = ()

    def __post_init__(self) -> None:
        if self.number < 1:
            raise ValueError("things are numbered from 1")
        if not self.name:
            raise ValueError("a thing has a name")


def named(sources: Iterable[str]) -> tuple[str, ...]:
    """A name for each thing: what the file calls it, numbered where several share that.

    Examples
    --------
    >>> named(["sky", "sea", "sky"])
    ('sky 1', 'sea', 'sky 2')
    """
    listed = list(sources)
    shared = {source for source, count in Counter(listed).items() if count > 1}
    taken = {source for source in listed if source not in shared}
    names: list[str] = []
    for source in listed:
        name, number = source, 0
        while source in shared and (number == 0 or name in taken):
            number += 1
            name = f"{source} {number}"
        taken.add(name)
        names.append(name)
    return tuple(names)

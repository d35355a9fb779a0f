"""Things in the artwork that are not flat colour: where on the wall, and what becomes of each."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.artwork import Nonflat, chosen
from giornata.core.foundation import affine_applied
from giornata.core.job.results import Design, JobResults

__all__ = ["NotFlat", "not_flat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NotFlat:
    """A thing that is not flat colour, as it lies on the wall.

    Parameters
    ----------
    thing : Nonflat
    becomes : str
        What was decided about it; "undecided" where nothing was.
    decided : bool
    box : tuple of float or None
        Chainage, level, chainage, level of its corners; None where the file does not say. [m]
    """

    thing: Nonflat
    becomes: str
    decided: bool
    box: tuple[float, float, float, float] | None


def not_flat(results: JobResults, design: Design) -> tuple[NotFlat, ...]:
    """Things of the artwork that are not flat colour, in painting order."""
    return tuple(_laid(thing, results, design) for thing in results.inputs.drawing.things)


def _laid(thing: Nonflat, results: JobResults, design: Design) -> NotFlat:
    decision = chosen(thing, results.inputs.mappings)
    becomes = "undecided" if decision is None else str(decision.way)
    if decision is not None and (decision.paints or decision.steps):
        becomes += f": {', '.join(decision.paints) or decision.steps}"
    box = None
    if thing.box is not None:
        x0, y0, x1, y1 = thing.box
        every = affine_applied(
            design.placed.wall_from_artwork, [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]
        )
        (left, foot), (right, head) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
        box = (left, foot, right, head)
    return NotFlat(thing=thing, becomes=becomes, decided=decision is not None, box=box)

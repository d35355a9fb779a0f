"""The set-up squared on its marks, for the console: the map to draw by, and how far to trust it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any

from giornata.core.foundation import System, finding_in_units, shown
from giornata.core.projection import PoseMap, ProjectiveMap, Squared, WallMap
from giornata.desk import MarkInPicture, on_the_wall
from giornata.desk.squared import square_set_up
from giornata.web.records import said
from giornata.web.watching import Ready

__all__ = ["SquaredState", "Squarer", "map_form"]

_Key = tuple[str, int, tuple[MarkInPicture, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class SquaredState:
    """What the marks that were laid say of the picture."""

    form: dict[str, Any] | None = said("The map that the wall is drawn by; null where none is.")
    kind: str = said("What is assumed of wall and projector; empty where nothing fits.")
    most: str = said("At 95 of 100 places the light is off by no more; empty where none fits.")
    worst: str = said("At the worst place; empty where none fits.")
    bad: tuple[str, ...] = said("The mark that is named as wrong, or those of which one may be.")
    named: bool = said("Whether one is named.")
    findings: tuple[tuple[str, str, str], ...] = said("Severity, what is so, what to do.")


def map_form(made: WallMap) -> dict[str, Any] | None:
    """A map as the browser takes it; None for a kind that it does not know."""
    match made:
        case ProjectiveMap():
            return {
                "kind": "projective",
                "matrix": made.matrix.tolist(),
                "hinge": made.hinge,
                "middle": made.middle.tolist(),
                "spread": made.spread,
                "centre": made.centre.tolist(),
                "half": made.half,
            }
        case PoseMap():
            return {
                "kind": "pose",
                "axes": made.axes.tolist(),
                "lens": made.lens.tolist(),
                "focal": made.focal,
                "centre": made.centre.tolist(),
                "bend": made.bend,
                "origin": made.origin,
                "curvature": made.curvature,
                "fold": made.fold,
            }
        case _:
            return None


def _state(made: Squared, system: System, findings: Any) -> SquaredState:
    error, bad = made.error, made.bad
    return SquaredState(
        form=None if made.on_wall is None else map_form(made.on_wall),
        kind="" if made.kind is None else str(made.kind),
        most="" if error is None else shown(error.most, "m", system),
        worst="" if error is None else shown(error.worst.longer, "m", system),
        bad=() if bad is None else (bad.named,) if bad.named is not None else bad.doubted,
        named=bad is not None and bad.named is not None,
        findings=tuple(
            (str(one.severity), one.message, one.remedy)
            for one in (finding_in_units(found, system) for found in findings)
        ),
    )


def _of_fault(fault: BaseException) -> SquaredState:
    """The night goes on by the browser's own fit, and says so."""
    message = f"Squaring met a fault of giornata itself: {type(fault).__name__}."
    remedy = "The picture is drawn by the marks alone. Check its lines, and report the fault."
    return SquaredState(
        form=None,
        kind="",
        most="",
        worst="",
        bad=(),
        named=False,
        findings=(("stop", message, remedy),),
    )


class Squarer:
    """Squares the set-up that is worked on, behind the pages' back: lines of a wall are many.

    Parameters
    ----------
    told : callable
        Called when a result is there.
    """

    def __init__(self, told: Callable[[], None]) -> None:
        self._told = told
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="square")
        self._lock = threading.Lock()
        self._key: _Key | None = None
        self._made: Future[SquaredState | None] | None = None

    def of(
        self, ready: Ready, number: int, placed: tuple[MarkInPicture, ...]
    ) -> SquaredState | None:
        """The set-up squared on these marks; None where it has none, or until that is done."""
        if not placed:
            return None
        key = (ready.version, number, placed)
        with self._lock:
            if key != self._key or self._made is None:
                if self._made is not None:
                    self._made.cancel()
                self._key = key
                self._made = self._pool.submit(_squared, ready, number, placed)
                self._made.add_done_callback(self._done)
            made = self._made
        if not made.done() or made.cancelled():
            return None
        fault = made.exception()
        return made.result() if fault is None else _of_fault(fault)

    def _done(self, made: Future[SquaredState | None]) -> None:
        if not made.cancelled():
            self._told()

    def close(self) -> None:
        """Stop for good."""
        self._pool.shutdown(wait=False, cancel_futures=True)


def _squared(
    ready: Ready, number: int, placed: tuple[MarkInPicture, ...]
) -> SquaredState | None:  # fmt: skip
    results = ready.results
    one = next((s for s in results.set_ups.set_ups if s.number == number), None)
    marks = on_the_wall(results, placed)
    if one is None or not marks:
        return None
    made, findings = square_set_up(results, one, marks)
    return _state(made, System(ready.job.inputs.title.units), findings)

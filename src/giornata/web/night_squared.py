"""The set-up squared on its marks, for the console: the map to draw by, and how far to trust it."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from giornata.core.foundation import GiornataError, System, finding_in_units, shown
from giornata.core.projection import PoseMap, ProjectiveMap, Squared, WallMap
from giornata.desk import adjusting_events, marks_seen_events, square_as_adjusted
from giornata.desk.squaring import KIND as SEEN
from giornata.files.site_log import Event
from giornata.web.records import said
from giornata.web.watching import Ready

__all__ = ["MarkStands", "SquaredState", "Squarer", "map_form"]

_KEPT = 16  # results: a night goes back and forth between a few set-ups
_Key = tuple[str, int, tuple[tuple[int, datetime], ...]]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkStands:
    """Where a mark stands, as check measurements and other set-ups adjust it."""

    name: str = said("Of the mark.")
    at: tuple[float, float] = said("Chainage and level. [m]")


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
    if isinstance(fault, GiornataError):
        message, remedy = fault.message, fault.remedy
    else:
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Made:
    """A set-up squared, and what the pages are told of it."""

    squared: Squared
    state: SquaredState
    stands: tuple[MarkStands, ...]


class Squarer:
    """Squares set-ups behind the pages' back, as the command line does: lines of a wall are many.

    Parameters
    ----------
    told : callable
        Called when a result is there.
    """

    def __init__(self, told: Callable[[], None]) -> None:
        self._told = told
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="square")
        self._lock = threading.Lock()
        self._made: dict[_Key, Future[_Made | None]] = {}
        self._stands: dict[tuple[str, int], tuple[MarkStands, ...]] = {}
        self._awaited: set[_Key] = set()

    def of(self, ready: Ready, number: int, standing: Iterable[Event]) -> SquaredState | None:
        """A set-up squared as the log has it; None where it has no marks, or until that is done."""
        made = self._future(ready, number, standing)
        if made is None or not made.done() or made.cancelled():
            return None
        fault = made.exception()
        if fault is not None:
            return _of_fault(fault)
        result = made.result()
        return None if result is None else result.state

    def stands(self, ready: Ready, number: int) -> tuple[MarkStands, ...]:
        """Where marks of a set-up stand on the wall, as it was squared last; none before that."""
        with self._lock:
            return self._stands.get((ready.version, number), ())

    def squared(self, ready: Ready, number: int, standing: Iterable[Event]) -> Squared | None:
        """A set-up squared as the log has it, waited for; None where it cannot be."""
        made = self._future(ready, number, standing, awaited=True)
        if made is None:
            return None
        wait([made])
        if made.cancelled() or made.exception() is not None:  # what it is, the pages are told
            return None
        result = made.result()
        return None if result is None else result.squared

    def _future(
        self, ready: Ready, number: int, standing: Iterable[Event], *, awaited: bool = False
    ) -> Future[_Made | None] | None:
        events = tuple(standing)
        if not any(one.kind == SEEN and one.subject == str(number) for one in events):
            return None
        key = (ready.version, number, adjusting_events(events))
        with self._lock:
            if awaited:  # somebody stands and waits: what others ask meanwhile comes after it
                self._awaited.add(key)
            if key in self._made:
                return self._made[key]
            for old, one in tuple(self._made.items()):
                if old not in self._awaited and not one.done() and one.cancel():
                    del self._made[old]
            while len(self._made) >= _KEPT:
                del self._made[next(iter(self._made))]
            made = self._made[key] = self._pool.submit(_squared, ready, number)
        made.add_done_callback(lambda one: self._done(key, one))
        return made

    def _done(self, key: _Key, made: Future[_Made | None]) -> None:
        if made.cancelled():
            return
        with self._lock:
            self._awaited.discard(key)
            if made.exception() is None and (result := made.result()) is not None:
                self._stands[key[:2]] = result.stands
        self._told()

    def close(self) -> None:
        """Stop for good."""
        self._pool.shutdown(wait=False, cancel_futures=True)


def _squared(ready: Ready, number: int) -> _Made | None:
    folder, results = ready.job.folder, ready.results
    one = next((s for s in results.set_ups.set_ups if s.number == number), None)
    readings = marks_seen_events(folder, number)
    if one is None or not readings:
        return None
    made, findings, _ = square_as_adjusted(folder, results, one, readings[-1])
    if not made.marks:
        return None
    return _Made(
        squared=made,
        state=_state(made, System(ready.job.inputs.title.units), findings),
        stands=tuple(MarkStands(name=m.name, at=(m.chainage, m.level)) for m in made.marks),
    )

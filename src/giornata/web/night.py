"""The night behind its pages: what is so, and what is done about it."""

from __future__ import annotations

import itertools
import secrets
import threading
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from giornata.core.boards import Pattern, pattern_pixels
from giornata.core.foundation import JobFolderError, StaleJobError, System
from giornata.core.projection import CrossFell, MarkSeen, SetUp, marks_from_crosses, planned_pose
from giornata.desk import (
    MarkInPicture,
    Means,
    designs_moved,
    events,
    mark_sigma,
    moved_since,
    moves_by_hand,
    record_marks_seen,
    record_picture,
    with_design_moved,
)
from giornata.desk.night_photos import latest_photos
from giornata.desk.photographed import record_photographed
from giornata.desk.steering import BEGUN, Night, move_picture, night_of
from giornata.files.region_pixels import png
from giornata.files.site_log import Event, standing_events
from giornata.web.hub import Hub
from giornata.web.night_by_photo import seen_in_photos
from giornata.web.night_left import left_of_night, moved_here, order_of_work, where_words
from giornata.web.night_squared import Squarer
from giornata.web.night_state import (
    FlashState,
    NightState,
    PlacedMark,
    ShownState,
    UndoState,
    WindowState,
    by_hand_state,
)
from giornata.web.set_up_drawing import SetUpDrawing, set_up_drawing
from giornata.web.watching import Faulty, JobWatch, Ready, stamps

__all__ = ["NightDesk"]

_KEPT = 4  # drawings


class NightDesk:
    """One night of a job folder, shared by the laptop's pages and the phones.

    Parameters
    ----------
    watch : JobWatch
        The job. While a changed job is worked out, the night goes on with the one before.
    hub : Hub
        Told of every change.
    """

    def __init__(self, watch: JobWatch, hub: Hub) -> None:
        self.hub = hub
        self._watch = watch
        self._ready: Ready | None = None
        self._drawn: dict[tuple[str, int, int], SetUpDrawing] = {}
        self._lock = threading.Lock()
        self._reads, self._run = itertools.count(1), secrets.token_hex(8)
        self._squarer = Squarer(hub.changed)

    @property
    def folder(self) -> Path:
        """The job folder."""
        return self._watch.folder

    @property
    def system(self) -> System:
        """Units of the job; metric until it is worked out."""
        return System.METRIC if self._ready is None else _system(self._ready)

    def signature(self) -> object:
        """Otherwise than before when the log or the job have changed, by whomever."""
        of_log = stamps(self.folder / name for name in ("site.sqlite", "site.sqlite-wal"))
        self._look()
        return (*of_log, "" if self._ready is None else self._ready.version)

    def _look(self) -> str:
        """What stands in the way of the job as it is now; keeps it where nothing does."""
        match self._watch.look():
            case Ready() as ready:
                self._ready = ready
                return ""
            case Faulty() as fault:
                return f"The job has a fault: {fault.message}"
            case _:
                return "The job is being worked out."

    def close(self) -> None:
        """Let the pages go, and stop."""
        self.hub.close()
        self._squarer.close()

    def night(self) -> Night:
        """Where the night stands, from the log."""
        return self._read()[0]

    def _read(self) -> tuple[Night, Sequence[Event]]:
        """Where the night stands, and the events that stand."""
        every = events(self.folder, standing=False)
        standing = standing_events(every)
        night = night_of(standing, number=every[-1].number if every else 0)
        return night, standing

    def state(self) -> NightState:
        """Where the night stands, for a page.

        Its `read` is counted before anything is read: all that was so when an earlier one was
        counted is in a later one, whichever of the two reaches the page first.

        Raises
        ------
        JobFolderError
            If the log cannot be read.
        """
        read = next(self._reads)
        way, now, faults = self._look(), datetime.now(UTC), self.hub.window_faults
        night, standing = self._read()
        begun = tuple(one.at for one in standing if one.kind == BEGUN)
        ready, moved = self._ready, designs_moved(standing).get(night.set_up)
        return NightState(
            run=self._run,
            read=read,
            number=night.number,
            version="" if self._ready is None else self._ready.version,
            way=way,
            where=where_words(None if ready is None else ready.results, night.set_up),
            order=()
            if ready is None
            else order_of_work(ready.results, {*night.done, night.set_up}),
            set_up=night.set_up,
            begun="" if night.begun is None else night.begun.isoformat(),
            now=now.isoformat(),
            done=tuple(sorted(night.done)),
            shown=ShownState(
                view=str(night.shown.view),
                paint=night.shown.paint,
                thick=night.shown.thick,
                crosses=night.shown.crosses,
            ),
            means=night.means,
            placed=tuple(
                PlacedMark(name=m.name, x=m.x_px, y=m.y_px, sigma=m.px_sigma) for m in night.placed
            ),
            by_hand=by_hand_state(night, self.system),
            traced=tuple(sorted(night.traced)),
            undo=None
            if night.last is None
            else UndoState(number=night.last.number, words=night.undo_words),
            flash=None
            if night.flash is None
            else FlashState(
                mark=night.flash.mark,
                number=night.flash.number,
                age=(now - night.flash.at).total_seconds(),
            ),
            note=night.note,
            projector=WindowState(open=faults is not None, faults=faults or ()),
            moved=""
            if ready is None
            else moved_here(ready.results, night.set_up, moved, self.system),
            design=0 if moved is None else moved.event,
            stands=() if ready is None else self._squarer.stands(ready, night.set_up),
            square=None if ready is None else self._squarer.of(ready, night.set_up, standing),
            photos=tuple(sorted(map(str, latest_photos(standing, night.set_up)))),
            left=None
            if ready is None
            else left_of_night(ready.results, now, begun, _system(ready), steered=night),
        )

    @property
    def set_ups(self) -> tuple[SetUp, ...]:
        """Of the job; none until it is worked out."""
        return () if self._ready is None else self._ready.results.set_ups.set_ups

    def set_up(self, number: int) -> tuple[Ready, SetUp]:
        """A set-up and the job it is of.

        Raises
        ------
        JobFolderError
            If the job has no such set-up.
        """
        self._look()
        for one in self.set_ups:
            if one.number == number and self._ready is not None:
                return self._ready, one
        raise JobFolderError(
            f"The job has no set-up {number}.",
            remedy=f"Its set-ups run from 1 to {len(self.set_ups)}."
            if self.set_ups
            else "Wait until the job is worked out.",
        )

    def drawing(self, number: int) -> SetUpDrawing:
        """What a set-up's pictures are drawn from.

        Raises
        ------
        JobFolderError
            If the job has no such set-up.
        """
        ready, _ = self.set_up(number)
        moved = designs_moved(events(self.folder)).get(number)
        with self._lock:
            key = (ready.version, number, 0 if moved is None else moved.event)
            if key not in self._drawn:
                made = set_up_drawing(
                    with_design_moved(ready.results, moved),
                    number,
                    version=ready.version,
                    system=_system(ready),
                )
                if made is None:
                    raise ValueError("a set-up that is there is drawn")
                while len(self._drawn) >= _KEPT:
                    del self._drawn[next(iter(self._drawn))]
                self._drawn[key] = made
            return self._drawn[key]

    def pattern(self, number: int, *, negative: bool) -> bytes:
        """The coded pattern of a set-up as PNG, at the projector's own pixels.

        Raises
        ------
        JobFolderError
            If the job has no such set-up.
        """
        _, one = self.set_up(number)
        made = pattern_pixels(
            Pattern(columns=one.columns, rows=one.rows, set_up=number), negative=negative
        )
        return png(np.repeat(made[:, :, None], 3, axis=2))

    def known_lines(self, number: int) -> frozenset[str]:
        """Keys under which lines of a set-up can be ticked."""
        lines = [line for stretch in self.drawing(number).stretches for line in stretch.lines]
        return frozenset(key for line in lines for key in (line.key, *line.once))

    def lay(self, number: int, laid: Sequence[tuple[str, float, float]], key: str) -> None:
        """Crosses were laid on their marks; marks not named stay as they were read.

        Parameters
        ----------
        laid : sequence of (str, float, float)
            Mark and its place in the picture. [px]

        Raises
        ------
        JobFolderError
            If the set-up has no such mark, or the log cannot be written.
        """
        ready, one = self.set_up(number)
        self._known(ready, one, [name for name, _, _ in laid])
        aiming = ready.results.inputs.marks_asked.aiming
        with self._lock:
            night = self.night()
            if night.set_up != number:
                raise _elsewhere(night.set_up)
            marks = {mark.name: mark for mark in night.placed}
            for name, x, y in laid:
                marks[name] = MarkInPicture(name=name, x_px=x, y_px=y, px_sigma=aiming)
            self._record(number, tuple(marks.values()), Means.DRAGGED, key)

    def move_picture(self, number: int, right: float, up: float, key: str) -> None:
        """Move the whole picture of the set-up that is shown, right and up on the wall. [m]

        Raises
        ------
        JobFolderError
            If there is no such set-up, or the log cannot be written.
        StaleJobError
            If another one is shown meanwhile.
        """
        self.set_up(number)
        with self._lock:
            night = self.night()
            if night.set_up != number:
                raise _elsewhere(night.set_up)
            move_picture(self.folder, number, right, up, at=datetime.now(UTC), key=key)

    def fell(
        self, number: int, fell: Sequence[tuple[str, float, float, float, float]], key: str
    ) -> None:
        """Crosses fell beside their marks, as read with a tape.

        Parameters
        ----------
        fell : sequence of (str, float, float, float, float)
            Mark, where its cross was drawn [px], and how far right and up of the mark it
            fell. [m]

        Raises
        ------
        JobFolderError
            If the set-up has no such mark, or the log cannot be written.
        """
        ready, one = self.set_up(number)
        self._known(ready, one, [pair[0] for pair in fell])
        places = {mark.name: mark for mark in ready.results.marks}
        crosses = [
            CrossFell(
                name=name,
                chainage=places[name].chainage,
                level=places[name].level,
                x_px=x,
                y_px=y,
                right=right,
                up=up,
            )
            for name, x, y, right, up in fell
        ]
        marks = marks_from_crosses(
            crosses,
            planned_pose(one),
            mark_sigma=mark_sigma(ready.results),
        )
        with self._lock:
            self._record(number, marks, Means.TYPED, key)

    def drawn_from(self, number: int) -> None:
        """Lines are drawn from a set-up's picture: by which map, the log says from now on.

        Raises
        ------
        JobFolderError
            If there is no such set-up, or the log cannot be written.
        """
        ready, _ = self.set_up(number)
        standing = events(self.folder)
        made = self._squarer.squared(ready, number, standing)
        if made is None or made.on_wall is None:
            return
        with self._lock:
            drawn = moved_since(made, moves_by_hand(standing))
            record_picture(self.folder, drawn, at=datetime.now(UTC), live=True)

    def by_photos(self, number: int, key: str) -> None:
        """Square a set-up by the last photos of it; a retry, or the same photos again, counts once.

        Raises
        ------
        PhotoError
            If they cannot square it; it says why.
        JobFolderError
            If there is no such set-up, or the log cannot be written.
        """
        ready, one = self.set_up(number)
        seen = seen_in_photos(self.folder, ready, one, events(self.folder))
        with self._lock:
            record_photographed(self.folder, seen, at=datetime.now(UTC), key=key)

    def _record(
        self, number: int, marks: Sequence[MarkInPicture | MarkSeen], means: Means, key: str
    ) -> None:
        record_marks_seen(self.folder, number, marks, means=means, at=datetime.now(UTC), key=key)

    def _known(self, ready: Ready, one: SetUp, names: Sequence[str]) -> None:
        known = {mark.name for mark in ready.results.marks if one.number in mark.set_ups}
        for name in names:
            if name not in known:
                raise JobFolderError(
                    f"Set-up {one.number} does not aim at a mark {name}.",
                    remedy="Load the page again; the job may have changed.",
                )


def _elsewhere(number: int) -> StaleJobError:
    return StaleJobError(
        f"The night has moved on to set-up {number} meanwhile.",
        remedy="Nothing was written; look at the picture that is shown now.",
    )


def _system(ready: Ready) -> System:
    return System(ready.job.inputs.title.units)

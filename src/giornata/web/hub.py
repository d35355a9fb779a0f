"""Hub: tells every page of the night at once what has changed."""

from __future__ import annotations

import asyncio
import threading
from dataclasses import dataclass, field
from typing import Any

__all__ = ["Hub", "Listener"]

_PAGES = 100  # whose drags are remembered; a page loaded anew is another one


@dataclass(slots=True, eq=False)
class Listener:
    """A page that listens; what it has not been told yet is kept once, the latest only."""

    loop: asyncio.AbstractEventLoop
    woken: asyncio.Event = field(default_factory=asyncio.Event)
    window: str = ""  # name of the projector's window that it is; "" for another page
    changed: bool = True
    drag: dict[str, Any] | None = None


class Hub:
    """Pages that listen, and whether the projector's window is among them."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._listeners: set[Listener] = set()
        self._faults: dict[str, tuple[str, ...]] = {}
        self._let_go: dict[str, int] = {}  # the last of its drags that a page has ended
        self.closing = False

    def listener(self, window: str = "") -> Listener:
        """A new listener, for the loop that is running."""
        one = Listener(loop=asyncio.get_running_loop(), window=window)
        with self._lock:
            self._listeners.add(one)
        if window:
            self.changed()
        return one

    def leave(self, one: Listener) -> None:
        """A page has gone."""
        with self._lock:
            self._listeners.discard(one)
            # A window whose stream broke may listen anew before the old stream is found dead.
            if one.window not in {other.window for other in self._listeners}:
                self._faults.pop(one.window, None)
        if one.window:
            self.changed()

    def changed(self) -> None:
        """Something is otherwise than before: every page is told."""
        self._wake(None)

    def dragged(self, drag: dict[str, Any]) -> None:
        """A cross is being dragged; a page that is slow is told the latest place only.

        What arrives after the cross was let go is told nobody: the log has it where it was laid.
        """
        with self._lock:
            if drag["seq"] <= self._let_go.get(drag["by"], -1):
                return
        self._wake(drag)

    def let_go(self, by: str, seq: int) -> None:
        """A page has ended its drag; those sent before may still be on their way."""
        with self._lock:
            self._let_go[by] = max(seq, self._let_go.get(by, -1))
            while len(self._let_go) > _PAGES:
                del self._let_go[next(iter(self._let_go))]

    def close(self) -> None:
        """Let every page go."""
        self.closing = True
        self._wake(None)

    @property
    def window_faults(self) -> tuple[str, ...] | None:
        """Why the projector's windows do not show its own pixels; None where none is open."""
        with self._lock:
            windows = {one.window for one in self._listeners if one.window}
            if not windows:
                return None
            faults = [fault for name in sorted(windows) for fault in self._faults.get(name, ())]
        return tuple(dict.fromkeys(faults))

    def window_says(self, window: str, faults: tuple[str, ...]) -> None:
        """Note what a projector's window says of itself."""
        with self._lock:
            if window not in {one.window for one in self._listeners}:
                return
            self._faults[window] = faults
        self.changed()

    def _wake(self, drag: dict[str, Any] | None) -> None:
        with self._lock:
            listeners = tuple(self._listeners)
        for one in listeners:
            try:
                one.loop.call_soon_threadsafe(_tell, one, drag)
            except RuntimeError:  # its loop has ended
                self.leave(one)


def _tell(one: Listener, drag: dict[str, Any] | None) -> None:
    if drag is None:
        one.changed = True
    else:
        one.drag = drag
    one.woken.set()

"""Records of the night: where it stands, as its pages are told."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import System, shown
from giornata.desk.steering import Night
from giornata.web.night_left import LeftState
from giornata.web.night_squared import MarkStands, SquaredState
from giornata.web.records import said

__all__ = [
    "ByHandState",
    "FlashState",
    "NightState",
    "PlacedMark",
    "ShownState",
    "UndoState",
    "WindowState",
    "by_hand_state",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownState:
    """The picture on the wall."""

    view: str = said("What is shown.")
    paint: str = said("Key of the only paint shown; empty for all.")
    thick: bool = said("Whether lines are thicker.")
    crosses: bool = said("Whether the marks' crosses are shown.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedMark:
    """Where a mark lies in the picture."""

    name: str = said("Of the mark.")
    x: float = said("In the projector's pixels. [px]")
    y: float = said("In the projector's pixels. [px]")
    sigma: float = said("Deviation, each way. [px]")


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHandState:
    """How far the whole picture was moved by hand since its marks were read."""

    right: float = said("On the wall, as you face it. [m]")
    up: float = said("On the wall. [m]")
    words: str = said("Both, in the job's units; empty where it was not moved.")


@dataclass(frozen=True, slots=True, kw_only=True)
class UndoState:
    """What undo takes back."""

    number: int = said("Of its event.")
    words: str = said("What it is.")


@dataclass(frozen=True, slots=True, kw_only=True)
class FlashState:
    """A mark to be seen for a moment."""

    mark: str = said("Its name.")
    number: int = said("Of the event.")
    age: float = said("Since it was asked for. [s]")


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowState:
    """The projector's window."""

    open: bool = said("Whether one is open.")
    faults: tuple[str, ...] = said("Why its pixels are not the projector's own.")


@dataclass(frozen=True, slots=True, kw_only=True)
class NightState:
    """Where the night stands."""

    run: str = said("Of the program: another one counts readings anew.")
    read: int = said("Count of readings since the program began; a lower one is older.")
    number: int = said("Of the last event in the log.")
    version: str = said("Of the job; empty until it is worked out.")
    way: str = said("What stands in the way; empty for nothing.")
    where: str = said("The present set-up among those that are projected, in words.")
    order: tuple[int, ...] = said("Their numbers in the order of work that the plan proposes.")
    set_up: int = said("The one the projector stands for; 0 before the first.")
    begun: str = said("When it was begun; empty before the first.")
    now: str = said("The laptop's time.")
    done: tuple[int, ...] = said("Set-ups that are done.")
    shown: ShownState = said("The picture on the wall.")
    means: str = said("How the marks were read last; empty for not yet.")
    placed: tuple[PlacedMark, ...] = said("Where the marks lie in the picture.")
    by_hand: ByHandState = said("How far the picture was moved since.")
    traced: tuple[str, ...] = said("Keys of the lines that are traced.")
    undo: UndoState | None = said("What undo takes back.")
    flash: FlashState | None = said("The mark to be seen for a moment.")
    note: str = said("The last one on this set-up.")
    projector: WindowState = said("The projector's window.")
    moved: str = said("By how much a closure moved the design in it, in words; empty for not.")
    design: int = said("Event of the log that moved the design in this set-up; 0 for none.")
    stands: tuple[MarkStands, ...] = said("Marks as adjusted; others are where the job has them.")
    square: SquaredState | None = said("What the marks say; null until it is worked out.")
    photos: tuple[str, ...] = said("Of what the set-up was photographed: pattern, negative, white.")
    left: LeftState | None = said("What is left of the night; null until the job is there.")


def by_hand_state(night: Night, system: System) -> ByHandState:
    """How far the whole picture was moved by hand, with its words in the job's units."""
    right, up = night.by_hand
    ways = ((right, "right", "left"), (up, "up", "down"))
    words = [
        f"{shown(abs(by), 'm', system)} {on if by > 0 else back}" for by, on, back in ways if by
    ]
    return ByHandState(right=right, up=up, words=" and ".join(words))

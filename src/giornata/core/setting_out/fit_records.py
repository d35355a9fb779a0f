"""Records of a fit: anchors, moves of shapes, changes of gaps, and the spans between anchors."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Anchor", "ArtworkFit", "GapChange", "Move", "Span"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """A chainage of the placed artwork that is to come to another chainage.

    Parameters
    ----------
    name : str
        What it is, for the findings ("left edge of pier P1").
    at : float
        Where the artwork's place lies now. [m]
    to : float
        Where it must come. [m]
    """

    name: str
    at: float
    to: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Shapes that share a stretch of wall, and how far they are moved along it as one.

    Parameters
    ----------
    start, end : float
        Before the move. [m]
    shift : float
        Above 0 to the right. [m]
    shapes : int
        Connected shapes of one paint. [-]
    anchored : bool
        Whether an anchor says where they go.
    """

    start: float
    end: float
    shift: float
    shapes: int
    anchored: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class GapChange:
    """A stretch of wall that no rigid shape enters, and what it takes of the difference.

    Parameters
    ----------
    start, end : float
        Before the fit. [m]
    change : float
        Of its width; below 0 it gets narrower. [m]
    """

    start: float
    end: float
    change: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtworkFit:
    """What a fit did to the artwork.

    Parameters
    ----------
    moves : tuple of Move
        In order along the wall.
    gaps : tuple of GapChange
        In order along the wall.
    bands : tuple of int
        Numbers of the paints of which bands were stretched. [-]
    stretched : float
        By how much the bands' area grew. [m²]
    residual : float
        Violation of the optimum's conditions, as in `GapFit`. [-]
    """

    moves: tuple[Move, ...]
    gaps: tuple[GapChange, ...]
    bands: tuple[int, ...]
    stretched: float
    residual: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """What the stretch between two anchors asks of its gaps.

    Parameters
    ----------
    start, end : float
        Before the fit. [m]
    wanted : float
        By how much it must grow; below 0 shrink. [m]
    room : float
        By how much its gaps can shrink. [m]
    gaps : int
        [-]
    possible : bool
    """

    start: float
    end: float
    wanted: float
    room: float
    gaps: int
    possible: bool

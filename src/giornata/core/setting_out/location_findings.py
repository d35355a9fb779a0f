"""What points, ties and names of places leave to be said."""

from __future__ import annotations

import math
from collections.abc import Sequence

from giornata.core.foundation import Finding, Floats, Severity

__all__ = ["points_disagree", "reversed_places", "ties_missed", "unknown_place"]


def unknown_place(name: str, known: Sequence[str]) -> Finding:
    """A tie that leads nowhere.

    Parameters
    ----------
    name : str
        As the tie gives it.
    known : sequence of str
        What there is along the wall.
    """
    return Finding(
        code="setting_out.unknown_place",
        severity=Severity.STOP,
        subject=f"tie to {name}",
        message=f'There is no "{name}" on the wall; the tie is left out.',
        remedy="Write one of " + ", ".join(known) + ".",
    )


def reversed_places(what: str, turn: float) -> Finding:
    """Places that lie the other way round on the wall.

    Parameters
    ----------
    what : str
        "two points" or "ties".
    turn : float
        By how much the artwork would have to be turned. [degrees]
    """
    return Finding(
        code="setting_out.reversed",
        severity=Severity.STOP,
        subject=f"placement by {what}",
        message=f"They lie the other way round on the wall: the artwork would have to be turned "
        f"by {abs(turn):.0f} degrees or mirrored, and neither is done unasked.",
        remedy="Check that each place of the artwork stands beside its own place of the wall; a "
        "mirrored artwork is asked for with mirrored = true.",
    )


def points_disagree(along: Floats, aim: Floats, miss: Floats, turn: float) -> Finding:
    """Two points that the upright artwork in its own aspect cannot meet.

    Parameters
    ----------
    along : ndarray, shape (2,)
        From the first point to the second in the artwork, upwards above 0. [-]
    aim : ndarray, shape (2,)
        The same on the wall. [m]
    miss : ndarray, shape (2,)
        By how much each is missed. [m]
    turn : float
        That would meet both. [rad]
    """
    drawn = ""
    if along.all() and (aim / along > 0).all():
        wide, high = aim / along
        drawn = (
            f", or be drawn {100 * abs(wide / high - 1):.2f} % "
            f"{'wider' if wide > high else 'narrower'} for its height"
        )
    return Finding(
        code="setting_out.points_disagree",
        severity=Severity.WARN,
        subject="placement by two points",
        message=f"To meet both points the artwork would have to be turned by "
        f"{math.degrees(turn):+.2f} degrees{drawn}; neither is done unasked. Upright and in its "
        f"own aspect it misses each of them by {1000 * abs(miss[0]):.0f} mm along the wall and "
        f"{1000 * abs(miss[1]):.0f} mm in level.",
        remedy="Measure the two points again, take both levels from one level line, or ask for "
        "the turn with turn = true.",
    )


def ties_missed(missed: Sequence[tuple[str, float, float]], *, given: bool) -> Finding:
    """Ties that one size and one place of the artwork cannot meet.

    Parameters
    ----------
    missed : sequence of (str, float, float)
        Name, chainage, and how far to the right of it the artwork's place lies. [m]
    given : bool
        Whether the size was given.
    """
    each = "; ".join(f"{name} at {at:.3f} m by {1000 * off:+.0f} mm" for name, at, off in missed)
    size = "With the size given" if given else "With the size that suits them best"
    return Finding(
        code="setting_out.tie_missed",
        severity=Severity.WARN,
        subject="placement by ties",
        message=f"{size} and its own aspect the artwork misses {len(missed)} of its ties: {each}.",
        remedy="Add [artwork] fit, so that the difference goes into empty ground, or leave out "
        "a tie.",
    )

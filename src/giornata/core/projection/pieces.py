"""The pieces of wall between stretches that nothing reaches, and their plans summed."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.projection.covering import TradeOff
from giornata.core.projection.setups import Unreachable

__all__ = ["reached_pieces", "summed_trade_offs"]

_TOUCH = 1e-5  # m: a piece no wider than rounding is none


def reached_pieces(lost: Sequence[Unreachable], length: float) -> tuple[tuple[float, float], ...]:
    """Start and end of the pieces of wall beside what is lost, from the left. [m]

    Parameters
    ----------
    lost : sequence of Unreachable
        From the left, apart from one another.
    length : float
        Of the wall; above 0. [m]

    Examples
    --------
    >>> from giornata.core.projection.limits import Limit
    >>> reached_pieces([Unreachable(start=0.0, end=2.0, limit=Limit.LIGHT),
    ...                 Unreachable(start=7.0, end=9.5, limit=Limit.VIEW)], 12.0)
    ((2.0, 7.0), (9.5, 12.0))
    """
    begins = [0.0, *(one.end for one in lost)]
    ends = [*(one.start for one in lost), length]
    return tuple((a, b) for a, b in zip(begins, ends, strict=True) if b - a > _TOUCH)


def summed_trade_offs(pieces: Sequence[Sequence[TradeOff]], most: int) -> tuple[TradeOff, ...]:
    """What seams of all pieces cost with the fewest set-ups, and with some more.

    Parameters
    ----------
    pieces : sequence of sequence of TradeOff
        Of each piece, from its fewest set-ups on; none where the artwork was not looked at.
    most : int
        Set-ups more than the fewest up to which it is reckoned. [-]

    Notes
    -----
    Each sum is the least over every way to give the pieces so many set-ups.

    Examples
    --------
    >>> one = [TradeOff(count=2, cost=3.0, seams=(4.0,)), TradeOff(count=3, cost=1.0, seams=(2.0,))]
    >>> two = [TradeOff(count=1, cost=0.5, seams=())]
    >>> [(each.count, each.cost) for each in summed_trade_offs([one, two], 3)]
    [(3, 3.5), (4, 1.5)]
    """
    if not pieces or not all(pieces):
        return ()
    sums = {0: TradeOff(count=0, cost=0.0, seams=())}
    for piece in pieces:
        fewest = piece[0].count
        found: dict[int, TradeOff] = {}
        for more, before in sums.items():
            for one in piece:
                extra = more + one.count - fewest
                cost = before.cost + one.cost
                if extra <= most and (extra not in found or cost < found[extra].cost):
                    found[extra] = TradeOff(
                        count=before.count + one.count,
                        cost=cost,
                        seams=(*before.seams, *one.seams),
                    )
        sums = found
    return tuple(sums[extra] for extra in sorted(sums))

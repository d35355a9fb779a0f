"""What of the wall is not projected: chosen for grid or pounce, or out of the projector's reach."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.documents.display import bare, headed
from giornata.core.documents.flowed_tables import Block
from giornata.core.documents.ruled_table import Column
from giornata.core.documents.tables import Column as TableColumn
from giornata.core.documents.tables import Table
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.core.projection import SetUp

__all__ = ["LeftOut", "leave_out_facts", "left_out", "left_out_block", "left_out_table"]

_SEEN = 0.01  # m: less than this of a set-up's part is not told


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A stretch that is not projected.

    Parameters
    ----------
    start, end : float
        Chainages; the start is the first place that is not drawn by projector. [m]
    way : str
        "grid" or "pounce" where the job has chosen; empty where it has not.
    limit : str
        The limit that bites where the projector does not reach; empty where it does.
    """

    start: float
    end: float
    way: str
    limit: str


def left_out(results: JobResults) -> tuple[LeftOut, ...]:
    """Stretches that are not projected, from the left: those chosen, and those out of reach."""
    length = results.wall.length
    chosen = [
        LeftOut(start=one.start, end=min(one.end, length), way=str(one.way), limit="")
        for one in results.inputs.transfer.stretches
        if one.start < length
    ]
    dark = [
        LeftOut(start=one.start, end=one.end, way="", limit=one.limit.value)
        for one in results.set_ups.unreachable
        if (one.start, one.end) in results.set_ups.unlit
        and not any(s.start <= one.start and one.end <= s.end for s in chosen)
    ]
    return tuple(sorted([*chosen, *dark], key=lambda one: (one.start, one.end)))


def leave_out_facts(
    results: JobResults, one: SetUp, start: float, end: float, system: System
) -> tuple[tuple[str, str], ...]:
    """What a set-up's card says of the stretches inside its part that it does not draw.

    Parameters
    ----------
    one : SetUp
        The set-up.
    start, end : float
        Chainages between which it draws. [m]
    """
    rows = []
    for stretch in left_out(results):
        low = max(stretch.start, start, one.lit_start, 0.0)
        high = min(stretch.end, end, one.lit_end, results.wall.length)
        if high - low >= _SEEN:
            low_text, high_text = (bare(at, system) for at in (low, high))
            unit = "" if system is System.US else " m"
            rows.append(
                (f"Leave out ({stretch.way or 'no reach'})", f"{low_text} to {high_text}{unit}")
            )
    return tuple(rows)


def left_out_block(results: JobResults, system: System) -> tuple[Block, ...]:
    """The stretches as a table of the list of nights; none where all is projected."""
    rows = tuple(
        (
            bare(one.start, system),
            bare(one.end, system),
            one.way or "to be decided: grid or pounce",
            one.limit or "chosen",
        )
        for one in left_out(results)
    )
    if not rows:
        return ()
    columns = (
        Column(head=headed("From", system), bold=True),
        Column(head=headed("To", system), bold=True),
        Column(head="Put on by", align="middle"),
        Column(head="Limit that bites at its start", align="middle"),
    )
    return (Block(name="Not projected", aside="by daylight", columns=columns, rows=rows),)


def left_out_table(results: JobResults) -> Table:
    """The stretches as a table of the pack; no row where all is projected."""
    return Table(
        name="not-projected",
        title="Stretches that are not projected",
        columns=(
            TableColumn(head="From chainage", unit="m", place=True),
            TableColumn(head="To chainage", unit="m", place=True),
            TableColumn(head="Put on by"),
            TableColumn(head="Limit that bites at its start"),
        ),
        rows=tuple(
            (one.start, one.end, one.way or "to be decided", one.limit or "chosen")
            for one in left_out(results)
        ),
    )

"""What of the wall is not projected: chosen for grid or pounce, or out of the projector's reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from giornata.core.documents.display import bare, headed
from giornata.core.documents.flowed_tables import Block
from giornata.core.documents.ruled_table import Column
from giornata.core.documents.tables import Column as TableColumn
from giornata.core.documents.tables import Table
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.core.projection import SetUp, cells
from giornata.core.setting_out import ControlMark

__all__ = [
    "LeftOut",
    "PutOn",
    "leave_out_facts",
    "left_out",
    "left_out_block",
    "left_out_table",
    "marks_of_use",
    "put_on",
    "set_ups_aiming",
]

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


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOn:
    """How a set-up's part of the wall is put on.

    Parameters
    ----------
    projected : bool
        Whether it falls into a night, or will.
    out : tuple of (float, float, str)
        Chainages inside its part that it does not draw, and the way; "" where that is not chosen
        because no place of the projector reaches it. [m]
    """

    projected: bool
    out: tuple[tuple[float, float, str], ...]

    @property
    def other_ways(self) -> str:
        """By what else than the projector ("by grid", "by grid and out of reach"); "" for none."""
        ways = dict.fromkeys(f"by {way}" if way else "out of reach" for _, _, way in self.out)
        if not ways and not self.projected:
            return "nothing to draw"
        return " and ".join(ways)

    @property
    def words(self) -> str:
        """For a table ("by projector", "by projector, in part by grid", "by grid")."""
        if not self.projected:
            return self.other_ways
        return f"by projector, in part {self.other_ways}" if self.out else "by projector"

    @property
    def left_out(self) -> float:
        """Width along the wall that it does not draw. [m]"""
        return sum(end - start for start, end, _ in self.out)


def put_on(results: JobResults) -> dict[int, PutOn]:
    """How the part of each set-up is put on, by its number."""
    set_ups, away = results.set_ups.set_ups, results.unprojected
    stretches = left_out(results)
    parts = cells(set_ups, results.design.seams) if stretches else ()
    found = {one.number: PutOn(projected=one.number not in away, out=()) for one in set_ups}
    for one, part in zip(set_ups, parts, strict=False):
        start, _, end, _ = part.bounds
        out = tuple(_inside(stretches, one, start, end, results.wall.length))
        found[one.number] = PutOn(projected=one.number not in away, out=out)
    return found


def _inside(
    stretches: Sequence[LeftOut], one: SetUp, start: float, end: float, length: float
) -> Iterator[tuple[float, float, str]]:
    """What of stretches lies in the part of the wall that a set-up draws."""
    for stretch in stretches:
        low = max(stretch.start, start, one.lit_start, 0.0)
        high = min(stretch.end, end, one.lit_end, length)
        if high - low >= _SEEN:
            yield low, high, stretch.way


def set_ups_aiming(mark: ControlMark, ways: Mapping[int, PutOn]) -> str:
    """Numbers of the set-ups that aim at a mark, with how those are put on that do not.

    Parameters
    ----------
    ways : mapping of int to PutOn
        As `put_on` gives them.
    """
    return ", ".join(
        str(n) if ways[n].projected else f"{n} ({ways[n].other_ways})" for n in mark.set_ups
    )


def marks_of_use(results: JobResults) -> tuple[ControlMark, ...]:
    """Marks without those that only set-ups would aim at that are not projected."""
    away = results.unprojected
    return tuple(m for m in results.marks if not m.set_ups or not set(m.set_ups) <= away)


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
    for low, high, way in _inside(left_out(results), one, start, end, results.wall.length):
        low_text, high_text = (bare(at, system) for at in (low, high))
        unit = "" if system is System.US else " m"
        rows.append((f"Leave out ({way or 'no reach'})", f"{low_text} to {high_text}{unit}"))
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

"""Projector, grid and pounce side by side, and the stretches that are not projected."""

from __future__ import annotations

from giornata.cli.report import Column, Fact, Facts, Report, Section, Table
from giornata.core.job import JobResults

__all__ = ["transfer_page"]


def transfer_page(results: JobResults, written: tuple[str, int] | None = None) -> Report:
    """Hours of each set-up's part by each way, and of the stretches chosen.

    Parameters
    ----------
    written : tuple of (str, int) or None
        File that sheets were written into, and how many.
    """
    sections: list[Section] = []
    if written is not None:
        sections.append(
            Facts(
                facts=(
                    Fact(key="file", name="sheets in", value=written[0], whole=True),
                    Fact(key="sheets", name="sheets", value=written[1]),
                )
            )
        )
    else:
        sections.append(_ways(results))
    transfers = results.design.transfers
    if transfers:
        sections.append(
            Table(
                key="stretches",
                title="Not projected",
                columns=(
                    Column(key="from", head="from", unit="m", taped=True),
                    Column(key="to", head="to", unit="m", taped=True),
                    Column(key="way", head="way"),
                    Column(key="edge", head="edge", unit="m", digits=1),
                    Column(key="time", head="takes", unit="s"),
                ),
                rows=tuple(
                    (one.stretch.start, one.stretch.end, str(one.stretch.way), one.edge, one.time)
                    for one in transfers
                ),
            )
        )
    return Report(
        title=f"{results.inputs.title.name}: transfer without the projector",
        sections=tuple(sections),
        rooms=("works.transfer_offered", "works.transfer_off_wall", "documents.too_many_tiles"),
    )


def _ways(results: JobResults) -> Table:
    set_ups = results.set_ups.set_ups
    return Table(
        key="ways",
        title="Hours by each way",
        columns=(
            Column(key="set_up", head="set-up"),
            Column(key="light", head="light"),
            Column(key="edge", head="edge", unit="m", digits=1),
            Column(key="projected", head="projected", unit="s"),
            Column(key="grid", head="by grid", unit="s"),
            Column(key="pounce", head="by pounce", unit="s"),
        ),
        rows=tuple(
            (
                one.set_up,
                "enough" if set_ups[one.set_up - 1].light.passes else "too little",
                results.design.traced[one.set_up - 1],
                one.projected,
                one.grid,
                one.pounce,
            )
            for one in results.other_ways
        ),
        none="Nothing is to be traced.",
    )

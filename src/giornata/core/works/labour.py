"""Hours from areas and edges: what primer, base, filling and cutting in take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.artwork import Role
from giornata.core.foundation import Assumption, Figure, Finding, Severity, derived, given
from giornata.core.works.quantities import CoatCounts, PaintQuantity, ground_of
from giornata.core.works.terms import LabourRates, LabourTerms

__all__ = [
    "AREA_RATE", "EDGE_RATE", "Labour", "LabourLine", "Task", "labour_hours", "rate_findings",
    "working_time",
]  # fmt: skip

AREA_RATE = Assumption(
    name="area painted in an hour, one coat",
    value=15 / 3600,
    unit="m²/s",
    source="common practice, no source: roller on textured masonry 10 to 20 m²/h; the range runs "
    "from brush on brick (0.04 h/ft², a brick-paint supplier) to a cost bank's emulsion on "
    "smooth walls (Junta de Andalucía, 13IPP00001)",
    usual=(2.3 / 3600, 45 / 3600),
)
EDGE_RATE = Assumption(
    name="edge cut in an hour, one coat",
    value=15 / 3600,
    unit="m/s",
    source="common practice, no source: freehand on block or roughcast 8 to 20 m/h, smooth 15 to "
    "40; a contractors' forum gives 66 m/h for straight interior edges",
    usual=(8 / 3600, 66 / 3600),
)


class Task(StrEnum):
    """Kinds of work on the wall."""

    SET_UP = "set-up"
    PRIMER = "primer"
    BASE = "base coat"
    FILL = "fill"
    EDGE = "edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourLine:
    """Person-time of one task.

    Parameters
    ----------
    task : Task
        Its kind.
    key, name : str
        Of the paint; both empty where the task says it all: set-up and primer.
    coats : int
        0 for the set-up. [-]
    duration : Figure
        Of all people together. [s]
    """

    task: Task
    key: str
    name: str
    coats: int
    duration: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """Person-time of an option in a colourway.

    Parameters
    ----------
    lines : tuple of LabourLine
        In order of work.
    total : Figure
        [s]
    base_share : Figure
        Of the base coats in the total. [-]
    edge_share : Figure
        Of cutting in in the total. [-]
    """

    lines: tuple[LabourLine, ...]
    total: Figure
    base_share: Figure
    edge_share: Figure

    def of(self, task: Task, key: str | None = None) -> float:
        """Person-time of a task, of one paint or of all. [s]"""
        return sum(
            float(line.duration)
            for line in self.lines
            if line.task is task and (key is None or line.key == key)
        )


def working_time(quantity: float, coats: int, rate: float) -> float:
    """Person-time for an area or an edge in a number of coats. [s]

    Parameters
    ----------
    quantity : float
        0 or more. [m²] or [m]
    coats : int
        0 or more. [-]
    rate : float
        Of one person per coat, above 0. [m²/s] or [m/s]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> round(working_time(167.52, 2, 15 / 3600) / 3600, 1)   # h
    22.3
    """
    if not (quantity >= 0 and coats >= 0 and rate > 0):
        raise ValueError("a quantity and coats are 0 or more, a rate above 0")
    return quantity * coats / rate


def labour_hours(
    *,
    net_area: Figure,
    quantities: Sequence[PaintQuantity],
    coats: CoatCounts,
    terms: LabourTerms,
) -> Labour:
    """Hours from areas and edges at the painter's rates. [s]

    Parameters
    ----------
    net_area : Figure
        The whole net wall: primer and base go over all of it. [m²]
    quantities : sequence of PaintQuantity
        The option's paints; exactly one is the ground.
    coats : CoatCounts
        Of the option in a colourway.
    terms : LabourTerms
        Rates and set-up.

    Notes
    -----
    H = A × n_primer ÷ r_primer + A × n_base ÷ r_base + Σ A_p × n_p ÷ r_fill
    + Σ e_p × n_p ÷ r_edge + set-up. An edge cut with the ground paint takes the base's coats.
    """
    rates = terms.rates
    ground = ground_of(quantities)
    lines: list[LabourLine] = []
    if terms.set_up > 0:
        once = given("set-up", terms.set_up, "s", source="job file, labour.set_up")
        lines.append(
            LabourLine(task=Task.SET_UP, key="", name="", coats=0, duration=once)
        )  # fmt: skip

    def add(task: Task, key: str, name: str, quantity: Figure, count: int, rate: float) -> None:
        if count and float(quantity) > 0:
            duration = _line_time(task, name, quantity, count, rate)
            lines.append(LabourLine(task=task, key=key, name=name, coats=count, duration=duration))

    add(Task.PRIMER, "", "", net_area, coats.primer, rates.primer)
    add(Task.BASE, ground.key, ground.name, net_area, coats.base, rates.base)
    for quantity in quantities:
        if quantity.role is Role.FIGURE:
            count = coats.of(quantity.key)
            add(Task.FILL, quantity.key, quantity.name, quantity.area, count, rates.fill)
        else:
            count = coats.base
        add(Task.EDGE, quantity.key, quantity.name, quantity.cut_edge, count, rates.edge)
    return _summed(lines)


def rate_findings(rates: LabourRates) -> tuple[Finding, ...]:
    """Working rates outside the range ever seen, as when a unit was mistaken."""
    findings = []
    for name, rate, expected, unit in (
        ("primer", rates.primer, AREA_RATE, "m²/h"),
        ("base", rates.base, AREA_RATE, "m²/h"),
        ("fill", rates.fill, AREA_RATE, "m²/h"),
        ("edge", rates.edge, EDGE_RATE, "m/h"),
    ):
        assert expected.usual is not None
        low, high = expected.usual
        if not low * (1 - 1e-9) <= rate <= high * (1 + 1e-9):
            findings.append(
                Finding(
                    code="works.rate_unusual",
                    severity=Severity.WARN,
                    subject=f"labour, {name}",
                    message=f"{3600 * rate:.3g} {unit} per coat and person is outside "
                    f"{3600 * low:.3g} to {3600 * high:.3g} {unit}, the range seen.",
                    remedy="Check the figure and its unit; time yourself on a few square metres.",
                )
            )
    return tuple(findings)


def _line_time(task: Task, name: str, quantity: Figure, coats: int, rate: float) -> Figure:
    key = {Task.PRIMER: "primer", Task.BASE: "base", Task.FILL: "fill", Task.EDGE: "edge"}[task]
    what = "edge" if task is Task.EDGE else "area"
    return derived(
        f"{task.value}, {name}" if name else task.value,
        working_time(float(quantity), coats, rate),
        "s",
        method="works.working_time v1",
        formula=f"{what} × coats ÷ rate",
        parts=(
            quantity,
            given("coats", float(coats), "-", source="job file, or the colourway"),
            given(
                f"{key} rate", rate, "m/s" if task is Task.EDGE else "m²/s",
                source=f"job file, labour.{key}",
            ),
        ),
    )  # fmt: skip


def _summed(lines: Sequence[LabourLine]) -> Labour:
    parts = tuple(line.duration for line in lines)
    method = "works.labour_hours v1"
    nothing = given("no work", 0.0, "s", source="no paint has an area and a coat")
    whole = derived(
        "hours", sum(map(float, parts)), "s", method=method,
        formula="set-up + Σ area × coats ÷ rate + Σ edge × coats ÷ rate", parts=parts or (nothing,),
    )  # fmt: skip

    def share(name: str, task: Task) -> Figure:
        chosen = tuple(line.duration for line in lines if line.task is task)
        return derived(
            name, sum(map(float, chosen)) / float(whole) if float(whole) else 0.0, "-",
            method=method, formula=f"{task.value} ÷ hours", parts=(*chosen, whole),
        )  # fmt: skip

    return Labour(
        lines=tuple(lines),
        total=whole,
        base_share=share("share of the base coats", Task.BASE),
        edge_share=share("share of cutting in", Task.EDGE),
    )

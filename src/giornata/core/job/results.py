"""All that is derived from a job, and the names its figures go by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from giornata.core.artwork import Colourway, FlatArtwork, Option
from giornata.core.foundation import Figure, Finding
from giornata.core.job.inputs import JobInputs
from giornata.core.pricing import Candidate, ExtraCoat, OptionRow, PriceFloor, Quote
from giornata.core.projection import Seam, SetUp, SetUpPlan
from giornata.core.setting_out import ControlMark, PlacedArtwork, SeamMiss
from giornata.core.site import StandingRoom
from giornata.core.survey import DevelopedWall, hidden_area, painted_area
from giornata.core.takeoff import Making, TakeOff, making_figures
from giornata.core.works import (
    NightPlan,
    PowerPlan,
    Preparation,
    StretchHours,
    TransferHours,
    WorkPlan,
    set_ups_left_out,
)

__all__ = ["Design", "JobResults", "Scheme", "named_figures"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Design:
    """One option laid on the wall and taken off; the same in every colourway.

    Parameters
    ----------
    flat : FlatArtwork
        Visible regions of the artwork, what is decided carried out.
    seams : tuple of Seam
        Where neighbouring columns of set-ups meet.
    traced : tuple of Figure
        Edge to trace in each set-up. [m]
    nights : NightPlan or None
        None where there is nothing to trace.
    transfers : tuple of StretchHours
        Stretches that are not projected.
    """

    option: Option
    flat: FlatArtwork
    placed: PlacedArtwork
    take_off: TakeOff
    making: Making
    seams: tuple[Seam, ...]
    traced: tuple[Figure, ...]
    nights: NightPlan | None
    transfers: tuple[StretchHours, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scheme:
    """One option in one colourway: its works and its price.

    Parameters
    ----------
    floor : PriceFloor or None
        The least price that loses no money; None where an hour's earning was not decided.
    extra_coats : tuple of ExtraCoat
        What one more coat of each paint would change.
    """

    candidate: Candidate
    row: OptionRow
    floor: PriceFloor | None
    extra_coats: tuple[ExtraCoat, ...]

    @property
    def option(self) -> Option:
        """The option."""
        return self.candidate.option

    @property
    def colourway(self) -> Colourway:
        """The colourway."""
        return self.candidate.colourway

    @property
    def plan(self) -> WorkPlan:
        """Its works."""
        return self.candidate.plan

    @property
    def quote(self) -> Quote:
        """Its price."""
        return self.candidate.quote

    @property
    def key(self) -> str:
        """Option and colourway ("A.slack")."""
        return f"{self.option.key}.{self.colourway.key}"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JobResults:
    """All that is derived from a job.

    Parameters
    ----------
    designs : tuple of Design
        One for each option.
    schemes : tuple of Scheme
        Every option in every colourway, options first.
    rooms : tuple of StandingRoom
        Standing room before the wall; none where nothing was recorded of it.
    set_ups : SetUpPlan
        Of the projector, the same for every option.
    marks : tuple of ControlMark
        In order along the wall.
    mark_errors : tuple of float
        For each set-up: how far its picture, squared on its marks, may be off at its worst
        place, twice the standard error; infinite below four marks. [m]
    seam_misses : tuple of SeamMiss
        Row by row along the wall: how far each picture and the next may miss one another; then each
        and the one above it.
    preparation : Preparation or None
        Readiness of the wall; None where the job says nothing of it.
    power : PowerPlan or None
        Of the chosen option's longest night; None where there is nothing to trace.
    other_ways : tuple of TransferHours
        Of each set-up of the chosen option by projector, grid and pounce.
    findings : tuple of Finding
        Of all steps, each once, in the order of the job.
    """

    inputs: JobInputs
    wall: DevelopedWall
    designs: tuple[Design, ...]
    schemes: tuple[Scheme, ...]
    rooms: tuple[StandingRoom, ...]
    set_ups: SetUpPlan
    marks: tuple[ControlMark, ...]
    mark_errors: tuple[float, ...]
    seam_misses: tuple[SeamMiss, ...]
    preparation: Preparation | None
    power: PowerPlan | None
    other_ways: tuple[TransferHours, ...]
    findings: tuple[Finding, ...]

    @property
    def design(self) -> Design:
        """The chosen option's design."""
        return next(d for d in self.designs if d.option.key == self.inputs.option)

    @property
    def projected(self) -> tuple[SetUp, ...]:
        """The set-ups that are projected, in order of number: those that fall into a night."""
        nights = self.design.nights
        worked = () if nights is None else nights.nights
        return tuple(
            one for one in self.set_ups.set_ups if any(one.number in group for group in worked)
        )

    @property
    def unprojected(self) -> frozenset[int]:
        """Numbers of the set-ups that fall into no night: by grid or pounce, or out of reach. [-]

        None of them where the whole wall is left to the projector, be there nights or not yet.
        """
        stretches = self.inputs.transfer.stretches
        return set_ups_left_out(self.set_ups, stretches, self.design.nights)

    @property
    def scheme(self) -> Scheme:
        """The chosen option in the chosen colourway."""
        return self.scheme_of(self.inputs.option, self.inputs.colourway)

    def scheme_of(self, option: str, colourway: str) -> Scheme:
        """An option in a colourway, by their keys.

        Raises
        ------
        ValueError
            If the job has no such scheme.
        """
        for scheme in self.schemes:
            if scheme.option.key == option and scheme.colourway.key == colourway:
                return scheme
        raise ValueError(f"no option {option!r} in colourway {colourway!r}")


def named_figures(results: JobResults) -> dict[str, Figure]:
    """Every figure of a job by its dotted name ("wall.net_area", "A.ink.area").

    The names are for `explain`, the pages and ``pack.json``; they do not change with the units.
    """
    return dict(
        [
            *_wall_figures(results.wall),
            *(pair for design in results.designs for pair in _design_figures(design, results)),
            *(pair for scheme in results.schemes for pair in _scheme_figures(scheme)),
            *_projection_figures(results),
        ]
    )


_Named = Iterator[tuple[str, Figure]]


def _wall_figures(wall: DevelopedWall) -> _Named:
    yield "wall.length", wall.wall_length
    yield "wall.gross_area", wall.gross_area
    yield "wall.openings_area", wall.openings_area
    yield "wall.net_area", wall.net_area
    if wall.returns_area is not None:
        yield "wall.returns_area", wall.returns_area
    if wall.form_factor is not None:
        yield "wall.form_factor", wall.form_factor
    surface = painted_area(wall)
    if surface is not wall.net_area:
        yield "wall.painted_area", surface
    if wall.hidden:
        yield "wall.hidden_area", hidden_area(wall)


def _design_figures(design: Design, results: JobResults) -> _Named:
    key, off = design.option.key, design.take_off
    yield f"{key}.base", off.base
    yield f"{key}.ground", off.ground
    yield f"{key}.figure", off.figure
    yield f"{key}.edge", off.edge
    for paint in off.paints:
        for name in ("area", "edge", "cut", "border", "rolled", "brushed"):
            yield f"{key}.{paint.key}.{name}", getattr(paint, name)
        if paint.cut_over_ribs is not None:
            yield f"{key}.{paint.key}.cut_over_ribs", paint.cut_over_ribs
    keys = {paint.number: paint.key for paint in off.paints}
    for pair in off.pairs:
        yield f"{key}.{keys[pair.first]}+{keys[pair.second]}.edge", pair.length
    for name, figure in making_figures(design.making, off, results.inputs.tools):
        yield f"{key}.{name}", figure


def _scheme_figures(scheme: Scheme) -> _Named:
    key, plan, quoted = scheme.key, scheme.plan, scheme.quote
    for line in plan.order.lines:
        yield f"{key}.paint.{line.layer.name.lower()}.{line.key}", line.need
    if plan.order.volume is not None:
        yield f"{key}.paint", plan.order.volume
    if plan.order.cost is not None:
        yield f"{key}.paint_cost", plan.order.cost
    yield f"{key}.hours", scheme.row.hours
    yield f"{key}.painting_hours", plan.labour.total
    yield f"{key}.days", plan.days.work
    yield f"{key}.calendar_days", plan.days.calendar
    yield f"{key}.booked_days", plan.days.booked
    if plan.lift is not None:
        yield f"{key}.lift_days", plan.lift.days
        yield f"{key}.lift_cost", plan.lift.cost
    for number, quote_line in enumerate(quoted.lines, start=1):
        yield f"{key}.line{number}", quote_line.amount
    yield f"{key}.contingency", quoted.contingency
    yield f"{key}.tax", quoted.tax
    yield f"{key}.price", quoted.before_tax
    yield f"{key}.total", quoted.total
    yield f"{key}.per_square_metre", quoted.per_square_metre
    yield f"{key}.per_square_foot", quoted.per_square_foot
    if quoted.design is not None:
        yield f"{key}.design", quoted.design
    if quoted.agreed.change is not None:
        yield f"{key}.change_order", quoted.agreed.change.amount
    if quoted.agreed.concepts is not None:
        yield f"{key}.design_with_concepts", quoted.agreed.concepts.design
        yield f"{key}.total_with_concepts", quoted.agreed.concepts.total
    if scheme.row.per_hour is not None:
        yield f"{key}.per_hour", scheme.row.per_hour
    if scheme.floor is not None:
        yield f"{key}.least_price", scheme.floor.floor
        yield f"{key}.over_least_price", scheme.floor.margin
        yield f"{key}.earned_per_hour", scheme.floor.earned_per_hour
    for stage_number, stage in enumerate(quoted.stages, start=1):
        yield f"{key}.stage{stage_number}", stage.amount
    for extra in scheme.extra_coats:
        more = f"{key}.one_more_coat.{extra.layer.name.lower()}.{extra.key}"
        yield f"{more}.hours", extra.hours
        yield f"{more}.paint", extra.volume
        if extra.cost is not None:
            yield f"{more}.cost", extra.cost


def _projection_figures(results: JobResults) -> _Named:
    for figure in results.set_ups.figures:
        yield f"set_ups.{figure.name.replace(' ', '_')}", figure
    for way in results.other_ways:
        yield f"set_up{way.set_up}.grid", way.grid
        yield f"set_up{way.set_up}.pounce", way.pounce
    for number, transfer in enumerate(results.design.transfers, start=1):
        yield f"transfer{number}.time", transfer.time
    if results.power is not None:
        for name in ("load", "energy", "current", "printed_time", "battery_time", "batteries"):
            figure = getattr(results.power, name)
            if figure is not None:
                yield f"power.{name}", figure
    for design in results.designs:
        for number, edge in enumerate(design.traced, start=1):
            yield f"{design.option.key}.set_up{number}.edge", edge
        if design.nights is not None:
            yield f"{design.option.key}.nights.duration", design.nights.duration
            yield f"{design.option.key}.nights.person_time", design.nights.person_time
            if design.nights.closing is not None:
                yield f"{design.option.key}.nights.closing_edge", design.nights.closing.edge
            for number, time in enumerate(design.nights.set_ups, start=1):
                yield f"{design.option.key}.set_up{number}.time", time

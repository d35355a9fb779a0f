"""Decisions about paint, hours and access."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from giornata.core.foundation import Assumption, Figure, Money, given

__all__ = [
    "AccessTerms", "Coating", "LabourRates", "LabourTerms", "NightTerms", "PaintTerms",
    "PastJob", "Tin", "decided",
]  # fmt: skip


def decided(key: str, value: float | None, assumption: Assumption) -> Figure:
    """The painter's decision as a given figure, or the house default where none was made.

    Parameters
    ----------
    key : str
        Where the job file says it ("paint.waste").
    value : float or None
        In the assumption's unit; None where nothing was decided. [assumption's unit]
    assumption : Assumption
        The house default.
    """
    if value is None:
        return assumption.figure()
    return given(assumption.name, value, assumption.unit, source=f"job file, {key}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tin:
    """A tin on the supplier's list.

    Parameters
    ----------
    volume : float
        Above 0. [m³]
    price : Money
        0 or more.
    """

    volume: float
    price: Money

    def __post_init__(self) -> None:
        if not (0 < self.volume < float("inf")) or self.price.amount < 0:
            raise ValueError("a tin has a volume above 0 and a price of 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Coating:
    """Coats and spreading rate of one coating.

    Parameters
    ----------
    coats : int
        0 or more. [-]
    spreading_rate : float
        Per coat, above 0. [m²/m³]
    """

    coats: int
    spreading_rate: float

    def __post_init__(self) -> None:
        if self.coats < 0 or not self.spreading_rate > 0:
            raise ValueError("coats are 0 or more and a spreading rate is above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintTerms:
    """How paint is reckoned.

    Parameters
    ----------
    figure : Coating
        Of each figure paint, unless a colourway says otherwise.
    base, primer : Coating
        Over the whole net wall; 0 coats where there is none.
    waste : float or None
        Fraction added on top (trays, sleeves, tins), 0 or more. [-]
    loss : float or None
        Fraction that never reaches the wall (wind, spray): the need is divided by 1 - loss;
        0 to below 1. [-]
    reserve : float or None
        Fraction kept for touch-up, on top of waste. [-]
    price : Money or None
        Of one litre, where no tins are listed.
    tins, primer_tins : tuple of Tin
        The supplier's list; primer is bought from the paint list where it has none of its own.

    Notes
    -----
    None stands for the house default (`paint.WASTE`, `paint.LOSS`, `paint.RESERVE`).
    """

    figure: Coating
    base: Coating
    primer: Coating
    waste: float | None = None
    loss: float | None = None
    reserve: float | None = None
    price: Money | None = None
    tins: tuple[Tin, ...] = ()
    primer_tins: tuple[Tin, ...] = ()

    def __post_init__(self) -> None:
        shares = [s for s in (self.waste, self.loss, self.reserve) if s is not None]
        if shares and min(shares) < 0:
            raise ValueError("waste, loss and reserve are 0 or more")
        if shares and max(shares) > 1:
            raise ValueError("waste, loss and reserve are at most 100 %")
        if self.loss is not None and not self.loss < 1:
            raise ValueError("loss is below 1: some of the paint reaches the wall")


@dataclass(frozen=True, slots=True, kw_only=True)
class PastJob:
    """What a finished job took.

    Parameters
    ----------
    name : str
        Of the job.
    area : float
        Of the figure, above 0. [m²]
    edge : float
        Cut in, each edge once; 0 or more. [m]
    duration : float
        Time of all people together, base coats and setting up included; above 0. [s]
    """

    name: str
    area: float
    edge: float
    duration: float

    def __post_init__(self) -> None:
        if not (self.area > 0 and self.edge >= 0 and self.duration > 0):
            raise ValueError("a past job has an area and a duration above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourRates:
    """Working rates of one person per coat.

    Parameters
    ----------
    primer, base, fill : float
        Area rolled or brushed, above 0. [m²/s]
    edge : float
        Edge cut in, above 0. [m/s]
    """

    primer: float
    base: float
    fill: float
    edge: float

    def __post_init__(self) -> None:
        if not min(self.primer, self.base, self.fill, self.edge) > 0:
            raise ValueError("a working rate is above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourTerms:
    """Who works how long, at what rates.

    Parameters
    ----------
    rates : LabourRates
        Of one person.
    people : int
        At least 1. [-]
    productive : float or None
        Painting time of one person in a day, above 0; None is `days.PRODUCTIVE`. [s]
    usable_days : float or None
        Share of working days the weather leaves, above 0 to 1; None is `days.USABLE`. [-]
    set_up : float
        Person-time once a job, 0 or more. [s]
    past : tuple of PastJob
        The painter's own finished jobs.
    hour : Money or None
        What an hour of one person must earn; None where not decided.
    """

    rates: LabourRates
    people: int = 2
    productive: float | None = None
    usable_days: float | None = None
    set_up: float = 0.0
    past: tuple[PastJob, ...] = ()
    hour: Money | None = None

    def __post_init__(self) -> None:
        if self.people < 1 or not self.set_up >= 0:
            raise ValueError("people are 1 or more and the set-up takes 0 or more")
        if self.productive is not None and not 0 < self.productive <= 24 * 3600:
            raise ValueError("productive time in a day is above 0 and at most 24 h")
        if self.usable_days is not None and not 0 < self.usable_days <= 1:
            raise ValueError("the share of usable days is above 0 and at most 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessTerms:
    """When a lift is needed and what its hire costs.

    Parameters
    ----------
    lift_above : float
        Wall height above which the painter wants a lift; above 0. [m]
    day, week, four_weeks : Money
        Hire for 1, 5 and 20 working days; above 0.
    delivery : Money
        One way.
    """

    lift_above: float
    day: Money
    week: Money
    four_weeks: Money
    delivery: Money

    def __post_init__(self) -> None:
        if not self.lift_above > 0:
            raise ValueError("the height without a lift is above 0")
        if min(self.day.amount, self.week.amount, self.four_weeks.amount) <= 0:
            raise ValueError("hire for a day, a week and four weeks is above 0")
        if self.delivery.amount < 0:
            raise ValueError("delivery is 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class NightTerms:
    """Working at night with the projector; None stands for the house default of `nights`.

    Parameters
    ----------
    set_up : float or None
        Moving and aiming the projector once; 0 or more. [s]
    tracing : float or None
        Edge drawn by one tracer; above 0. [m/s]
    hours : float or None
        Working time in a night; above 0. [s]
    laptop : float or None
        Power of the laptop; 0 or more. [W]
    first : date or None
        Evening of the first night; the others follow day by day.
    dates : tuple of date
        Evenings decided on, in place of a first one.
    usable_from : float or None
        Light of sky and moon on the wall up to which one projects; None reckons it from the
        images. Above 0. [lx]
    """

    set_up: float | None = None
    tracing: float | None = None
    hours: float | None = None
    laptop: float | None = None
    first: date | None = None
    dates: tuple[date, ...] = ()
    usable_from: float | None = None

    def __post_init__(self) -> None:
        if self.first is not None and self.dates:
            raise ValueError("nights have a first evening or a list of dates, not both")
        if len(set(self.dates)) < len(self.dates):
            raise ValueError("an evening is listed twice")
        if self.usable_from is not None and not self.usable_from > 0:
            raise ValueError("the light up to which one projects is above 0")
        if any(value is not None and not value > 0 for value in (self.tracing, self.hours)):
            raise ValueError("tracing speed and the night's hours are above 0")
        if any(value is not None and not value >= 0 for value in (self.set_up, self.laptop)):
            raise ValueError("set-up time and laptop power are 0 or more")

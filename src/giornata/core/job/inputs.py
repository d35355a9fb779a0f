"""All that a job's results are derived from."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, tzinfo

from giornata.core.artwork import Colourway, Decision, Drawing, Option, Paint, Wording
from giornata.core.pricing import PriceTerms
from giornata.core.projection import Projector, Stand
from giornata.core.setting_out import ArtworkPlacement, MarkTerms
from giornata.core.site import StandingStretch
from giornata.core.survey import WallSurvey
from giornata.core.takeoff import BrushAndRoller
from giornata.core.works import (
    AccessTerms,
    LabourTerms,
    NightTerms,
    PaintTerms,
    PowerTerms,
    PreparationTerms,
    TransferTerms,
)

__all__ = ["JobInputs", "JobTitle", "Site"]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTitle:
    """What every paper prints: name, place, client, date, units ("metric" or "us"), currency."""

    name: str
    place: str
    client: str
    units: str
    currency: str
    date: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where the wall stands; None where it is not known.

    Parameters
    ----------
    latitude, longitude : float or None
        North and east above 0. [rad]
    facing : float or None
        Direction the painted face looks, from true north by east. [rad]
    zone : tzinfo or None
        Of its clocks.
    """

    latitude: float | None = None
    longitude: float | None = None
    facing: float | None = None
    zone: tzinfo | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobInputs:
    """Survey, artwork and decisions of one job."""

    title: JobTitle
    site: Site
    survey: WallSurvey
    drawing: Drawing
    placement: ArtworkPlacement
    tools: BrushAndRoller
    paints: tuple[Paint, ...]
    options: tuple[Option, ...]
    colourways: tuple[Colourway, ...]
    option: str
    colourway: str
    paint: PaintTerms
    labour: LabourTerms
    access: AccessTerms | None
    projector: Projector
    stand: Stand
    nights: NightTerms
    price: PriceTerms
    other_projectors: tuple[Projector, ...] = ()
    standing: tuple[StandingStretch, ...] = ()
    preparation: PreparationTerms | None = None
    power: PowerTerms | None = None
    transfer: TransferTerms = field(default_factory=TransferTerms)
    marks_asked: MarkTerms = field(default_factory=MarkTerms)
    mappings: tuple[Decision, ...] = ()
    wording: Wording = field(default_factory=Wording)

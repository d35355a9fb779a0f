"""All that a job's results are derived from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from giornata.core.artwork.drawing import Drawing
from giornata.core.artwork.palette import Colourway, Option, Paint
from giornata.core.pricing.terms import PriceTerms
from giornata.core.projection.projector import Projector, Stand
from giornata.core.setting_out.placement import ArtworkPlacement
from giornata.core.survey.observations import WallSurvey
from giornata.core.takeoff.tools import BrushAndRoller
from giornata.core.works.terms import AccessTerms, LabourTerms, NightTerms, PaintTerms

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
    """Where the wall stands. latitude, longitude, facing [rad]"""

    latitude: float | None = None
    longitude: float | None = None
    facing: float | None = None


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

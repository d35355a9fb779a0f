"""A small made job whose answers are known by construction."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
import shapely

from giornata.core.artwork import Colourway, Drawing, Option, Paint, Role, Shape
from giornata.core.foundation import Money
from giornata.core.job import JobInputs, JobTitle, Site
from giornata.core.pricing import AreaUnit, PriceBasis, PriceTerms
from giornata.core.projection import Projector, Stand
from giornata.core.setting_out import ArtworkPlacement
from giornata.core.survey import Bay, Height, Opening, WallSurvey
from giornata.core.takeoff import BrushAndRoller
from giornata.core.works import Coating, LabourRates, LabourTerms, NightTerms, PaintTerms


@pytest.fixture
def small_job() -> JobInputs:
    """A wall 20 x 2.5 m with a door of 1 x 2 m; a 2 x 1 m red block and a 1 m square dot in it.

    At 10 mm to a unit: net 48 m²; red 2 - 1 = 1 m², dot 1 m², edges 6 m red to ground and 4 m
    dot to red. Option B leaves the dot out: red 2 m².
    """
    return JobInputs(
        title=JobTitle(
            name="Block", place="", client="", units="metric", currency="EUR",
            date=date(2027, 1, 4),
        ),
        site=Site(),
        survey=WallSurvey(
            datum="left end",
            bays=(Bay(name="1", length=20.0),),
            overall=20.0,
            heights=(Height(at=0.0, height=2.5), Height(at=20.0, height=2.5)),
            openings=(Opening(name="door", start=15.0, end=16.0, head=2.0),),
        ),
        drawing=Drawing(
            name="block.svg",
            width=2000.0,
            height=250.0,
            shapes=(
                Shape(area=shapely.box(400, 100, 600, 200), colour="#cc0000", group="block"),
                Shape(area=shapely.box(450, 100, 550, 200), colour="#0000cc", group="dot"),
            ),
            groups=("block", "dot"),
        ),
        placement=ArtworkPlacement(width=20.0),
        tools=BrushAndRoller(),
        paints=(
            Paint(number=1, key="white", name="White", role=Role.GROUND, artwork=("#ffffff",)),
            Paint(number=2, key="red", name="Red", artwork=("#cc0000",)),
            Paint(number=3, key="blue", name="Blue", artwork=("#0000cc",)),
        ),
        options=(
            Option(key="A", name="With dot"),
            Option(key="B", name="Without", hide=("dot",)),
        ),
        colourways=(
            Colourway(
                key="day", name="Day", coats={},
                colours={"white": "#ffffff", "red": "#cc0000", "blue": "#0000cc"},
            ),
            Colourway(
                key="dusk", name="Dusk", coats={"red": 4},
                colours={"white": "#dddddd", "red": "#ff8800", "blue": "#003300"},
            ),
        ),
        option="A",
        colourway="day",
        paint=PaintTerms(
            figure=Coating(coats=2, spreading_rate=6000.0),
            base=Coating(coats=2, spreading_rate=6000.0),
            primer=Coating(coats=1, spreading_rate=7000.0),
            waste=0.1,
            loss=0.0,
            reserve=0.05,
            price=Money(amount=Decimal(26), currency="EUR"),
        ),
        labour=LabourTerms(
            rates=LabourRates(
                primer=20 / 3600, base=15 / 3600, fill=15 / 3600, edge=15 / 3600
            ),
            hour=Money(amount=Decimal(40), currency="EUR"),
        ),
        access=None,
        projector=Projector(
            name="made", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=4000.0,
            mode="full", modes={"full": 1.0}, shift_up=0.5,
        ),
        stand=Stand(distance=7.0, height=1.3, ambient=4.0),
        nights=NightTerms(),
        price=PriceTerms(
            currency="EUR",
            basis=PriceBasis.NET_WALL,
            unit=AreaUnit.SQUARE_METRE,
            rate=Money(amount=Decimal(150), currency="EUR"),
        ),
    )  # fmt: skip

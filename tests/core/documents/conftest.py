"""Made walls with a block and a dot on them, for papers whose answers are known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
import shapely

from giornata.core.artwork import Colourway, Drawing, Option, Paint, Role, Shape
from giornata.core.documents import DrawnPaper
from giornata.core.documents.letters import Box, label_box, overlap
from giornata.core.foundation import Money
from giornata.core.job import JobInputs, JobResults, JobTitle, Site, derive
from giornata.core.pricing import AreaUnit, PriceBasis, PriceTerms
from giornata.core.projection import Projector, Stand
from giornata.core.setting_out import ArtworkPlacement
from giornata.core.survey import Bay, Height, WallSurvey
from giornata.core.takeoff import BrushAndRoller
from giornata.core.works import Coating, LabourRates, LabourTerms, NightTerms, PaintTerms

Make = Callable[..., JobResults]


def made_inputs(length: float, height: float, bays: int, survey: dict[str, Any]) -> JobInputs:
    """A rectangle in equal bays; red block 4-6 m, 0.5-1.5 m up, a blue metre square in it."""
    heights = (Height(at=0.0, height=height), Height(at=length, height=height))
    wall: dict[str, Any] = {
        "datum": "left end",
        "bays": tuple(Bay(name=str(k + 1), length=length / bays) for k in range(bays)),
        "heights": heights,
    }
    return JobInputs(
        title=JobTitle(
            name="Block", place="Quay", client="Trust", units="metric", currency="EUR",
            date=date(2027, 1, 4),
        ),
        site=Site(),
        survey=WallSurvey(**{**wall, **survey}),
        drawing=Drawing(
            name="block.svg",
            width=100 * length,
            height=100 * height,
            shapes=(
                Shape(area=shapely.box(400, 100 * height - 150, 600, 100 * height - 50),
                      colour="#cc0000", group="block"),
                Shape(area=shapely.box(450, 100 * height - 150, 550, 100 * height - 50),
                      colour="#0000cc", group="dot"),
            ),
            groups=("block", "dot"),
        ),
        placement=ArtworkPlacement(width=length),
        tools=BrushAndRoller(),
        paints=(
            Paint(number=1, key="white", name="White", role=Role.GROUND, artwork=("#ffffff",)),
            Paint(number=2, key="red", name="Red", artwork=("#cc0000",)),
            Paint(number=3, key="blue", name="Blue", artwork=("#0000cc",)),
        ),
        options=(Option(key="A", name="With dot"),),
        colourways=(
            Colourway(
                key="day", name="Day", coats={},
                colours={"white": "#ffffff", "red": "#cc0000", "blue": "#0000cc"},
            ),
            Colourway(
                key="dusk", name="Dusk", coats={},
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
            rates=LabourRates(primer=20 / 3600, base=15 / 3600, fill=15 / 3600, edge=15 / 3600),
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
            currency="EUR", basis=PriceBasis.NET_WALL, unit=AreaUnit.SQUARE_METRE,
            rate=Money(amount=Decimal(150), currency="EUR"),
        ),
    )  # fmt: skip


@pytest.fixture(scope="session")
def made() -> Make:
    """Results of a made wall; each kind is derived once."""
    known: dict[str, JobResults] = {}

    def make(
        length: float, height: float, bays: int, *, inputs: dict[str, Any] | None = None,
        **survey: Any,
    ) -> JobResults:  # fmt: skip
        key = repr((length, height, bays, inputs, survey))
        if key not in known:
            job = made_inputs(length, height, bays, survey)
            known[key] = derive(replace(job, **(inputs or {})), memo={})
        return known[key]

    return make


@pytest.fixture(scope="session")
def faults_of() -> Callable[[DrawnPaper], list[str]]:
    """What is wrong with the letters of a paper: beyond the margin, or over one another."""
    return letter_faults


def letter_faults(paper: DrawnPaper) -> list[str]:
    found = []
    for sheet in paper.sheets:
        boxes = [(label.text, label_box(label)) for label in sheet.labels]
        for at, (text, box) in enumerate(boxes):
            if not inside(box, sheet.width, sheet.height):
                found.append(f"{sheet.name}: {text!r} leaves the sheet")
            # Letters may touch by the room kept for accents and descenders, 0.55 mm at 9 pt.
            found += [
                f"{sheet.name}: {text!r} over {other!r}"
                for other, one in boxes[at + 1 :]
                if overlap(box, one, gap=-0.55)
            ]
    return found


def inside(box: Box, width: float, height: float) -> bool:
    """9 mm from the sheet's edges, of a margin of 10 mm."""
    return box[0] >= 9.0 and box[1] >= 8.5 and box[2] <= width - 9.0 and box[3] <= height - 8.5

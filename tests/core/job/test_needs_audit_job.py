"""The worked needs reached through a whole job, from readings and a drawing to paint and price.

The wall is N1's, 61.2 × 2.9 m with gates of 3.6 × 2.1 m and 1.2 × 2.0 m. The three options are
N24's: upright bars whose number, width and height give the share of figure and the metres of edge
asked for. A bar w × h has area w h and edge 2 (w + h); n equal bars of area A and edge E have
w + h = E / 2n and w h = A / n, so w and h are the roots of x² - (E / 2n) x + A / n.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
import shapely

from giornata.core import works
from giornata.core.artwork import Colourway, Drawing, Option, Paint, Role, Shape
from giornata.core.foundation import Money, Severity
from giornata.core.job import JobInputs, JobTitle, Site, derive, named_figures
from giornata.core.pricing import (
    AreaUnit,
    BandMethod,
    PriceBasis,
    PriceLine,
    PriceTerms,
    RateBand,
    Stage,
)
from giornata.core.projection import Projector, Stand
from giornata.core.setting_out import ArtworkPlacement
from giornata.core.survey import Bay, Height, Lamp, Opening, WallSurvey
from giornata.core.takeoff import BrushAndRoller
from giornata.core.works import AccessTerms, Coating, LabourRates, LabourTerms, PaintTerms, Tin

NET = 167.52  # N1, by hand: 61.2 × 2.9 - 3.6 × 2.1 - 1.2 × 2.0
HOUR = 3600.0
LITRE = 1e-3
GATE, DOOR = (18.4, 22.0), (40.0, 41.2)


def usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


def bars(number: int, area: float, edge: float) -> list[shapely.Polygon]:
    """Equal upright bars clear of the gates, on a sheet of 61.2 × 2.9 units, y down. [m²], [m]"""
    half, product = edge / (2 * number), area / number
    root = math.sqrt(half**2 - 4 * product)
    wide, tall = (half - root) / 2, (half + root) / 2
    assert tall < 2.9
    pitch = wide + 0.04
    made, x = [], 0.5
    while len(made) < number:
        for start, end in (GATE, DOOR):
            if x + wide > start - 0.2 and x < end + 0.2:
                x = end + 0.2
        made.append(shapely.box(x, 0.2, x + wide, 0.2 + tall))
        x += pitch
    assert x < 61.0
    return made


GROUPS = {"A": (60, 0.22, 260.0), "B": (90, 0.31, 420.0), "C": (180, 0.47, 910.0)}


@pytest.fixture(scope="module")
def job() -> JobInputs:
    """N1's wall, N24's options, N23's price, N38's paint, N41's tins, N45's projector."""
    shapes = tuple(
        Shape(area=bar, colour="#101418", group=key)
        for key, (number, share, edge) in GROUPS.items()
        for bar in bars(number, share * NET, edge)
    )
    rate = 15 / HOUR
    return JobInputs(
        title=JobTitle(
            name="Bars", place="", client="", units="us", currency="USD",
            date=date(2027, 1, 4),
        ),
        site=Site(),
        survey=WallSurvey(
            datum="left end, foot",
            bays=(Bay(name="1", length=61.2),),
            length_sigma=0.015,
            height_sigma=0.005,
            heights=(Height(at=0.0, height=2.9),),
            openings=(
                Opening(name="gate", start=GATE[0], end=GATE[1], foot=0.0, head=2.1),
                Opening(name="door", start=DOOR[0], end=DOOR[1], foot=0.0, head=2.0),
            ),
        ),
        drawing=Drawing(
            name="bars.svg", width=61.2, height=2.9, shapes=shapes, groups=tuple(GROUPS)
        ),
        placement=ArtworkPlacement(width=61.2),
        tools=BrushAndRoller(),
        paints=(
            Paint(number=1, key="haze", name="Haze", role=Role.GROUND, artwork=("#ffffff",)),
            Paint(number=2, key="ink", name="Ink", artwork=("#101418",)),
        ),
        options=tuple(
            Option(key=key, name=f"Option {key}", hide=tuple(k for k in GROUPS if k != key))
            for key in GROUPS
        ),
        colourways=(
            Colourway(
                key="slack", name="Slack water", coats={},
                colours={"haze": "#ffffff", "ink": "#101418"},
            ),
        ),
        option="B",
        colourway="slack",
        paint=PaintTerms(
            figure=Coating(coats=2, spreading_rate=6 / LITRE),
            base=Coating(coats=2, spreading_rate=6 / LITRE),
            primer=Coating(coats=1, spreading_rate=7 / LITRE),
            waste=0.10,
            loss=0.0,
            reserve=0.05,
            tins=tuple(
                Tin(volume=litres * LITRE, price=usd(price))
                for litres, price in ((15, 95), (5, 40), (1, 12))
            ),
        ),
        labour=LabourTerms(
            # N24 has no primer in its hours: it goes on at a rate that takes no time.
            rates=LabourRates(primer=1e9, base=rate, fill=rate, edge=rate),
            people=2,
            productive=6.5 * HOUR,
            usable_days=0.7,
        ),
        access=AccessTerms(
            lift_above=2.0, day=usd(150), week=usd(400), four_weeks=usd(900), delivery=usd(95)
        ),
        projector=Projector(
            name="made", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=3500.0,
            mode="eco", modes={"eco": 0.8}, shift_up=0.5,
        ),
        stand=Stand(distance=7.0, height=1.45, overlap=0.5, contrast=5.0, ambient=10.0),
        # N24 is "labour only": the nights take no time here.
        nights=works.NightTerms(set_up=0.0, tracing=1e9),
        price=PriceTerms(
            currency="USD",
            basis=PriceBasis.NET_WALL,
            unit=AreaUnit.SQUARE_FOOT,
            rate=usd(18),
            lines=(
                PriceLine(name="Preparation", per_unit=usd("0.90")),
                PriceLine(name="Coating", per_unit=usd("1.60")),
            ),
            contingency=Decimal("0.05"),
            stages=tuple(
                Stage(name=name, share=Decimal(share))
                for name, share in (("order", "0.2"), ("start", "0.3"), ("end", "0.5"))
            ),
        ),
    )  # fmt: skip


@pytest.fixture(scope="module")
def memo():
    return {}


@pytest.fixture(scope="module")
def results(job, memo):
    return derive(job, memo=memo)


def figure(results, name: str) -> float:
    return float(named_figures(results)[name])


def found(results, code: str):
    return [one for one in results.findings if one.code == code]


def test_n1_areas_and_their_precision(results) -> None:
    # By hand: 61.2 × 2.9 = 177.48; 7.56 + 2.40 = 9.96; ± √((2.9 × 0.015)² + (61.2 × 0.005)²).
    assert figure(results, "wall.gross_area") == pytest.approx(177.48, abs=1e-9)
    assert figure(results, "wall.openings_area") == pytest.approx(9.96, abs=1e-9)
    assert figure(results, "wall.net_area") == pytest.approx(NET, abs=1e-9)
    assert named_figures(results)["wall.gross_area"].sigma == pytest.approx(0.309, abs=0.0005)


def test_n13_areas_of_all_paints_add_to_the_wall(results) -> None:
    for key, (_, share, edge) in GROUPS.items():
        assert figure(results, f"{key}.figure") == pytest.approx(share * NET, rel=1e-9)
        assert figure(results, f"{key}.edge") == pytest.approx(edge, rel=1e-9)
        whole = figure(results, f"{key}.figure") + figure(results, f"{key}.ground")
        assert whole == pytest.approx(NET, rel=1e-9)


def test_n23_the_quote_of_the_job_line_by_line(results) -> None:
    # 1,803.2 × 18, × 0.90, × 1.60; N24's 85.3 h book 10 days: 2 weeks × 400 + 2 × 95.
    figures = named_figures(results)
    lines = [str(figures[f"B.slack.line{n}"].value) for n in (1, 2, 3, 4)]
    assert lines == ["32457.60", "1622.88", "2885.12", "990.00"]
    assert str(results.scheme.quote.subtotal.value) == "37955.60"
    assert str(figures["B.slack.contingency"].value) == "1897.78"
    assert str(figures["B.slack.total"].value) == "39853.38"
    assert str(figures["B.slack.per_square_foot"].value) == "22.10"


def test_n28_stage_payments_of_the_job(results) -> None:
    figures = named_figures(results)
    stages = [figures[f"B.slack.stage{n}"].value for n in (1, 2, 3)]
    assert [str(each) for each in stages] == ["7970.68", "11956.01", "19926.69"]
    assert sum(stages) == figures["B.slack.total"].value


def test_n24_hours_and_earnings_of_three_options(job, memo) -> None:
    # Base 167.52 × 2/15 = 22.3 h, fill share × that, edge × 2/15: 61.9, 85.3, 154.2 h; the area
    # alone, 167.52 × 193.75 = 32,457.00, earns 524, 381, 211 in an hour.
    metric = replace(
        job,
        price=replace(
            job.price, unit=AreaUnit.SQUARE_METRE, rate=usd("193.75"), lines=(), contingency=0
        ),
    )
    results = derive(metric, memo=memo)
    hours = [figure(results, f"{key}.slack.painting_hours") / HOUR for key in GROUPS]
    assert np.round(hours, 1).tolist() == [61.9, 85.3, 154.2]
    rows = [results.scheme_of(key, "slack").row for key in GROUPS]
    assert [round(float(row.area_charge_per_hour)) for row in rows] == [524, 381, 211]
    (warning,) = found(results, "pricing.uneven_earnings")
    assert warning.severity is Severity.WARN
    assert warning.subject.startswith("option C")
    assert "910 m of edge against 260 m" in warning.message


def test_n25_only_the_silhouettes_billed(job, memo) -> None:
    # 22.3 of 85.3 h are the base coat, over the whole wall: 26 %.
    results = derive(replace(job, price=replace(job.price, basis=PriceBasis.FIGURE)), memo=memo)
    said = {one.subject: one.message for one in found(results, "pricing.base_unbilled")}
    assert "22.3 of 85.3 h (26 %)" in said["option B in Slack water"]
    assert figure(results, "B.base") == pytest.approx(NET, rel=1e-12)


def test_n26_c10_bands_of_the_job_are_warned_of(job, memo) -> None:
    bands = (
        RateBand(start=Decimal(30), rate=usd(215)),
        RateBand(start=Decimal(60), rate=usd(195)),
    )
    price = replace(
        job.price, unit=AreaUnit.SQUARE_METRE, rate=usd(240), bands=bands, lines=(),
        band_method=BandMethod.WHOLE,
    )  # fmt: skip
    (finding,) = found(derive(replace(job, price=price), memo=memo), "pricing.band_inversion")
    assert "26.9 and 30 m²" in finding.message
    assert "54.4 and 60 m²" in finding.message
    # By hand on 167.52 m²: whole 167.52 × 195 = 32,666.40; marginal 7,200 + 6,450 + 107.52 × 195.
    assert "32,666.40 USD" in finding.message
    assert "34,616.40 USD" in finding.remedy


def test_n27_one_unit_is_billed_and_both_are_printed(job, memo, results) -> None:
    rates = results.scheme.quote.rates
    assert (str(rates.per_square_metre), str(rates.per_square_foot)) == ("193.75 USD", "18.00 USD")
    metric = replace(job.price, unit=AreaUnit.SQUARE_METRE, rate=usd("193.75"))
    other = derive(replace(job, price=metric), memo=memo)
    assert str(named_figures(other)["B.slack.line1"].value) == "32457.00"


def test_n38_n41_paint_and_tins_of_the_job(results) -> None:
    # N38: 167.52 ÷ 7 × 1.1, × 2 ÷ 6 × 1.1, and 31 % of that. N41: 4 × 15 + 5 L at 420.
    litres = [
        1000 * figure(results, f"B.slack.paint.{key}")
        for key in ("primer.primer", "base.haze", "figure.ink")
    ]
    assert np.round(litres, 1).tolist() == [26.3, 61.4, 19.0]
    (note,) = [one for one in found(results, "works.tins_reserve") if one.subject == "Haze"]
    assert "4 × 15 L + 2 × 1 L at 404.00 USD, leave 0.6 L" in note.message
    assert "reserve of 3.1 L" in note.message
    assert "Buy 4 × 15 L + 1 × 5 L at 420.00 USD: 3.6 L left." in note.remedy
    base = next(line for line in results.scheme.plan.order.lines if line.key == "haze")
    assert base.cost.value == Decimal("420.00")


def test_n39_roughcast_in_the_job(job, memo) -> None:
    rough = replace(job.paint, base=Coating(coats=2, spreading_rate=3.5 / LITRE))
    results = derive(replace(job, paint=rough), memo=memo)
    assert 1000 * figure(results, "B.slack.paint.base.haze") == pytest.approx(105.3, abs=0.05)


def test_n45_n47_n49_set_ups_light_and_marks_of_the_job(results) -> None:
    # N45: 5.00 × 3.125 m, 2.6 mm/px, 14 set-ups from 2.50 every 4.323 m, overlap 0.677 m.
    assert figure(results, "set_ups.set-ups") == 14
    assert figure(results, "set_ups.image_width") == pytest.approx(5.00, abs=1e-9)
    assert figure(results, "set_ups.image_height") == pytest.approx(3.125, abs=1e-9)
    assert figure(results, "set_ups.pixel_pitch") == pytest.approx(0.0026, abs=5e-5)
    assert figure(results, "set_ups.smallest_overlap") == pytest.approx(0.677, abs=5e-4)
    centres = [one.centre for one in results.set_ups.set_ups]
    assert centres[0] == pytest.approx(2.50)
    assert np.diff(centres) == pytest.approx(np.full(13, 4.323), abs=5e-4)
    # N47: 3,500 × 0.8 ÷ 15.625 = 179 lx; on 10 lx 18:1.
    assert figure(results, "set_ups.least_illuminance") == pytest.approx(179.2, abs=0.05)
    assert figure(results, "set_ups.least_image_to_ambient_light") == pytest.approx(17.9, abs=0.05)
    # N49: 15 columns × 2 rows; all but the four at the ends shared by two neighbours.
    assert len(results.marks) == 30
    assert {mark.column for mark in results.marks} == set(range(1, 16))
    alone = [mark for mark in results.marks if len(mark.set_ups) == 1]
    assert {mark.column for mark in alone} == {1, 15}
    assert len(alone) == 4
    for mark in results.marks:
        for number in mark.set_ups:
            one = results.set_ups.set_ups[number - 1]
            assert one.start <= mark.chainage <= one.end


def test_c3_a_lamp_in_the_job(job, memo) -> None:
    # C3: 4,000 lm at 70 % on 6.4 × 4.0 m is 109 lx: 9.1:1 on 12 lx, 3.1:1 on 35 lx.
    other = replace(
        job,
        projector=replace(job.projector, lumens=4000.0, modes={"full": 1.0, "eco": 0.7}),
        stand=replace(job.stand, distance=8.96, ambient=12.0),
        survey=replace(job.survey, lamps=(Lamp(name="Lamp", start=45.9, end=61.2, ambient=35.0),)),
    )
    results = derive(other, memo=memo)
    (dim,) = found(results, "projection.dim")
    assert "109 lx on 35 lx of ambient light is 3.1:1; the limit is 5:1" in dim.message
    assert "16.0 m² (5.06 × 3.16 m)" in dim.remedy
    assert "at most 21.8 lx" in dim.remedy
    assert "at most 22.8 m²" in dim.remedy
    bright = [one for one in results.set_ups.set_ups if one.light.passes]
    assert {round(one.light.ratio, 1) for one in bright} == {9.1}
    assert {round(one.light.illuminance) for one in bright} == {109}


def test_c4_four_sections_from_a_job_of_a_tall_narrow_wall(job, memo) -> None:
    # C4: 3.4 × 5.8 m, 1920 × 1080, 5.5 mm over 3 px: at most 1.833 mm/px, so 3.52 × 1.98 m or
    # smaller; rows = ceil((5.8 - 1.98) ÷ (1.98 - 0.2)) + 1 = 4.
    tall = replace(
        job,
        survey=WallSurvey(
            datum="left end",
            bays=(Bay(name="1", length=3.4),),
            heights=(Height(at=0.0, height=5.8), Height(at=3.4, height=5.8)),
        ),
        placement=ArtworkPlacement(scale=0.05),
        tools=BrushAndRoller(narrowest_brush=0.0055),
        projector=replace(job.projector, rows=1080, throw_max=4.0, shift_up=2.0),
        stand=replace(job.stand, overlap=0.2, height=2.9),
    )
    results = derive(tall, memo=memo)
    plan = results.set_ups
    assert (len(plan.set_ups), plan.rows) == (4, 4)
    assert 0.0055 / max(one.pitch for one in plan.set_ups) >= 3 - 1e-9
    assert not found(results, "projection.coarse")
    assert plan.set_ups[0].width >= 3.4


def test_c6_a_thirsty_wall_in_the_job(job, memo) -> None:
    # C6: 280 m², two coats, +10 %, tins of 15 L: at 6.0 m²/L 102.7 L and 7 tins; at 3.70 (10 m²
    # used 2.7 L) 166.3 L and 12 tins.
    survey = WallSurvey(
        datum="left end",
        bays=(Bay(name="1", length=100.0),),
        heights=(Height(at=0.0, height=2.8), Height(at=100.0, height=2.8)),
    )
    needs, tins = [], []
    for rate in (6.0, 10 / 2.7):
        paint = replace(
            job.paint, reserve=0.0, base=Coating(coats=2, spreading_rate=rate / LITRE),
            tins=(Tin(volume=0.015, price=usd(95)),),
        )  # fmt: skip
        one = derive(replace(job, survey=survey, paint=paint), memo=memo)
        line = next(li for li in one.scheme.plan.order.lines if li.key == "haze")
        needs.append(1000 * float(line.need))
        tins.append(line.tins.for_need.number)
    assert needs == pytest.approx([102.7, 166.3], abs=0.5)
    assert tins == [7, 12]


def test_c7_two_and_five_coats_of_orange_in_the_job(job, memo) -> None:
    # C7: 22 m², 96 m, fill 12 m²/h, edge 15 m/h, 6.5 m²/L, +10 %, 26 a litre, 55 an hour:
    # 2 coats 7.45 L, 16.47 h, 1,099; 5 coats 18.62 L, 41.17 h, 2,748.
    drawing = Drawing(
        name="orange.svg", width=61.2, height=2.9,
        shapes=tuple(
            Shape(area=bar, colour="#e06010", group="B") for bar in bars(20, 22.0, 96.0)
        ),
        groups=("A", "B", "C"),
    )  # fmt: skip
    orange = replace(
        job,
        drawing=drawing,
        paints=(job.paints[0], replace(job.paints[1], artwork=("#e06010",))),
        options=(Option(key="B", name="Option B"),),
        colourways=tuple(
            replace(job.colourways[0], key=key, name=key, coats={"ink": coats})
            for key, coats in (("slack", 2), ("five", 5))
        ),
        paint=replace(
            job.paint, figure=Coating(coats=2, spreading_rate=6.5 / LITRE),
            base=Coating(coats=0, spreading_rate=6 / LITRE),
            primer=Coating(coats=0, spreading_rate=6 / LITRE),
            reserve=0.0, tins=(), price=usd(26),
        ),
        labour=replace(
            job.labour, hour=usd(55), rates=replace(job.labour.rates, fill=12 / HOUR)
        ),
    )  # fmt: skip
    results = derive(orange, memo=memo)
    for colourway, litres, hours, money in (
        ("slack", 7.45, 16.47, 1099),
        ("five", 18.62, 41.17, 2748),
    ):
        key = f"B.{colourway}"
        assert 1000 * figure(results, f"{key}.paint") == pytest.approx(litres, abs=0.01)
        worked = figure(results, f"{key}.painting_hours") / HOUR
        assert worked == pytest.approx(hours, abs=0.01)
        cost = figure(results, f"{key}.paint_cost") + 55 * worked
        assert cost == pytest.approx(money, abs=1)
    # One coat more than two: half of what two take, 549.
    assert figure(results, "B.slack.one_more_coat.figure.ink.cost") == pytest.approx(549.5, abs=0.5)


def test_n68_c9_past_jobs_in_the_job(job, memo) -> None:
    # C9: 0.5438 h/m² and 0.1428 h/m; with 62 m² × 180 m = 58.6 h and two more. Option B here is
    # 51.93 m² and 420 m: 0.5438 × 51.93 + 0.1428 × 420 = 88.2 h, against 48 h by area alone.
    past = tuple(
        works.PastJob(name=str(n), area=area, edge=edge, duration=hours * HOUR)
        for n, (area, edge, hours) in enumerate(
            ((62.0, 180.0, 58.6), (110.0, 140.0, 80.1), (45.0, 260.0, 62.0))
        )
    )
    results = derive(replace(job, labour=replace(job.labour, past=past)), memo=memo)
    estimate = results.scheme.plan.past
    assert estimate is not None
    assert float(estimate.duration) / HOUR == pytest.approx(88.2, abs=0.1)
    assert float(estimate.low) < float(estimate.duration) < float(estimate.high)


def test_n29_a_larger_wall_than_the_contract_states(job, memo) -> None:
    # 1,803.2 - 1,700 = 103.2 sq ft, +6.07 %, beyond ±5 %: 103.2 × 18 = 1,857.60.
    results = derive(replace(job, price=replace(job.price, stated=Decimal(1700))), memo=memo)
    (finding,) = found(results, "pricing.change_order")
    assert "+6.07 %, beyond ±5 %" in finding.message
    assert "+103.2 sq ft at 18.00 USD: 1,857.60 USD" in finding.remedy
    assert str(named_figures(results)["B.slack.change_order"].value) == "1857.60"
    near = derive(replace(job, price=replace(job.price, stated=Decimal(1720))), memo=memo)
    assert found(near, "pricing.change_order") == []  # +4.8 %


def test_n30_one_more_concept_in_the_job(job, memo) -> None:
    # 20 % of 24,000 is 4,800 of design; one more concept, 4,800: design 9,600, total 28,800.
    price = replace(
        job.price, rate=usd(0), lines=(PriceLine(name="All", sum=usd(24000)),), stages=(),
        contingency=Decimal(0), design_share=Decimal("0.2"), concepts=1,
        concept_share=Decimal("0.2"),
    )  # fmt: skip
    results = derive(replace(job, price=price, access=None), memo=memo)
    figures = named_figures(results)
    assert str(figures["B.slack.total"].value) == "24000.00"
    assert str(figures["B.slack.design"].value) == "4800.00"
    assert str(figures["B.slack.design_with_concepts"].value) == "9600.00"
    assert str(figures["B.slack.total_with_concepts"].value) == "28800.00"


def test_n31_c8_what_a_budget_buys_of_the_job(job, memo) -> None:
    # C8's 250 m² wall: (14,000 - 5,200) ÷ 240 = 36.7 m², 14.7 %; by the average 53.7 m².
    survey = WallSurvey(
        datum="left end", bays=(Bay(name="1", length=100.0),),
        heights=(Height(at=0.0, height=2.5),),
    )  # fmt: skip
    price = replace(
        job.price, unit=AreaUnit.SQUARE_METRE, rate=usd(240), contingency=Decimal(0),
        lines=(PriceLine(name="Design, travel", sum=usd(5200)),), budget=usd(14000),
    )  # fmt: skip
    results = derive(replace(job, survey=survey, price=price, access=None), memo=memo)
    (finding,) = found(results, "pricing.small_budget")
    assert "14,000.00 USD buys 36.7 m² of 250.00 m² (14.7 %)" in finding.message
    assert "fixed costs of 5,200.00 USD take 37 %" in finding.message
    assert "53.7 m²" in finding.remedy
    # The same with 25 % tax in it: 17,500 ÷ 1.25 = 14,000.
    taxed = replace(price, tax=Decimal("0.25"), budget=usd(17500))
    (same,) = found(
        derive(replace(job, survey=survey, price=taxed, access=None), memo=memo),
        "pricing.small_budget",
    )
    assert "buys 36.7 m²" in same.message
    assert "fixed costs of 6,500.00 USD, contingency and tax in it, take 37 %" in same.message

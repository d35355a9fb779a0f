"""Proposal and option sheet: what they say, from jobs whose answers are known."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from giornata.core.artwork import Colourway
from giornata.core.documents import Section, WrittenPaper, option_sheet, proposal, unprinted_letters
from giornata.core.foundation import Finding, Money, Severity, System
from giornata.core.job import JobResults, Site
from giornata.core.pricing import (
    AreaUnit,
    BandMethod,
    PriceBasis,
    PriceLine,
    PriceTerms,
    RateBand,
    Stage,
)
from giornata.core.survey import Lamp, Obstacle, Opening
from giornata.core.works import AccessTerms, NightTerms

Make = Callable[..., JobResults]
DOOR = Opening(name="door", start=8.0, end=9.0, head=2.0)  # 1 x 2 m: net wall 25 - 2 = 23 m²


def money(amount: str) -> Money:
    return Money(amount=Decimal(amount), currency="EUR")


def terms(**more: Any) -> PriceTerms:
    plain = PriceTerms(
        currency="EUR", basis=PriceBasis.NET_WALL, unit=AreaUnit.SQUARE_METRE, rate=money("150")
    )
    return replace(plain, **more)


def priced(made: Make, **more: Any) -> JobResults:
    return made(10.0, 2.5, 2, openings=(DOOR,), inputs={"price": terms(**more)})


def section(paper: WrittenPaper, title: str) -> Section:
    (found,) = (one for one in paper.sections if one.title.startswith(title))
    return found


def rows(paper: WrittenPaper, title: str) -> tuple[tuple[str, ...], ...]:
    (table,) = section(paper, title).tables
    return table.rows


def offer(results: JobResults, system: System = System.METRIC) -> WrittenPaper:
    return proposal(results, results.findings, system)


def test_each_line_of_the_price_says_how_it_comes_about(made: Make) -> None:
    """By hand: 23 × 150 = 3,450; 23 × 9.5 = 218.5; + 640 = 4,308.50; 5 % is 215.43 (half up);
    4,523.93; 19 % of it 859.55 (859.5467); together 5,383.48.
    """
    lines = (
        PriceLine(name="Primer", per_unit=money("9.50")),
        PriceLine(name="Hire", sum=money("640")),
    )
    job = priced(made, lines=lines, contingency=Decimal("0.05"), tax=Decimal("0.19"))
    assert rows(offer(job), "Price of") == (
        ("Design and painting", "23.00 m² × 150.00 EUR", "3,450.00"),
        ("Primer", "23.00 m² × 9.50 EUR", "218.50"),
        ("Hire", "fixed sum", "640.00"),
        ("Subtotal", "", "4,308.50"),
        ("Contingency", "5 % of the subtotal", "215.43"),
        ("Before tax", "", "4,523.93"),
        ("Tax", "19 % of it", "859.55"),
        ("Total", "", "5,383.48"),
    )


def test_without_contingency_and_tax_no_line_stands_for_them(made: Make) -> None:
    assert rows(offer(priced(made)), "Price of") == (
        ("Design and painting", "23.00 m² × 150.00 EUR", "3,450.00"),
        ("Total", "no tax is added", "3,450.00"),
    )


@pytest.mark.parametrize(
    ("basis", "unit", "said"),
    [
        (PriceBasis.NET_WALL, AreaUnit.SQUARE_METRE,
         ("Billed on the net wall area, 23.00 m², to 0.01 m²; openings are left out. All of it is "
         "painted, the ground of the design as well as its shapes.")),
        # 25 ÷ 0.3048² = 269.1 sq ft; 23 ÷ 0.3048² = 247.6 sq ft.
        (PriceBasis.GROSS_WALL, AreaUnit.SQUARE_FOOT,
         ("Billed on the gross wall area, 269.1 sq ft, to 0.1 sq ft; openings are not taken off. "
         "The net wall has 23.00 m² (247.6 sq ft).")),
        (PriceBasis.FIGURE, AreaUnit.SQUARE_METRE,
         ("Billed on the area of the painted shapes, 2.00 m², to 0.01 m²; the ground of the design "
         "is not billed by its area. The net wall has 23.00 m² (247.6 sq ft).")),
    ],
)  # fmt: skip
def test_the_basis_is_stated_in_words(
    made: Make, basis: PriceBasis, unit: AreaUnit, said: str
) -> None:
    words = section(offer(priced(made, basis=basis, unit=unit)), "Price of").words
    assert words[0] == said


def test_one_rate_is_printed_in_both_units_and_billed_in_one(made: Make) -> None:
    """150 × 0.3048² = 13.94; 150 ÷ 0.3048² = 1,614.59, to the cent."""
    in_metres = section(offer(priced(made)), "Price of").words[1]
    assert in_metres == (
        "The rate is 150.00 EUR for one m². That is 13.94 EUR for one sq ft; only the rate for "
        "one m² enters the price."
    )
    in_feet = section(offer(priced(made, unit=AreaUnit.SQUARE_FOOT)), "Price of").words[1]
    assert "150.00 EUR for one sq ft. That is 1,614.59 EUR for one m²" in in_feet


def test_bands_say_how_they_hold(made: Make) -> None:
    """By hand: 20 × 150 + 3 × 120 = 3,360."""
    bands = (RateBand(start=Decimal(20), rate=money("120")),)
    paper = offer(priced(made, bands=bands))
    assert section(paper, "Price of").words[1] == (
        "The rates are 150.00 EUR for one m²; 120.00 EUR for one m² from 20 m² on. Each rate holds "
        "for the part of the area within its own span."
    )
    assert rows(paper, "Price of")[0] == (
        "Design and painting", "23.00 m² at the rates above", "3,360.00",
    )  # fmt: skip
    whole = priced(made, bands=bands, band_method=BandMethod.WHOLE)
    assert section(offer(whole), "Price of").words[1].endswith("holds for all of it.")


def test_stage_payments_add_up(made: Make) -> None:
    """By hand: 3,450 × 1/3 split 0.333 + 0.333 + 0.334: 1,148.85, 1,148.85, 1,152.30."""
    stages = tuple(
        Stage(name=name, share=Decimal(share))
        for name, share in (("On order", "0.333"), ("Half way", "0.333"), ("At the end", "0.334"))
    )
    assert rows(offer(priced(made, stages=stages)), "Payment") == (
        ("On order", "33.3 %", "1,148.85"),
        ("Half way", "33.3 %", "1,148.85"),
        ("At the end", "33.4 %", "1,152.30"),
        ("Together", "100 %", "3,450.00"),
    )
    assert section(offer(priced(made)), "Payment").words == ("The whole sum is due on completion.",)


def test_the_size_clause_names_area_and_limit(made: Make) -> None:
    """±5 %: muralists' public terms; common practice."""
    first = section(offer(priced(made)), "When the price changes").points[0]
    assert first == (
        "Size: if the billed area measures more than 5 % above or below 23.00 m², the whole "
        "difference is charged or credited at the rates above."
    )


def test_what_the_price_leaves_out_is_printed_as_it_was_written(made: Make) -> None:
    paper = offer(priced(made, exclusions=("Repair of the wall", "=Power")))
    assert section(paper, "Not in the price").points == ("Repair of the wall", "=Power")
    assert all(one.title != "Not in the price" for one in offer(priced(made)).sections)


@pytest.mark.parametrize(
    ("length", "months", "says", "rests_on"),
    [  # at 69.65 N the sun does not set in June, and does not rise in December (its almanacs)
        (10.0, (6,), "dark enough for a projector on 21 June 2027. A projector needs 1 night of d",
         "1 night of setting out, on dates to be agreed"),
        (10.0, (6, 7), "on any evening looked at, 21 June 2027 to 21 July 2027.", "to be agreed"),
        (200.0, (6, 12), "(the dates decided on hold 1 of them; the others are to be agreed), and",
         "nights of setting out."),
        (10.0, (12,), "A night of darkness for setting out the design with a projector, and 7.00 m",
         "1 night of setting out."),
    ],
    ids=["one without darkness", "two without darkness", "too few with darkness", "dark"],
)  # fmt: skip
def test_c1_no_darkness_is_promised_on_nights_that_have_none(
    made: Make, length: float, months: tuple[int, ...], says: str, rests_on: str
) -> None:
    north = Site(
        latitude=math.radians(69.65), longitude=math.radians(18.96), zone=ZoneInfo("Europe/Oslo")
    )
    dates = tuple(date(2027, month, 21) for month in months)
    nights = NightTerms(dates=dates, hours=4 * 3600.0, tracing=0.004)
    paper = offer(made(length, 2.5, 2, inputs={"site": north, "nights": nights}))
    assert any(says in one for one in section(paper, "What we need").points)
    assert any(rests_on in one for one in section(paper, "What the price rests on").points)


def test_the_client_is_asked_for_dark_lamps_and_cut_hedges(made: Make) -> None:
    job = made(
        10.0, 2.5, 2,
        lamps=(Lamp(name="Street lamp", start=2.0, end=4.5, ambient=20.0),),
        obstacles=(Obstacle(name="Hedge", kind="hedge", start=6.0, end=8.0, height=0.6),),
    )  # fmt: skip
    points = section(offer(job), "What we need").points
    assert "Street lamp (2.00 to 4.50 m) switched off on those nights, or covered." in points
    assert (
        "Hedge (6.00 to 8.00 m) cut or tied back: it hides the wall up to 600 mm above the ground."
    ) in points
    assert any("A night of darkness" in one and "7.00 m of clear ground" in one for one in points)
    assert not any("lift" in one for one in points)
    # By hand: 2 m is 6 ft 6 3/4 in (78.74 in), 4.5 m is 14 ft 9 1/8 in (177.165 in).
    us = section(offer(job, System.US), "What we need").points
    assert "Street lamp (6 ft 6 3/4 in to 14 ft 9 1/8 in) switched off" in " ".join(us)


def test_a_lift_brings_its_ground_and_its_caution(made: Make) -> None:
    access = AccessTerms(
        lift_above=2.0, day=money("140"), week=money("420"), four_weeks=money("1150"),
        delivery=money("90"),
    )  # fmt: skip
    job = made(10.0, 2.5, 2, inputs={"access": access})
    paper = offer(job)
    assert "Firm, level ground for the lift along the wall." in section(paper, "What we").points
    assert any("wind plate" in one for one in section(paper, "Safety").points)
    lift = [row for row in rows(paper, "Price of") if row[0].startswith("Access lift")]
    assert len(lift) == 1
    # The sums of its periods and of both deliveries stand beside it.
    parts = [Decimal(part.replace(",", "")) for part in lift[0][1].split(" + ")]
    assert sum(parts) == Decimal(lift[0][2].replace(",", ""))


def test_hours_and_earnings_stay_with_the_painter(made: Make) -> None:
    """By hand: 3,450 less paint at 26 EUR/L and hours at 40 EUR; the client sees none of these."""
    job = priced(made)
    said = " ".join(offer(job).texts)
    assert not re.search(r"\bhours?\b|floor|earn", said)
    own = option_sheet(job, job.findings, System.METRIC)
    names = [row[0] for row in rows(own, "Options and colourways")]
    assert {
        "Painting hours [h]", "Hours with nights [h]", "Before tax, an hour [EUR]",
        "Price floor [EUR]", "Over the floor [EUR]", "Earned in an hour [EUR]",
    } <= set(names)  # fmt: skip
    floor = dict(rows(own, "Price floor"))
    amounts = {name: Decimal(text.replace(",", "")) for name, text in floor.items()}
    assert amounts["Price floor"] == (
        amounts["Paint, lift and fixed sums"] + amounts["Hours at what an hour must earn"]
    )
    assert amounts["Subtotal of the quote, over the floor"] == (
        Decimal("3450.00") - amounts["Price floor"]
    )


def test_the_option_sheet_prints_findings_and_what_one_more_coat_adds(made: Make) -> None:
    """By hand: red is two pieces of 0.5 × 1 m beside the blue square. One more coat is 1 ÷ 15 h
    to fill and 4 ÷ 15 h for its 4 m of edge with the ground (blue, later, cuts the rest), 0.33 h;
    1 ÷ 6 × 1.1 = 0.18 L.
    """
    job = priced(made)
    own = option_sheet(job, job.findings, System.METRIC)
    assert [row[1:] for row in rows(own, "Findings")] == [
        (one.subject, one.message, one.remedy)
        for one in sorted(job.findings, key=lambda one: list(Severity).index(one.severity))
    ]
    (table,) = section(own, "What one more coat adds").tables
    assert table.heads[:4] == ("One more coat of", "Coats then", "Hours [h]", "Paint [L]")
    red = next(row for row in table.rows if row[0] == "2 Red")
    assert red[1:4] == ("3", "0.3", "0.2")


def test_the_option_sheet_prints_every_warning_and_alike_notes_once(made: Make) -> None:
    def found(code: str, severity: Severity, number: int, remedy: str) -> Finding:
        return Finding(
            code=code, severity=severity, subject=f"s{number}", message=f"m{number}.", remedy=remedy
        )

    findings = (
        *(found("works.made", Severity.NOTE, number, f"r{number}") for number in range(1, 4)),
        found("works.other", Severity.NOTE, 4, "r4"),
        *(found("survey.made", Severity.WARN, number, "wait") for number in range(5, 8)),
        found("survey.stop", Severity.STOP, 8, "r8"),
    )
    own = option_sheet(priced(made), findings, System.METRIC)
    assert rows(own, "Findings: 8") == (
        ("stop", "s8", "m8.", "r8"),
        ("warn", "s5", "m5.", "wait"),
        ("warn", "s6", "m6.", "The same."),
        ("warn", "s7", "m7.", "The same."),
        ("note", "s1, and 2 more", "m1. 2 more alike (giornata findings lists them).", "r1"),
        ("note", "s4", "m4.", "r4"),
    )


def test_a_job_that_is_held_up_gives_a_draft(made: Make) -> None:
    job = priced(made)
    stop = Finding(code="survey.made", severity=Severity.STOP, subject="x", message="x", remedy="x")
    assert proposal(job, (), System.METRIC).warning == ""
    assert proposal(job, (stop,), System.METRIC).warning == (
        "Draft, not to be sent: 1 finding holds this job up. See the option sheet."
    )
    assert option_sheet(job, (stop, stop), System.METRIC).warning.startswith("Draft")


def test_more_schemes_than_a_page_is_wide_make_more_tables(made: Make) -> None:
    """One option in seven colourways: six beside one another, and one."""
    colours = {"white": "#ffffff", "red": "#cc0000", "blue": "#0000cc"}
    colourways = tuple(
        Colourway(key=f"c{k}", name=f"C{k}", coats={}, colours=colours) for k in range(7)
    )
    job = made(10.0, 2.5, 2, inputs={"colourways": colourways, "colourway": "c3"})
    tables = section(offer(job), "Options and colourways").tables
    assert [len(table.heads) for table in tables] == [7, 2]
    assert tables[1].heads[1] == "A With dot\nC6"


def test_the_papers_date_and_how_long_the_price_holds(made: Make) -> None:
    """4 January 2027 and 30 days: 3 February 2027."""
    facts = dict(offer(priced(made)).facts)
    assert (facts["Date"], facts["Valid until"]) == ("4 January 2027", "3 February 2027")
    assert facts["Price"] == "3,450.00 EUR, no tax added"


def test_letters_that_cannot_be_printed_are_said(made: Make) -> None:
    paper = offer(priced(made, exclusions=("Power 電力",)))
    (found,) = unprinted_letters(paper)
    assert (found.code, found.subject) == ("documents.letters", "proposal")
    assert found.message == "2 of its letters cannot be printed: 電力"
    assert unprinted_letters(offer(priced(made))) == ()


@pytest.mark.parametrize(("agreed", "said"), [(None, "5 %"), (Decimal("0.03"), "3 %")])
def test_the_size_clause_is_the_one_that_was_agreed(made: Make, agreed: Any, said: str) -> None:
    points = section(offer(priced(made, size_clause=agreed)), "When the price changes").points
    assert f"more than {said} above or below" in points[0]

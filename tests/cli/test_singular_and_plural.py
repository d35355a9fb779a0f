"""One thing is said in the singular: in findings, and in what explains a figure."""

from __future__ import annotations

import re
from collections.abc import Iterable

import pytest

from giornata.core.foundation import Figure, Finding, System, finding_in_units, number_of
from giornata.core.foundation.display import explain
from giornata.core.job import named_figures
from giornata.core.survey import Bay, Height, WallSurvey, develop
from giornata.desk import Job

# "1 bays", "1 bright nights"; not "1.1 times", "strip 1 holds", "21 marks" or "1 of 4 marks".
ONE_OF_MANY = re.compile(
    r"(?<![\d.,/:–-])1 (?:(?:bright|check|control|other|past|sheet|smaller|straight|working) )?"
    r"(?:are|readings|people|(?:bay|brush|colour|coat|cross|day|diagonal|edge|fault|finding|gap|"
    r"hour|joint|length|line|mark|measurement|motif|name|night|note|opening|page|paint|painter|"
    r"photo|picture|piece|pier|place|point|region|row|section|set-up|shape|sheet|strip|test|tile|"
    r"tin|trip|word)e?s)\b"
)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("sum of 1 bays", True), ("1 other marks", True), ("1 crosses are found", True),
        ("1 are left", True), ("sum of 1 bay", False), ("21 marks", False), ("0.1 points", False),
        ("1 of 4 marks is", False), ("1,001 places", False), ("1 place crosses", False),
    ],
)  # fmt: skip
def test_what_is_looked_for(text: str, wrong: bool) -> None:
    assert bool(ONE_OF_MANY.search(text)) is wrong


@pytest.mark.parametrize(
    ("count", "words", "said"),
    [
        (1, ("bay",), "1 bay"), (0, ("bay",), "0 bays"), (1234, ("place",), "1,234 places"),
        (1, ("person is", "people are"), "1 person is"),
        (2, ("person is", "people are"), "2 people are"),
    ],
)  # fmt: skip
def test_number_of(count: int, words: tuple[str, ...], said: str) -> None:
    assert number_of(count, *words) == said


def wrong_in(findings: Iterable[Finding], figures: Iterable[Figure], system: System) -> list[str]:
    texts = [
        text
        for one in (finding_in_units(finding, system) for finding in findings)
        for text in (one.subject, one.message, one.remedy)
    ]
    texts += [explain(figure, system) for figure in figures]
    return sorted(
        {line for text in texts for line in text.splitlines() if ONE_OF_MANY.search(line)}
    )


def test_the_demo_job_says_one_thing_in_the_singular(opened_demo: Job) -> None:
    results = opened_demo.results()
    figures = named_figures(results).values()
    assert len(figures) > 200
    for system in System:
        assert wrong_in(opened_demo.findings(results), figures, system) == []


def test_a_wall_of_one_bay_says_so_in_the_singular() -> None:
    """One bay, one height, one joint that was written twice."""
    survey = WallSurvey(
        datum="left end", bays=(Bay(name="1", length=12.0),), joints=(5.0, 5.0),
        heights=(Height(at=0.0, height=3.0),),
    )  # fmt: skip
    wall, findings = develop(survey)
    messages = [finding.message for finding in findings]
    assert any("The length is that of the one bay, 12.00 m; " in text for text in messages)
    assert "1 of 2 joints is written twice; each counts once." in messages
    assert wall is not None
    assert wrong_in(findings, [wall.gross_area, wall.net_area], System.METRIC) == []

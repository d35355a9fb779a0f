"""Findings in US customary units, by exact definitions (NIST SP 811, appendix B)."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from giornata.core.foundation import (
    Finding,
    Severity,
    System,
    fault_in_units,
    finding_in_units,
    in_units,
)
from giornata.desk import open_job
from giornata.files.examples import example_job

# 0.3048 m to the foot, 0.0254 m to the inch, 3.785411784 L to the US gallon, 1 fc = 1 lm/ft².
SAID = {
    "at 3.048 m": "at 10 ft",
    "0-3.048 m": "0 ft to 10 ft",
    # 25 mm are 0.984 in, 30 mm 1.181 in: 1 and 1 3/16 in; a sign behind "to" is not a range's.
    "25-30 mm wide": "1 in to 1 3/16 in wide",
    "-0.305 - 0.610 m": "-1 ft to 2 ft",
    "-305 to -152 mm": "-1 ft to -6 in",
    "18.58-37.16 m²": "200.0-400.0 sq ft",
    "x 0.61, y 0.91 m": "x 2 ft, y 2 ft 11 7/8 in",
    "3.05 × 6.10 m": "10 ft 1/8 in × 20 ft 1/8 in",
    # 3.050 m are 120.079 in: 10 ft 1/16 in; 6.102 m 240.236 in: 20 ft 1/4 in.
    "3.050 × 6.102 m": "10 ft 1/16 in × 20 ft 1/4 in",
    "by +25 mm": "by +1 in",
    "by -305 mm": "by -1 ft",
    "(<25 mm)": "(<1 in)",
    "1.27 mm wide": "0.05 in wide",
    "9.29 m² of it": "100.0 sq ft of it",
    "2 × 3.785 L": "2 × 1.00 gal",
    "2 × 15 L at 3.048 m": "2 × 15 L at 10 ft",
    "107.64 lx": "10.00 fc",
    "5.0 to 10.0 m²/L": "204 to 407 sq ft/gal",
}
UNTOUCHED = (
    "bays 3, 4", "16 to 24 h", "set-up 14 mark M03", "1:200", "6.3 %", "30 mA", "380 W", "14° m",
    "2027-05-10", "no. 5 mx", "12.5 mm²",
)  # fmt: skip
LABEL = re.compile(r"× \d+(?:\.\d\d?)? L\b")  # of a tin of whole centilitres, in any country
METRIC = re.compile(r"\d ?(?:mm|m|m²|L|lx|m²/L|mm/px)(?![\w²/])")


@pytest.mark.parametrize(("text", "expected"), SAID.items())
def test_quantities_in_a_sentence(text: str, expected: str) -> None:
    assert in_units(text, System.US) == expected
    assert in_units(text, System.METRIC) == text


@pytest.mark.parametrize("text", UNTOUCHED)
def test_other_numbers_stay(text: str) -> None:
    assert in_units(text, System.US) == text


def test_all_words_of_a_finding_are_turned_and_nothing_else() -> None:
    finding = Finding(
        code="survey.made", severity=Severity.NOTE, subject="joint at 3.048 m",
        message="It is 25.4 mm off.", remedy="Move it 25.4 mm.",
    )  # fmt: skip
    turned = finding_in_units(finding, System.US)
    assert turned.subject == "joint at 10 ft"
    assert (turned.message, turned.remedy) == ("It is 1 in off.", "Move it 1 in.")
    assert (turned.code, turned.severity, turned.place) == ("survey.made", Severity.NOTE, None)
    assert finding_in_units(finding, System.METRIC) is finding


def test_a_fault_of_a_file_quotes_it_as_it_stands_and_shows_by_example_what_to_write() -> None:
    finding = Finding(
        code="job.made", severity=Severity.STOP, subject="wall.tape",
        message='"3.048 m" is more than 0.3048 m.', remedy='Write it as "3.048 m" or "9.29 m²".',
    )  # fmt: skip
    turned = fault_in_units(finding, System.US)
    assert turned.message == '"3.048 m" is more than 1 ft.'
    assert turned.remedy == 'Write it as "10 ft" or "100.0 sq ft".'
    assert fault_in_units(finding, System.METRIC) is finding
    litres = replace(finding, remedy='Write "3.785 L".')
    assert fault_in_units(litres, System.US).remedy == 'Write "1.00 US gal".'  # can be read again
    choice = replace(finding, code="units.unknown", remedy="Write 90 m/h or 90 ft/h.")
    assert fault_in_units(choice, System.US).remedy == choice.remedy


def test_no_metric_length_area_or_volume_is_left_in_the_demo_jobs_findings() -> None:
    job = open_job(example_job("port-merrow"))
    findings = job.findings(job.results())
    before = [one for one in findings if METRIC.search(one.message)]
    assert len(before) > 50
    for one in findings:
        turned = finding_in_units(one, System.US)
        for text in (turned.subject, turned.message, turned.remedy):
            assert METRIC.search(LABEL.sub("", text)) is None, text

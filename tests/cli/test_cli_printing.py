"""Printing: control characters, wide names, infinite ratios, the shape of records."""

from __future__ import annotations

import io
import json
import math
from dataclasses import replace

import pytest

from giornata.cli import json_form, printing
from giornata.cli.finding_print import counted
from giornata.cli.pages import replanning
from giornata.cli.report import Column, Fact, Facts, Measure, Report, Table
from giornata.core.closing import Replan, SeamLeft, SetUpLeft
from giornata.core.foundation import Finding, Severity, System


def printed(*sections, units=System.METRIC, every=False, width=80):
    from rich.console import Console

    sink = io.StringIO()
    to = Console(file=sink, width=width, highlight=False, markup=False)
    printing.print_report(Report(title="", sections=sections), units, every=every, to=to)
    return [line.rstrip() for line in sink.getvalue().splitlines()]


def table(column, *cells, **more):
    return Table(key="t", title="", columns=(column,), rows=tuple((c,) for c in cells), **more)


def test_a_column_has_one_unit_in_its_head_and_equal_digits():
    lines = printed(table(Column(key="edge", head="edge", unit="m"), 0.062, 258.3, None))
    assert [line.strip() for line in lines[1:]] == ["edge", "m", "─" * 6, "0.06", "258.30", ""]
    assert lines[4].endswith("  0.06")  # flush right


def test_lengths_taped_are_feet_and_inches_only_where_us_units_are_wanted():
    column = Column(key="at", head="at", unit="m", digits=3, taped=True)
    assert "12.345" in printed(table(column, 12.345))[-1]
    # 12.345 / 0.3048 = 40.502 ft; 0.502 x 12 = 6.02 in
    assert printed(table(column, 12.345), units=System.US)[-1] == "40 ft 6 in"
    assert printed(table(column, 0.0), units=System.US)[-1] == "0 ft"


def test_what_is_nought_when_rounded_has_no_sign():
    lines = printed(table(Column(key="by_mm", head="by", unit="mm", digits=1), -0.04, 0.04, -0.06))
    assert [line.strip() for line in lines[-3:]] == ["0.0", "0.0", "-0.1"]


def test_misses_and_the_lengths_in_words_are_in_inches_where_us_units_are_wanted():
    # An inch is 25.4 mm (international yard and pound agreement of 1959): 12.7 mm are half of one,
    # 1,378 mm are 54.25 in, 4 ft and 6 1/4 in; 25.00 m are 82.02 ft, 82 ft and 1/4 in.
    miss = Column(key="miss_mm", head="miss", unit="mm", digits=1)
    assert [line.strip() for line in printed(table(miss, 12.7, None), units=System.US)[1:]] == [
        "miss", "in", "─" * 4, "0.50", "",
    ]  # fmt: skip
    far = Column(key="up_mm", head="up", unit="mm", digits=0, taped=True)
    assert printed(table(far, -1378.0), units=System.US)[-1] == "-4 ft 6 1/4 in"
    assert printed(table(far, -1378.0))[-1] == "-1,378"
    value = Measure(value=12.7, unit="mm", digits=1)
    facts = Facts(facts=(Fact(key="a", name="met at 25.00 m", value=value, remark="of 25.4 mm"),))
    assert printed(facts, units=System.US)[-1] == "met at 82 ft 1/4 in  0.50 in  of 1 in"
    assert printed(facts)[-1] == "met at 25.00 m  12.7 mm  of 25.4 mm"
    # Words of a value, of a heading and of a head too; what is to be copied stays as it is.
    said = Facts(title="Within 0.3048 m", facts=(
        Fact(key="b", name="moved", value="+25.4 mm right, -12.7 mm up"),
        Fact(key="c", name="copy", value="line 3.048 m", whole=True),
    ))  # fmt: skip
    assert [line.strip() for line in printed(said, units=System.US)[1:]] == [
        "Within 1 ft", "moved  +1 in right, -1/2 in up", "copy   line 3.048 m",
    ]  # fmt: skip


def test_c4_set_ups_still_to_draw_fit_into_80_letters_in_either_units():
    # On a wall of 78 m lengths take 16 letters in feet and inches; a name stands word by word.
    one = SetUpLeft(
        set_up=12, start=78.6, end=78.6, marks=("M24 upper",), struck=(), by_marks=0.0094,
        then_by_marks=0.0087, expected=0.0123, then=0.0123, shifts=(),
    )  # fmt: skip
    left = Replan(accuracy=0.01, set_ups=(one,), new_marks=(), bad=(), helps=())
    seam = SeamLeft(left=11, right=12, by_marks=0.0094, then_by_marks=math.inf)
    for units in System:
        (whole,) = replanning.set_ups_left(left)
        lines = printed(whole, units=units)
        assert not any("not on" in line or line.endswith("-") for line in lines)
        struck = replace(one, struck=("row 2 M24 lower",))
        (whole,) = replanning.set_ups_left(replace(left, set_ups=(one, struck)))
        lines = printed(whole, units=units)
        assert max(map(len, lines)) <= 80
        assert any(line.endswith("not on") for line in lines)
        assert lines[-1].split()[-1] == "lower"
        form = json_form.report_form(Report(title="", sections=(whole,)), units)
        assert [row["struck"] for row in form["to_draw"]] == ["-", "row 2 M24 lower"]
        _, seams = replanning.set_ups_left(replace(left, seam=0.0067, seams=(seam,)))
        lines = printed(seams, units=units)
        assert max(map(len, lines)) <= 80
        assert lines[-1].split()[:2] == ["11,", "12"]


def test_a_name_may_hold_anything_and_obeys_nothing():
    cell = "\x1b[31mred\x1b[0m [bold]x[/bold] \x07"
    text = "\n".join(printed(table(Column(key="name", head="name"), cell)))
    assert "\x1b" not in text
    assert "\x07" not in text
    assert "[bold]x[/bold]" in text  # markup is no markup


def test_what_has_no_bound_is_left_blank_and_null():
    column = Column(key="ratio", head="ratio", unit="-", digits=1)
    assert printed(table(column, float("inf"), 2.0))[-2:] == ["", "  2.0"]
    form = json_form.report_form(
        Report(title="", sections=(table(column, float("inf"), float("nan")),)), System.METRIC
    )
    assert json.loads(json_form.written(form)) == {"t": [{"ratio": None}, {"ratio": None}]}


def test_facts_stand_with_their_numbers_flush_right():
    facts = Facts(
        facts=(
            Fact(key="a", name="area", value=Measure(value=48.0, unit="m²")),
            Fact(key="b", name="shapes", value=1234),
            Fact(key="c", name="file", value="first.svg"),
            Fact(key="d", name="lift", value=None),
        )
    )
    assert printed(facts)[1:] == [
        "area    48.00 m²",
        "shapes     1,234",
        "file    first.svg",
        "lift    -",
    ]


def test_long_remarks_go_on_under_their_value():
    fact = Fact(key="a", name="name", value="word " * 30)
    lines = printed(Facts(facts=(fact,)), width=60)[1:]
    assert max(map(len, lines)) <= 60
    assert all(line.startswith("      word") for line in lines[1:])


def test_a_table_says_what_it_leaves_out():
    column = Column(key="n", head="n")
    short = table(column, *range(9), most=4)
    assert printed(short)[-1] == "... and 5 more: --all prints them."
    assert printed(short, every=True)[-1].strip() == "8"
    assert printed(table(column, none="Nothing."))[-1] == "Nothing."


def test_a_row_with_a_cell_too_few_is_a_mistake():
    with pytest.raises(ValueError, match="a cell for each column"):
        Table(key="t", title="", columns=(Column(key="a", head="a"),), rows=(("x", "y"),))


def test_findings_are_counted_in_words():
    def one(severity):
        return Finding(code="a.b", severity=severity, subject="s", message="m", remedy="r")

    assert counted([one(Severity.NOTE)] * 2 + [one(Severity.STOP)]) == "1 stop, 2 notes"
    assert counted([]) == ""

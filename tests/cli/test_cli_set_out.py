"""What `set-out` says of a fit and of a turn, on the small job of ``conftest.py``."""

from __future__ import annotations

import pytest


def changed(folder, *changes):
    text = (folder / "job.toml").read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    (folder / "job.toml").write_text(text)


def test_a_fit_lists_its_moves_and_the_gaps_that_took_it(say, small_job):
    # By hand: 9.9 mm to a unit: the block lies from 3.96 to 5.94 m, gaps of 3.96 and 13.86 m take
    # 200 mm, 11.22 mm to a metre: 44.4 and 155.6 mm.
    changed(small_job, ('width = "20.00 m"', 'width = "19.80 m"\nfit = {}'))
    result = say("set-out", small_job, "--json").form["result"]
    (move,) = result["moves"]
    assert [move[key]["value"] for key in ("from", "to", "shift")] == pytest.approx(
        [3.96, 5.94, 0.2 * 3.96 / 17.82]
    )
    assert (move["shapes"], move["held"]) == (3, "")  # the dot parts the block in two
    assert [gap["change"]["value"] for gap in result["gaps"]] == pytest.approx(
        [0.2 * 13.86 / 17.82, 0.2 * 3.96 / 17.82]
    )
    printed = say("set-out", small_job).out
    assert "Strips of ground that took the difference" in printed
    assert "setting_out.fitted" in printed


def test_without_a_fit_nothing_is_said_of_one(say, block):
    result = say("set-out", block, "--json").form["result"]
    assert "moves" not in result
    assert "gaps" not in result


def test_a_turn_is_shown_where_it_was_asked_for(say, small_job):
    # 1000 units level in the artwork rise 10 cm on 10 m: atan(0.01).
    points = """turn = true
points = [{ artwork = [0, 250], at = "0 m", level = "0 m" },
          { artwork = [1000, 250], at = "10 m", level = "0.10 m" }]"""
    changed(small_job, ('width = "20.00 m"', points))
    result = say("set-out", small_job, "--json").form["result"]
    assert result["turned"]["value"] == pytest.approx(0.01 - 0.01**3 / 3)


def test_each_picture_says_what_its_marks_are_good_for(say, small_job):
    result = say("set-out", small_job, "--json").form["result"]
    assert [row["set_up"] for row in result["squared"]] == list(
        range(1, len(result["squared"]) + 1)
    )
    assert {row["marks"] for row in result["squared"]} == {4}
    changed(small_job, ("[nights]", '[marks]\naccuracy = "7 mm"\n\n[nights]'))
    asked = say("set-out", small_job, "--json").form["result"]["squared"]
    assert max(row["within"]["value"] for row in asked) <= 0.007
    assert sum(row["marks"] for row in asked) > 4 * len(asked)

"""Steps: only what a change touches is run again."""

from __future__ import annotations

import inspect

import pytest

from giornata.core.job import Step, Stopped, run


class Kitchen:
    """Two made steps that count how often they run."""

    def __init__(self) -> None:
        self.ran: list[str] = []

    def steps(self, *, version: int = 1) -> tuple[Step, ...]:
        def area(width: float, height: float) -> float:
            self.ran.append("area")
            return width * height

        def price(area: float, rate: float) -> float:
            self.ran.append("price")
            return area * rate

        return (
            Step(name="area", function=area, needs={"width": "width", "height": "height"}),
            Step(
                name="price", function=price, needs={"area": "area", "rate": "rate"},
                version=version,
            ),
        )  # fmt: skip


INPUTS = {"width": 3.0, "height": 2.0, "rate": 10.0}


def test_the_first_run_does_everything_and_the_second_nothing():
    kitchen, memo = Kitchen(), {}
    assert run(kitchen.steps(), INPUTS, memo=memo) == {"area": 6.0, "price": 60.0}
    assert run(kitchen.steps(), INPUTS, memo=memo) == {"area": 6.0, "price": 60.0}
    assert kitchen.ran == ["area", "price"]


def test_a_rate_reruns_only_the_step_that_reads_it():
    kitchen, memo = Kitchen(), {}
    run(kitchen.steps(), INPUTS, memo=memo)
    assert run(kitchen.steps(), INPUTS | {"rate": 11.0}, memo=memo)["price"] == 66.0
    assert kitchen.ran == ["area", "price", "price"]


def test_an_equal_result_in_between_stops_the_rerun():
    kitchen, memo = Kitchen(), {}
    run(kitchen.steps(), INPUTS, memo=memo)
    run(kitchen.steps(), INPUTS | {"width": 2.0, "height": 3.0}, memo=memo)  # again 6.0
    assert kitchen.ran == ["area", "price", "area"]


def test_going_back_reruns_nothing():
    kitchen, memo = Kitchen(), {}
    run(kitchen.steps(), INPUTS, memo=memo)
    run(kitchen.steps(), INPUTS | {"rate": 11.0}, memo=memo)
    before = len(kitchen.ran)
    run(kitchen.steps(), INPUTS, memo=memo)
    assert len(kitchen.ran) == before


def test_a_raised_version_reruns():
    kitchen, memo = Kitchen(), {}
    run(kitchen.steps(), INPUTS, memo=memo)
    run(kitchen.steps(version=2), INPUTS, memo=memo)
    assert kitchen.ran == ["area", "price", "price"]


def test_progress_names_each_step_and_the_end():
    told: list[tuple[str, int, int]] = []
    run(Kitchen().steps(), INPUTS, memo={}, progress=lambda *step: told.append(step))
    assert told == [("area", 0, 2), ("price", 1, 2), ("", 2, 2)]


def test_a_run_stops_between_steps_when_asked():
    answers = iter([False, True])
    kitchen = Kitchen()
    with pytest.raises(Stopped, match="price"):
        run(kitchen.steps(), INPUTS, memo={}, stop=lambda: next(answers))
    assert kitchen.ran == ["area"]


def test_a_step_that_needs_what_is_not_there_is_a_callers_mistake():
    with pytest.raises(ValueError, match="needs rate"):
        run(Kitchen().steps(), {"width": 1.0, "height": 1.0}, memo={})


def test_the_needs_of_every_step_are_its_functions_parameters(small_job):
    from giornata.core.job import recipe

    for step in recipe(small_job):
        parameters = inspect.signature(step.function).parameters
        if any(p.kind is p.VAR_KEYWORD for p in parameters.values()):
            assert step.name == "compared"
            continue
        named = {n for n, p in parameters.items() if p.default is p.empty}
        assert set(step.needs) == named, step.name

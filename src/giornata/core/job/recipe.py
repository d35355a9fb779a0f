"""The recipe: the steps that lead from a survey, an artwork and decisions to a priced job."""

from __future__ import annotations

from functools import partial

from giornata.core import artwork
from giornata.core.artwork import Mapped
from giornata.core.job import coarse_marks, derivations, marking, night_work
from giornata.core.job.inputs import JobInputs
from giornata.core.job.steps import Step

__all__ = ["recipe"]


def recipe(inputs: JobInputs, *, mapped: Mapped = map) -> tuple[Step, ...]:
    """The steps of a job, in order; options and colourways each have steps of their own.

    Parameters
    ----------
    mapped : callable
        As in `artwork.flattened`.
    """
    steps = [
        Step(name="wall", function=derivations.wall, needs={"survey": "survey", "site": "site"})
    ]
    for option in inputs.options:
        steps += _design_steps(option.key, mapped)
    chosen = inputs.option
    steps += [
        Step(
            name="rooms",
            function=derivations.rooms,
            needs={
                "wall": "wall",
                "survey": "survey",
                "standing": "standing",
                "access": "access",
                "stand": "stand",
            },
            version=2,
        ),
        Step(
            name="set_ups",
            function=derivations.set_up_plan,
            needs={
                "wall": "wall",
                "projector": "projector",
                "stand": "stand",
                "tools": "tools",
                "rooms": "rooms",
                "placed": f"placed.{chosen}",
                "others": "other_projectors",
            },
            version=6,
        ),
        Step(
            name="marks",
            function=marking.marks,
            needs={
                "plan": "set_ups",
                "wall": "wall",
                "survey": "survey",
                "terms": "marks_asked",
            },
            version=6,
        ),
        Step(
            name="wording",
            function=artwork.wording_findings,
            needs={"drawing": "drawing", "wording": "wording"},
        ),
        Step(
            name="decisions",
            function=derivations.decision_doubts,
            needs={"paint": "paint", "labour": "labour", "survey": "survey"},
        ),
    ]
    if inputs.preparation is not None:
        steps.append(
            Step(
                name="preparation",
                function=derivations.readiness,
                needs={"terms": "preparation", "wall": "wall"},
            )
        )
    for option in inputs.options:
        steps += _night_steps(option.key)
        for colourway in inputs.colourways:
            steps += _scheme_steps(option.key, colourway.key)
    steps.append(
        Step(
            name="coarse_marks",
            function=coarse_marks.coarse_marks,
            needs={
                "plan": "set_ups",
                "marked": "marks",
                "terms": "marks_asked",
                "tools": "tools",
                "transfer": "transfer",
                "night_plan": f"nights.{chosen}",
            },
        )
    )
    steps.append(
        Step(
            name="transfer_hours",
            function=night_work.other_ways,
            needs={
                "plan": "set_ups",
                "wall": "wall",
                "seams": f"seams.{chosen}",
                "traced": f"traced.{chosen}",
                "night_plan": f"nights.{chosen}",
                "transfer": "transfer",
                "placed": f"placed.{chosen}",
            },
            version=2,
        )
    )
    steps.append(
        Step(
            name="power",
            function=night_work.night_power,
            needs={
                "night_plan": f"nights.{chosen}",
                "projector": "projector",
                "nights": "nights",
                "power": "power",
            },
            version=2,
        )
    )
    names = [f"scheme.{o.key}.{c.key}" for o in inputs.options for c in inputs.colourways]
    steps.append(
        Step(
            name="compared",
            function=derivations.compared,
            needs={f"scheme_{number}": name for number, name in enumerate(names)},
        )
    )
    steps.append(
        Step(
            name="contrasts",
            function=derivations.contrasts,
            needs={
                "paints": "paints",
                "colourways": "colourways",
                "take_off": f"take_off.{chosen}",
            },
        )
    )
    return tuple(steps)


def _design_steps(key: str, mapped: Mapped) -> list[Step]:
    return [
        Step(
            name=f"decided.{key}",
            function=derivations.decided_drawing,
            needs={
                "drawing": "drawing",
                "mappings": "mappings",
                "paints": "paints",
                "option": f"option.{key}",
            },
        ),
        Step(
            name=f"flat.{key}",
            function=partial(derivations.flat, mapped=mapped),
            needs={"decided": f"decided.{key}", "option": f"option.{key}"},
            version=3,
        ),
        Step(
            name=f"painted.{key}",
            function=derivations.painted_regions,
            needs={"flat": f"flat.{key}", "paints": "paints"},
        ),
        Step(
            name=f"placed.{key}",
            function=derivations.placed_artwork,
            needs={
                "flat": f"flat.{key}",
                "painted": f"painted.{key}",
                "placement": "placement",
                "wall": "wall",
                "paints": "paints",
            },
        ),
        Step(
            name=f"hidden.{key}",
            function=derivations.hidden_by_obstacles,
            needs={
                "drawing": "drawing",
                "option": f"option.{key}",
                "paints": "paints",
                "placed": f"placed.{key}",
                "wall": "wall",
            },
        ),
        Step(
            name=f"making.{key}",
            function=derivations.costs_to_make,
            needs={
                "placed": f"placed.{key}",
                "wall": "wall",
                "paints": "paints",
                "tools": "tools",
            },
            version=2,
        ),
        Step(
            name=f"take_off.{key}",
            function=derivations.quantities,
            needs={
                "placed": f"placed.{key}",
                "wall": "wall",
                "paints": "paints",
                "tools": "tools",
            },
            version=2,
        ),
    ]


def _night_steps(key: str) -> list[Step]:
    return [
        Step(
            name=f"seams.{key}",
            function=derivations.seams_of,
            needs={"placed": f"placed.{key}", "plan": "set_ups"},
        ),
        Step(
            name=f"traced.{key}",
            function=derivations.traced_edges,
            needs={
                "placed": f"placed.{key}",
                "plan": "set_ups",
                "seams": f"seams.{key}",
                "transfer": "transfer",
            },
            version=3,
        ),
        Step(
            name=f"transfers.{key}",
            function=night_work.transfers_of,
            needs={"placed": f"placed.{key}", "wall": "wall", "transfer": "transfer"},
        ),
        Step(
            name=f"nights.{key}",
            function=night_work.night_hours,
            needs={
                "traced": f"traced.{key}",
                "nights": "nights",
                "labour": "labour",
                "site": "site",
                "placed": f"placed.{key}",
                "plan": "set_ups",
                "seams": f"seams.{key}",
                "transfer": "transfer",
            },
            version=4,
        ),
    ]


def _scheme_steps(option: str, colourway: str) -> list[Step]:
    key = f"{option}.{colourway}"
    return [
        Step(
            name=f"works.{key}",
            function=derivations.work_of,
            needs={
                "wall": "wall",
                "take_off": f"take_off.{option}",
                "colourway": f"colourway.{colourway}",
                "paint": "paint",
                "labour": "labour",
                "access": "access",
            },
            version=2,
        ),
        Step(
            name=f"extra_coats.{key}",
            function=derivations.one_more_coat,
            needs={"worked": f"works.{key}", "paint": "paint", "labour": "labour"},
        ),
        Step(
            name=f"scheme.{key}",
            function=derivations.scheme_of,
            needs={
                "wall": "wall",
                "option": f"option.{option}",
                "colourway": f"colourway.{colourway}",
                "take_off": f"take_off.{option}",
                "worked": f"works.{key}",
                "price": "price",
                "night_plan": f"nights.{option}",
                "extra_coats": f"extra_coats.{key}",
                "labour": "labour",
                "transfers": f"transfers.{option}",
            },
        ),
    ]

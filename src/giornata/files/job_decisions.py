"""``[[artwork.decisions]]``: what becomes of things in the artwork that are not flat colour."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Self

from pydantic import Field, model_validator

from giornata.core import artwork
from giornata.core.artwork import Way
from giornata.files.job_measures import Entry, faulty
from giornata.files.toml_lines import KeyPath

__all__ = ["DecisionTable", "check_decisions"]

_PATH: KeyPath = ("artwork", "decisions")


class DecisionTable(Entry):
    """``[[artwork.decisions]]``."""

    thing: str = Field(alias="for", min_length=1)
    becomes: Way
    paint: str | None = None
    paints: tuple[str, ...] = ()
    steps: int | None = Field(default=None, ge=1, le=60)

    @model_validator(mode="after")
    def _record_stands(self) -> Self:  # in the place of what every table looks at
        """Whether the decision says what its way needs, and nothing that it does not."""
        if (self.becomes is Way.ONE_PAINT) != (self.paint is not None):
            raise faulty(
                "job.decision_paint",
                '"one paint" and its paint go together, and only they.',
                'Write becomes = "one paint" and paint = "..." with the paint\'s key.',
            )
        if self.becomes is Way.STEPS and (self.steps is None) == (not self.paints):
            raise faulty(
                "job.decision_steps",
                "Steps are given by their paints in order, or by their number: one of the two.",
                'Write paints = ["...", "..."], or steps = 4 for the nearest paints.',
            )
        if self.steps is not None and self.becomes is not Way.STEPS:
            raise faulty(
                "job.decision_steps",
                f'A number of steps goes with "steps", not with "{self.becomes}".',
                'Take it out, or write becomes = "steps".',
            )
        if self.paints and self.becomes not in (Way.STEPS, Way.NEAREST):
            raise faulty(
                "job.decision_steps",
                f'Paints in a list go with "steps" or "nearest", not with "{self.becomes}".',
                "Take them out.",
            )
        return self

    def record(self) -> artwork.Decision:
        """The decision."""
        return artwork.Decision(
            thing=self.thing,
            way=self.becomes,
            paints=self.paints if self.paint is None else (self.paint,),
            steps=self.steps or 0,
        )


def check_decisions(raw: dict[str, Any], fault: Callable[[str, KeyPath, str, str], None]) -> None:
    """Faults of decisions against the paints: paints that are none, or list no colour.

    Parameters
    ----------
    raw : dict
        The whole job file as written.
    fault : callable
        Called with code, key path, message and remedy of each fault.
    """
    section = raw.get("artwork")
    rows = section.get("decisions") if isinstance(section, dict) else None
    paints = raw.get("paints")
    if not isinstance(rows, list) or not isinstance(paints, list):
        return
    listed = {
        paint["key"]: bool(paint.get("artwork"))
        for paint in paints
        if isinstance(paint, dict) and isinstance(paint.get("key"), str)
    }
    for index, row in enumerate(rows):
        if not isinstance(row, dict):
            continue
        several = row.get("paints")
        asked = [row.get("paint"), *(several if isinstance(several, list) else [])]
        for key in asked:
            if not isinstance(key, str):
                continue
            if key not in listed:
                fault("job.unknown_paint", (*_PATH, index), f'"{key}" is no paint of this job.',
                      "Write one of " + ", ".join(sorted(listed)) + ".")  # fmt: skip
            elif not listed[key]:
                fault("job.decision_colour", (*_PATH, index),
                      f'"{key}" lists no colour of the artwork, so nothing can be drawn in it.',
                      f'Give the paint "{key}" one: artwork = ["#rrggbb"].')  # fmt: skip

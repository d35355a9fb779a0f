"""A wall's survey with all its readings adjusted together, or left as taken where they clash."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from giornata.core.foundation import Finding, Floats, Severity
from giornata.core.survey.adjusted import Adjustment
from giornata.core.survey.adjustment import adjust, critical_test
from giornata.core.survey.adjustment_findings import adjustment_findings
from giornata.core.survey.closure import Closure, Verdict
from giornata.core.survey.local import changed_parts
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.wall_network import WallNetwork, wall_network

__all__ = ["AdjustedWall", "adjusted_wall", "all_bays_checked"]

_MOST = 1500  # readings: the equations are dense, and more than this take minutes
_LEAST = 0.001  # m: what comes out smaller than this has no size
_SMALL = 0.0001  # m: step by which each unknown is moved to see what depends on it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AdjustedWall:
    """A survey whose readings between points were adjusted with its plain ones.

    Parameters
    ----------
    network : WallNetwork
        All readings, and where the survey's own places are among them.
    adjustment : Adjustment
        Of all of them.
    survey : WallSurvey
        The plain survey with adjusted chainages, levels and heights; as taken where the
        adjustment is not to be used.
    """

    network: WallNetwork
    adjustment: Adjustment
    survey: WallSurvey

    @property
    def used(self) -> bool:
        """Whether the wall is drawn from it: not where readings contradict one another."""
        return self.adjustment.used

    @property
    def scale(self) -> float:
        """How much larger than stated errors are taken: above 1 where the readings show it. [-]"""
        found = self.adjustment
        return 1.0 if found.passed else max(1.0, found.posterior or 1.0)

    def moved(self) -> Iterator[tuple[int, WallSurvey, WallSurvey]]:
        """Place of each unknown that matters, and the part of the wall around it moved both ways.

        The survey with the unknown a little smaller comes first, then a little larger; each holds
        only the rows and openings that the unknown can change.
        """
        values = self.adjustment.values
        column = {unknown: place for place, unknown in enumerate(self.adjustment.unknowns)}
        for unknown, part in changed_parts(self.network, self.survey):
            if unknown in column:
                yield (
                    column[unknown],
                    part.put_back({**values, unknown: values[unknown] - _SMALL}),
                    part.put_back({**values, unknown: values[unknown] + _SMALL}),
                )

    def slope(self, change: Floats) -> Floats:
        """Change of quantities for a unit change of an unknown, from `moved`. [-]

        Parameters
        ----------
        change : ndarray
            Each quantity with the unknown moved up less the same moved down. [unit]
        """
        found: Floats = change / (2 * _SMALL)
        return found

    def errors(self, slope: Floats) -> Floats:
        """Error that each reading brings into quantities, one standard deviation of it. [unit]

        Parameters
        ----------
        slope : ndarray, shape (k, u)
            Change of each quantity for a unit change of each unknown. [-]
        """
        found: Floats = self.scale * (slope @ self.adjustment.gain) * self.adjustment.sigma
        return found


def adjusted_wall(
    survey: WallSurvey, closed: Closure | None
) -> tuple[AdjustedWall | None, tuple[Finding, ...]]:
    """The survey adjusted, and what is amiss; None without readings between named points.

    Parameters
    ----------
    survey : WallSurvey
        As taken.
    closed : Closure or None
        Of its bays on the overall: where that is refused nothing is adjusted away.
    """
    if not survey.readings:
        return None, ()
    network = wall_network(survey)
    if len(network.readings) > _MOST:
        return None, (_too_many(len(network.readings)),)
    found = adjust(network.readings, network.sigma, same_chainage=network.same_chainage)
    if found is None:
        return None, ()
    refused = closed is not None and closed.verdict is Verdict.REMEASURE
    findings = adjustment_findings(
        network, found, limit=survey.closure_limit, refused=refused, critical=critical_test()
    )
    used = not refused and not any(finding.severity is Severity.STOP for finding in findings)
    lost = network.without_size(found.values, _LEAST) if used else ()
    if lost:
        used, findings = False, (*findings, _without_size(lost))
    return (
        AdjustedWall(
            network=network,
            adjustment=replace(found, used=used),
            survey=network.put_back(found.values) if used else survey,
        ),
        findings,
    )


def all_bays_checked(found: AdjustedWall) -> bool:
    """Whether every bay is checked by other readings."""
    bays = found.adjustment.readings[: len(found.network.survey.bays)]
    return bool(np.all([bay.test is not None for bay in bays]))


def _without_size(lost: tuple[str, ...]) -> Finding:
    return Finding(
        code="survey.adjusted_away",
        severity=Severity.STOP,
        subject="readings between points",
        message=f"Adjusted together they leave no size to {', '.join(lost[:4])}. Nothing was "
        "adjusted; the wall is drawn as taped.",
        remedy="Look for two points mixed up, or a bay or opening shorter than the readings miss.",
    )


def _too_many(count: int) -> Finding:
    return Finding(
        code="survey.too_many_readings",
        severity=Severity.STOP,
        subject="readings between points",
        message=f"{count:,} readings in one wall; at most {_MOST:,} are adjusted together. "
        "Nothing was adjusted; the wall is drawn as taped.",
        remedy="Split the wall at a joint into two jobs, or leave out readings that check nothing.",
    )

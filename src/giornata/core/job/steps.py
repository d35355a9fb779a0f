"""Steps: what is derived from what, and rerunning only what a change touches."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, MutableMapping
from dataclasses import dataclass
from typing import Any

from giornata.core.foundation import digest

__all__ = ["Memo", "Progress", "Step", "Stopped", "run"]

Memo = MutableMapping[str, tuple[Any, str]]  # step key -> (value, digest of the value)
Progress = Callable[[str, int, int], None]  # step, how many are done, how many there are


class Stopped(Exception):
    """The run was stopped between two steps, because it was asked to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One derivation.

    Parameters
    ----------
    name : str
        Name of the result ("wall", "take_off.A").
    function : callable
        Pure; its parameters are the keys of ``needs``.
    needs : mapping of str to str
        Parameter to the input or step it is taken from.
    version : int
        Raised whenever the function's results change. [-]
    """

    name: str
    function: Callable[..., Any]
    needs: Mapping[str, str]
    version: int = 1


def run(
    steps: Iterable[Step],
    inputs: Mapping[str, Any],
    *,
    memo: Memo,
    progress: Progress | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> dict[str, Any]:
    """Results of all steps by name, taking from the memo what has not changed.

    Parameters
    ----------
    steps : iterable of Step
        In an order in which each comes after what it needs.
    inputs : mapping of str to any
        What the steps start from.
    memo : mutable mapping
        Kept between runs by the caller; a step is rerun only when its version or the content of
        something it needs has changed.
    progress : callable, optional
        Told before each step, and once at the end.
    stop : callable, optional
        Asked before each step; true stops the run.

    Raises
    ------
    Stopped
        If ``stop`` said so.
    ValueError
        If a step needs something that comes later or not at all.
    """
    listed = list(steps)
    values: dict[str, Any] = dict(inputs)
    digests: dict[str, str] = {}
    known: dict[int, bytes] = {}  # every value stays alive until the run ends
    for number, step in enumerate(listed):
        if stop():
            raise Stopped(step.name)
        if progress is not None:
            progress(step.name, number, len(listed))
        missing = [source for source in step.needs.values() if source not in values]
        if missing:
            raise ValueError(f"step {step.name} needs {missing[0]}, which is not there yet")
        for source in step.needs.values():
            if source not in digests:
                digests[source] = digest(values[source], known=known)
        key = digest(
            (step.name, step.version, {p: digests[source] for p, source in step.needs.items()})
        )
        if key not in memo:
            value = step.function(**{p: values[source] for p, source in step.needs.items()})
            memo[key] = (value, digest(value, known=known))
        values[step.name], digests[step.name] = memo[key]
    if progress is not None:
        progress("", len(listed), len(listed))
    return {step.name: values[step.name] for step in listed}

"""Paints, colourways and options: what the artwork's colours are painted with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

__all__ = ["Colourway", "Option", "Paint", "Role"]


class Role(StrEnum):
    """Whether a paint is the ground or a figure on it."""

    GROUND = "ground"
    FIGURE = "figure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """One paint of the design, whatever its colour in a colourway.

    Parameters
    ----------
    number : int
        Colour number on sheets, from 1 in order of painting. [-]
    key, name : str
        Short name in the job file; name in print.
    role : Role
        Exactly one paint of a job is the ground.
    artwork : tuple of str
        The artwork file's colours that are painted with it, ``#rrggbb``.
    """

    number: int
    key: str
    name: str
    role: Role = Role.FIGURE
    artwork: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One design out of the artwork file: which named groups are left out or brought in."""

    key: str
    name: str
    hide: tuple[str, ...] = ()
    show: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Colourway:
    """One colour set of a design; geometry stays.

    Parameters
    ----------
    colours : mapping of str to str
        Paint key to ``#rrggbb``.
    coats : mapping of str to int
        Paint key to coats, where it differs from the job's default.
    """

    key: str
    name: str
    colours: Mapping[str, str]
    coats: Mapping[str, int]

    def __post_init__(self) -> None:
        object.__setattr__(self, "colours", MappingProxyType(dict(self.colours)))
        object.__setattr__(self, "coats", MappingProxyType(dict(self.coats)))

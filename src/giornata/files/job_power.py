"""Table of the job file that says where the power of the nights comes from."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from giornata.core import works
from giornata.files.job_measures import Amperes, Energy, Entry, Share, Volts, Watts

__all__ = ["PowerTable"]


class ConsumerTable(Entry):
    """Something else that draws power."""

    name: str = Field(min_length=1)
    power: Watts

    def record(self) -> works.Consumer:
        """The consumer."""
        return works.Consumer(name=self.name, power=self.power)


class PowerTable(Entry):
    """``[power]``."""

    source: works.PowerSource
    battery: Energy | None = None
    batteries: Annotated[int, Field(ge=1, le=100)] = 1
    usable: Share | None = None
    efficiency: Share | None = None
    rating: Watts | None = None
    circuit: Amperes | None = None
    voltage: Volts = 230.0
    others: tuple[ConsumerTable, ...] = ()

    def record(self) -> works.PowerTerms:
        """Where the power comes from."""
        return works.PowerTerms(
            source=self.source,
            battery=self.battery,
            batteries=self.batteries,
            usable=self.usable,
            efficiency=self.efficiency,
            rating=self.rating,
            circuit=self.circuit,
            voltage=self.voltage,
            others=tuple(one.record() for one in self.others),
        )

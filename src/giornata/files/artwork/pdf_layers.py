"""Optional content of a PDF: layers that can be switched on and off (ISO 32000-1, 8.11)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pikepdf

__all__ = ["LayerState", "OptionalContent"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerState:
    """Names a piece of content goes by, and whether it is read at all.

    A single layer is read even when it is off, so that an option may show it; content that hangs
    on a condition over several layers is read only where the condition holds.
    """

    names: tuple[str, ...] = ()
    readable: bool = True


def _key(dictionary: Any) -> tuple[int, int]:
    number, generation = dictionary.objgen
    return (int(number), int(generation))


@dataclass(slots=True)
class OptionalContent:
    """Layers of one document.

    Parameters
    ----------
    names : dict
        Name of each layer by its object number, in document order.
    off : set
        Object numbers of the layers that are off.
    """

    names: dict[tuple[int, int], str] = field(default_factory=dict)
    off: set[tuple[int, int]] = field(default_factory=set)

    @classmethod
    def of(cls, document: pikepdf.Pdf) -> OptionalContent:
        """Layers of a document in its default configuration."""
        properties = document.Root.get("/OCProperties")
        if properties is None:
            return cls()
        groups = list(properties.get("/OCGs", []))
        names = {_key(group): str(group.get("/Name", "")).replace("/", "-") for group in groups}
        default = properties.get("/D", pikepdf.Dictionary())
        off = set(names) if default.get("/BaseState") == pikepdf.Name("/OFF") else set()
        off -= {_key(group) for group in default.get("/ON", [])}
        off |= {_key(group) for group in default.get("/OFF", [])}
        return cls(names, off)

    @property
    def hidden(self) -> tuple[str, ...]:
        """Names of the layers that are off, in document order."""
        return tuple(name for key, name in self.names.items() if key in self.off)

    def layer(self, properties: Any) -> LayerState:
        """What a property dictionary of marked content or a form says."""
        if not isinstance(properties, pikepdf.Dictionary):
            return LayerState()
        key = _key(properties)
        if key in self.names:
            name = self.names[key]
            return LayerState(names=(name,) if name else ())
        members = properties.get("/OCGs")
        if members is None:
            return LayerState()
        each = list(members) if isinstance(members, pikepdf.Array) else [members]
        if len(each) == 1 and "/VE" not in properties and "/P" not in properties:
            return self.layer(each[0])
        shown = [_key(group) not in self.off for group in each]
        policy = str(properties.get("/P", "/AnyOn"))
        readable = {
            "/AllOn": all(shown),
            "/AnyOff": not all(shown),
            "/AllOff": not any(shown),
        }.get(policy, any(shown))
        return LayerState(readable=readable)

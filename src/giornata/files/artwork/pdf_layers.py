"""Optional content of a PDF: layers that can be switched on and off (ISO 32000-1, 8.11)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pikepdf

__all__ = ["LayerState", "OptionalContent"]

_DEEPEST = 32  # expressions within expressions


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


def _dictionaries(values: Any) -> list[Any]:
    return [value for value in values if isinstance(value, pikepdf.Dictionary)]


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
        groups = _dictionaries(properties.get("/OCGs", []))
        names: dict[tuple[int, int], str] = {}
        for group in groups:
            plain = str(group.get("/Name", "")).replace("/", "-").strip() or "layer"
            name, number = plain, 2
            while name in names.values():
                name, number = f"{plain} ({number})", number + 1
            names.setdefault(_key(group), name)
        default = properties.get("/D", pikepdf.Dictionary())
        off = set(names) if default.get("/BaseState") == pikepdf.Name("/OFF") else set()
        off -= {_key(group) for group in _dictionaries(default.get("/ON", []))}
        off |= {_key(group) for group in _dictionaries(default.get("/OFF", []))}
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
            return LayerState(names=(self.names[key],))
        if "/VE" in properties:
            return LayerState(readable=self._holds(properties.VE))
        members = properties.get("/OCGs")
        each = _dictionaries(members if isinstance(members, pikepdf.Array) else [members])
        if not each:  # section 8.11.2.2: then it has no effect
            return LayerState()
        if len(each) == 1 and "/P" not in properties:
            return self.layer(each[0])
        shown = [_key(group) not in self.off for group in each]
        policy = str(properties.get("/P", "/AnyOn"))
        readable = {
            "/AllOn": all(shown),
            "/AnyOff": not all(shown),
            "/AllOff": not any(shown),
        }.get(policy, any(shown))
        return LayerState(readable=readable)

    def _holds(self, expression: Any, depth: int = _DEEPEST) -> bool:
        """Whether a visibility expression holds (table 100): a layer, or And, Or, Not of others."""
        if isinstance(expression, pikepdf.Dictionary):
            return _key(expression) not in self.off
        if not isinstance(expression, pikepdf.Array) or len(expression) == 0 or depth <= 0:
            return True
        inner = [self._holds(one, depth - 1) for one in list(expression)[1:]]
        if str(expression[0]) == "/Not":
            return not all(inner)
        return all(inner) if str(expression[0]) == "/And" else any(inner)

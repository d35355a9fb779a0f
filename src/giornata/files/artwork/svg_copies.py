"""In which trees the parts of a source are styled: in its own, and in copies that ``use`` makes.

A copy stands in a tree of its own, with what is repeated at its top. The rules of the source hold
there too, but see nothing around it: no element that it stands in or beside, nor the ``use``
(SVG 2, section 5.6.2, "The use-element shadow tree").
"""

from __future__ import annotations

from giornata.files.artwork.svg_source import Element

__all__ = ["Copied"]

# What these hold is drawn through a link, in the source's own tree.
_LINKED = frozenset({"clipPath", "filter", "linearGradient", "marker", "mask", "pattern",
                     "radialGradient"})  # fmt: skip
_STORED = frozenset({"defs", "symbol"})  # what these hold is not drawn but by ``use``


class Copied:
    """What ``use`` repeats in a source.

    Parameters
    ----------
    root : Element
        The source.
    """

    def __init__(self, root: Element) -> None:
        self.around: dict[int, Element] = {}
        self.tops: dict[int, Element] = {}
        named: dict[str, Element] = {}
        uses: list[str] = []
        for element in root.walk():
            named.setdefault(element.identity, element)
            self.around.update((id(child), element) for child in element.children)
            if element.name == "use" and element.href[:1] == "#":
                uses.append(element.href[1:])
        for name in filter(None, uses):
            if name in named:
                self.tops[id(named[name])] = named[name]

    def trees_of(self, element: Element) -> list[Element | None]:
        """Tops of the copies in which an element shows; None among them for the source itself."""
        found: list[Element | None] = []
        at: Element | None = element
        while at is not None and at.name not in _LINKED:
            if id(at) in self.tops:
                found.append(at)
            if at.name in _STORED:
                return found
            at = self.around.get(id(at))
        return [*found, None]

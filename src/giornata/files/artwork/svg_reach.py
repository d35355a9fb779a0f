"""Which elements of a source can show, and what points at what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from giornata.files.artwork.svg_source import Element
from giornata.files.artwork.svg_style import declarations, links

__all__ = ["Link", "Reach", "reach_of"]

# Elements that show only where something points at them (SVG 2, section 3.3.3, "never-rendered").
STORES = frozenset(
    {
        "clipPath",
        "defs",
        "filter",
        "hatch",
        "linearGradient",
        "marker",
        "mask",
        "meshgradient",
        "pattern",
        "radialGradient",
        "symbol",
    }
)


@dataclass(frozen=True, slots=True)
class Link:
    """One thing pointing at another.

    Parameters
    ----------
    user : Element
        Who points.
    property : str
        By which property or attribute.
    target : str
        The id pointed at.
    line : int
        Where. [-]
    """

    user: Element
    property: str
    target: str
    line: int


@dataclass(slots=True, kw_only=True)
class Reach:
    """Elements that can show, in the order found, and all links from them.

    ``identities`` holds the first element of each id; ``parents`` the element around each by
    its ``id()``.
    """

    elements: list[Element]
    links: list[Link]
    identities: dict[str, Element]
    parents: dict[int, Element]

    def ancestors(self, element: Element) -> Iterator[Element]:
        """Elements around one, nearest first."""
        at = self.parents.get(id(element))
        while at is not None:
            yield at
            at = self.parents.get(id(at))


def _links_from(element: Element) -> Iterator[Link]:
    for name, value in element.attributes.items():
        if name == "style":
            for property_, text in declarations(value):
                for target in links(text):
                    yield Link(element, property_, target, element.line)
        elif "url(" in value.lower():
            for target in links(value):
                yield Link(element, name, target, element.line)
    if element.href and element.name != "a":
        yield Link(element, "href", element.href, element.line)


def reach_of(root: Element) -> Reach:
    """Elements that can show.

    What stands in a store (``defs``, ``symbol``, ``clipPath``, ...) shows only if something that
    shows points at it or at what it stands in. Hidden things count: an option may show them.
    """
    identities: dict[str, Element] = {}
    parents: dict[int, Element] = {}
    for element in root.walk():
        if element.identity:
            identities.setdefault(element.identity, element)
        for child in element.children:
            parents[id(child)] = element
    reach = Reach(elements=[], links=[], identities=identities, parents=parents)
    seen: set[int] = set()
    waiting = [root]

    def follow(link: Link) -> None:
        reach.links.append(link)
        target = identities.get(link.target[1:]) if link.target.startswith("#") else None
        if target is not None:
            waiting.append(target)

    while waiting:
        stack = [waiting.pop()]
        while stack:
            element = stack.pop()
            if id(element) in seen:
                continue
            seen.add(id(element))
            reach.elements.append(element)
            for link in _links_from(element):
                follow(link)
            stack.extend(c for c in reversed(element.children) if c.name not in STORES)
    return reach

"""Styles of an SVG source: declarations, rules, and what of them is passed on.

The parser follows CSS Syntax Level 3 as far as telling rules, at-rules and declarations apart.
Which rule applies to which element is worked out in `svg_cascade`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

__all__ = [
    "PROFILE",
    "AtRule",
    "Rule",
    "declarations",
    "links",
    "outside_links",
    "stylesheet",
]

_COMMENT = re.compile(r"/\*.*?(\*/|\Z)", re.DOTALL)
_LINK = re.compile(r"""url\(\s*(?:"([^"]*)"|'([^']*)'|([^)"']*))\s*\)""", re.IGNORECASE)
_STRING = re.compile(r'"(?:[^"\\]|\\.)*"|\'(?:[^\'\\]|\\.)*\'', re.DOTALL)
# From the first space of a run only, and to the next bracket: work in step with the length.
PROFILE = re.compile(r"(?<!\s)\s+(?:icc-color|device-\w+)\([^()]*\)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a style sheet."""

    selectors: tuple[str, ...]
    declarations: tuple[tuple[str, str], ...]
    line: int


@dataclass(frozen=True, slots=True)
class AtRule:
    """One at-rule of a style sheet; it is not passed on."""

    name: str
    text: str
    line: int


def _without_comments(text: str) -> str:
    return _COMMENT.sub(lambda found: "\n" * found.group().count("\n") or " ", text)


def _split(text: str, at: str) -> Iterator[str]:
    """Pieces of a text between separators that stand outside strings and brackets."""
    depth, start, index = 0, 0, 0
    while index < len(text):
        char = text[index]
        if char in "\"'":
            string = _STRING.match(text, index)
            index = string.end() if string else len(text)
            continue
        if char in "([":
            depth += 1
        elif char in ")]":
            depth = max(0, depth - 1)
        elif char == at and depth == 0:
            yield text[start:index]
            start = index + 1
        index += 1
    yield text[start:]


def declarations(text: str) -> tuple[tuple[str, str], ...]:
    """Properties (lower case) and their values, in order, of a style attribute or a rule."""
    found: list[tuple[str, str]] = []
    for piece in _split(_without_comments(text), ";"):
        name, colon, value = piece.partition(":")
        if colon and name.strip() and value.strip():
            found.append((name.strip().lower(), value.strip()))
    return tuple(found)


def _block_end(text: str, start: int) -> int:
    """Index of the brace that closes the block opened just before ``start``."""
    depth, index = 1, start
    while index < len(text):
        char = text[index]
        if char in "\"'":
            string = _STRING.match(text, index)
            index = string.end() if string else len(text)
            continue
        depth += (char == "{") - (char == "}")
        if depth == 0:
            return index
        index += 1
    return len(text)


def stylesheet(text: str, line: int) -> tuple[tuple[Rule, ...], tuple[AtRule, ...]]:
    """Rules and at-rules of a style sheet.

    Parameters
    ----------
    text : str
        Content of a style element.
    line : int
        Line on which it begins, counted from 1. [-]
    """
    text = _without_comments(text).replace("<!--", "    ").replace("-->", "   ")
    rules: list[Rule] = []
    others: list[AtRule] = []
    at = 0
    while at < len(text):
        found = re.compile(r"[{;]").search(text, at)
        head_end = found.start() if found else len(text)
        head = text[at:head_end]
        here = line + text.count("\n", 0, at + len(head) - len(head.lstrip()))
        if head.strip().startswith("@"):
            name = re.match(r"@[\w-]*", head.strip())
            end = head_end
            if found and found.group() == "{":
                end = _block_end(text, head_end + 1)
            others.append(AtRule((name.group() if name else "@").lower(), head.strip(), here))
            at = end + 1
            continue
        if found is None:
            break
        if found.group() == ";":
            at = head_end + 1
            continue
        end = _block_end(text, head_end + 1)
        selectors = tuple(s.strip() for s in _split(head, ",") if s.strip())
        body = text[head_end + 1 : end]
        if "{" in _STRING.sub("", body):
            others.append(AtRule("nested", f"{head.strip()[:30]} {{ ... {{", here))
        rules.append(Rule(selectors, declarations(body), here))
        at = end + 1
    return tuple(rules), tuple(others)


def links(value: str) -> tuple[str, ...]:
    """Targets of all ``url(...)`` in a value."""
    return tuple(
        next((part for part in groups if part), "").strip() for groups in _LINK.findall(value)
    )


def outside_links(value: str) -> tuple[str, ...]:
    """Targets of all ``url(...)`` in a value that are not in the file itself."""
    return tuple(target for target in links(value) if not target.startswith("#"))

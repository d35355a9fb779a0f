"""Lines of a TOML text: on which line each key and each element of an array stands."""

from __future__ import annotations

import re
import tomllib

__all__ = ["KeyPath", "line_of", "lines"]

KeyPath = tuple[str | int, ...]

_BARE_END = re.compile(r"[,\]}\n#]")
_KEY_PART = re.compile(r"""\s*("(?:\\.|[^"\\])*"|'[^']*'|[A-Za-z0-9_-]+)\s*""")


def lines(text: str) -> dict[KeyPath, int]:
    r"""Line, from 1, of every key and array element of a well-formed TOML text. [-]

    Examples
    --------
    >>> lines('[wall]\nbays = [\n  { length = "3 m" },\n]')[("wall", "bays", 0, "length")]
    3
    """
    return _Scanner(text).scan()


def line_of(path: KeyPath, found: dict[KeyPath, int]) -> int:
    """Line of a key, or of the nearest thing around it that is written; 0 where none. [-]"""
    for length in range(len(path), 0, -1):
        if path[:length] in found:
            return found[path[:length]]
    return 0


class _Scanner:
    """Walks the text once; only positions are kept, values are not read."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found: dict[KeyPath, int] = {}
        self.counts: dict[KeyPath, int] = {}

    def scan(self) -> dict[KeyPath, int]:
        prefix: KeyPath = ()
        self._blank()
        while self.at < len(self.text):
            if self.text.startswith("[[", self.at):
                self.at += 2
                name = self._resolved(self._key("]"))
                self.at += 2
                index = self.counts.get(name, -1) + 1
                self.counts[name] = index
                self._mark(name, first=True)
                prefix = (*name, index)
                self._mark(prefix)
            elif self.text[self.at] == "[":
                self.at += 1
                prefix = self._resolved(self._key("]"))
                self.at += 1
                self._mark(prefix)
            else:
                self._pair(prefix)
            self._blank()
        return self.found

    def _resolved(self, name: KeyPath) -> KeyPath:
        """A header's name with the index of the latest element of each array of tables in it."""
        path: KeyPath = ()
        for part in name[:-1]:
            path = (*path, part)
            if path in self.counts:
                path = (*path, self.counts[path])
        path = (*path, name[-1])
        return path

    def _mark(self, path: KeyPath, *, first: bool = False) -> None:
        line = self.text.count("\n", 0, self.at) + 1
        if first:
            self.found.setdefault(path, line)
        else:
            self.found[path] = line

    def _blank(self) -> None:
        while self.at < len(self.text):
            if self.text[self.at] in " \t\r\n":
                self.at += 1
            elif self.text[self.at] == "#":
                end = self.text.find("\n", self.at)
                self.at = len(self.text) if end < 0 else end
            else:
                return

    def _key(self, stop: str) -> KeyPath:
        parts: list[str] = []
        while self.text[self.at] != stop:
            match = _KEY_PART.match(self.text, self.at)
            if match is None:  # the dot between two parts
                self.at += 1
                continue
            written = match[1]
            parts.append(
                str(tomllib.loads(f"k = {written}")["k"]) if written[0] in "\"'" else written
            )
            self.at = match.end()
        return tuple(parts)

    def _pair(self, prefix: KeyPath) -> None:
        start = self.at
        path = (*prefix, *self._key("="))
        end, self.at = self.at, start
        self._mark(path)
        self.at = end + 1
        self._value(path)

    def _value(self, path: KeyPath) -> None:
        while self.text[self.at] in " \t":
            self.at += 1
        character = self.text[self.at]
        if character == "[":
            self._array(path)
        elif character == "{":
            self._inline(path)
        elif character in "\"'":
            self._string(character)
        else:
            match = _BARE_END.search(self.text, self.at)
            self.at = match.start() if match else len(self.text)

    def _array(self, path: KeyPath) -> None:
        self.at += 1
        index = 0
        self._blank()
        while self.text[self.at] != "]":
            if self.text[self.at] == ",":
                index += 1
                self.at += 1
            else:
                self._mark((*path, index))
                self._value((*path, index))
            self._blank()
        self.at += 1

    def _inline(self, path: KeyPath) -> None:
        self.at += 1
        self._blank()
        while self.text[self.at] != "}":
            if self.text[self.at] == ",":
                self.at += 1
            else:
                self._pair(path)
            self._blank()
        self.at += 1

    def _string(self, quote: str) -> None:
        if self.text.startswith(quote * 3, self.at):
            end = self.text.find(quote * 3, self.at + 3)
            while quote == '"' and self._escaped(end):
                end = self.text.find(quote * 3, end + 1)
            self.at = end + 3
            while self.at < len(self.text) and self.text[self.at] == quote:
                self.at += 1
            return
        self.at += 1
        while self.text[self.at] != quote:
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        self.at += 1

    def _escaped(self, at: int) -> bool:
        before = re.search(r"\\*\Z", self.text[:at])
        return before is not None and len(before[0]) % 2 == 1

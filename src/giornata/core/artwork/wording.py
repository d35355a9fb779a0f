"""The brief's wording against the words in the artwork, letter by letter, in both directions."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import groupby

from giornata.core.artwork.drawing import Drawing
from giornata.core.artwork.nonflat import Kind
from giornata.core.foundation import Assumption, Finding, Severity, number_of

__all__ = ["Wording", "wording_findings"]

ALIKE = Assumption(
    name="least likeness of two words of which one is the other misspelt",
    value=0.5,
    unit="-",
    source="house default, no source: half of the letters agree, in order",
    usual=(0.4, 0.7),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """What the artwork is to say, and what it says where that cannot be read from its file.

    Parameters
    ----------
    brief : tuple of str
        Lines of the brief, as written there.
    drawn : tuple of str
        Lines typed off the artwork, for lettering that is outlines or pixels.
    """

    brief: tuple[str, ...] = ()
    drawn: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    place: str


def _words(lines: Sequence[tuple[str, str]]) -> list[_Word]:
    """Words of lines, each with its place, in composed letters."""
    return [
        _Word(word, f"{place}, word {number}")
        for text, place in lines
        for number, word in enumerate(unicodedata.normalize("NFC", text).split(), start=1)
    ]


def _drawn_lines(drawing: Drawing, wording: Wording) -> list[tuple[str, str]]:
    lines: list[tuple[str, str]] = []
    for thing in drawing.things:
        if thing.kind is Kind.LETTERING and thing.words:
            at = "" if thing.box is None else f" at x {thing.box[0]:.4g}, y {thing.box[3]:.4g}"
            lines.append((thing.words, f'artwork, "{thing.name}"{at}'))
    lines += [(text, f"drawn_words {k}") for k, text in enumerate(wording.drawn, start=1)]
    return lines


def wording_findings(drawing: Drawing, wording: Wording) -> tuple[Finding, ...]:
    """Each difference between the brief's wording and what the artwork says.

    Parameters
    ----------
    drawing : Drawing
        Its lettering says what it says; lettering that is outlines does not.
    wording : Wording
        The brief's words, and those typed off the artwork.

    Notes
    -----
    Words are aligned in order by the longest runs in common (Ratcliff and Metzener's pattern
    matching, as the standard library's ``difflib`` has it). Of those left over, equal ones stand
    in another place, alike ones are spelt otherwise, and the rest is missing or too much. Letters
    are compared in composed form (NFC); words that differ in capitals alone are a note.

    References
    ----------
    Ratcliff and Metzener 1988, Pattern matching: the gestalt approach, Dr. Dobb's Journal 13(7).
    """
    if not wording.brief:
        return ()
    asked = _words([(text, f"brief, line {k}") for k, text in enumerate(wording.brief, start=1)])
    shown = _words(_drawn_lines(drawing, wording))
    if not shown:
        return (_unread(drawing, asked),)
    wanting, spare = _left_over(asked, shown)
    found = [_moved(one, other) for one, other in _paired(wanting, spare, 1.0)]
    alike = _paired(wanting, spare, ALIKE.value)
    found += [_spelt(one, other) for one, other in alike]
    found += [_missing(word) for word in wanting]
    found += [_too_much(word) for word in spare]
    return tuple(found)


def _left_over(asked: list[_Word], shown: list[_Word]) -> tuple[list[_Word], list[_Word]]:
    """Words of either side that are not in the longest runs in common."""
    matcher = SequenceMatcher(
        None, [word.text for word in asked], [word.text for word in shown], autojunk=False
    )
    wanting: list[_Word] = []
    spare: list[_Word] = []
    for tag, i0, i1, j0, j1 in matcher.get_opcodes():
        if tag != "equal":
            wanting += asked[i0:i1]
            spare += shown[j0:j1]
    return wanting, spare


def _paired(wanting: list[_Word], spare: list[_Word], least: float) -> list[tuple[_Word, _Word]]:
    """Pairs of at least so much likeness, the likest first; they are taken out of both lists."""
    scored = [
        (_likeness(one.text, other.text), -abs(i - j), i, j)
        for i, one in enumerate(wanting)
        for j, other in enumerate(spare)
    ]
    pairs: dict[int, int] = {}
    for score, _, i, j in sorted(scored, reverse=True):
        if score >= least and i not in pairs and j not in pairs.values():
            pairs[i] = j
    found = [(wanting[i], spare[j]) for i, j in sorted(pairs.items())]
    wanting[:] = [word for i, word in enumerate(wanting) if i not in pairs]
    spare[:] = [word for j, word in enumerate(spare) if j not in pairs.values()]
    return found


def _likeness(one: str, other: str) -> float:
    if one == other:
        return 1.0
    ratio = SequenceMatcher(None, one.casefold(), other.casefold(), autojunk=False).ratio()
    return min(ratio, 0.999)


def _letters(one: str, other: str) -> str:
    """How a word differs, letter by letter, counted from 1; by place where as many are drawn."""
    said: list[str] = []
    if len(one) == len(other):
        for wrong, run in groupby(range(len(one)), key=lambda k: one[k] != other[k]):
            at = list(run)
            if wrong:
                low, high = at[0], at[-1] + 1
                what = "digit" if (one[low:high] + other[low:high]).isdigit() else "letter"
                place = f"{low + 1}" if high == low + 1 else f"{low + 1} to {high}"
                said.append(f'{what} {place} "{one[low:high]}" drawn as "{other[low:high]}"')
        return "; ".join(said)
    matcher = SequenceMatcher(None, one, other, autojunk=False)
    for tag, i0, i1, j0, j1 in matcher.get_opcodes():
        what = "digit" if (one[i0:i1] + other[j0:j1]).isdigit() else "letter"
        if tag == "delete":
            said.append(f'{what} {i0 + 1} "{one[i0:i1]}" is missing')
        elif tag == "insert":
            said.append(f'"{other[j0:j1]}" is too much after {what} {i0}')
        elif tag == "replace":
            said.append(f'{what} {i0 + 1} "{one[i0:i1]}" drawn as "{other[j0:j1]}"')
    return "; ".join(said)


_CORRECT = (
    "Correct the artwork, or the brief's words in job.toml; have the client confirm in writing."
)


def _spelt(one: _Word, other: _Word) -> Finding:
    subject = f'"{one.text}"'
    if one.text.casefold() == other.text.casefold():
        return Finding(
            code="artwork.wording_capitals",
            severity=Severity.NOTE,
            subject=subject,
            message=f'Drawn as "{other.text}" ({other.place}; {one.place}): capitals differ.',
            remedy="Nothing, if the lettering is meant so.",
        )
    return Finding(
        code="artwork.wording",
        severity=Severity.STOP,
        subject=subject,
        message=f'Drawn as "{other.text}" ({other.place}; {one.place}): '
        f"{_letters(one.text, other.text)}.",
        remedy=_CORRECT,
    )


def _moved(one: _Word, other: _Word) -> Finding:
    return Finding(
        code="artwork.wording_order",
        severity=Severity.WARN,
        subject=f'"{one.text}"',
        message=f"Stands in another place in the order: {one.place}; {other.place}.",
        remedy="Compare the order of the words; the file may only store them in another one.",
    )


def _missing(word: _Word) -> Finding:
    return Finding(
        code="artwork.wording",
        severity=Severity.STOP,
        subject=f'"{word.text}"',
        message=f"Asked for ({word.place}), and not in the artwork.",
        remedy=_CORRECT,
    )


def _too_much(word: _Word) -> Finding:
    return Finding(
        code="artwork.wording",
        severity=Severity.STOP,
        subject=f'"{word.text}"',
        message=f"In the artwork ({word.place}), and not asked for.",
        remedy=_CORRECT,
    )


def _unread(drawing: Drawing, asked: Sequence[_Word]) -> Finding:
    return Finding(
        code="artwork.wording_unread",
        severity=Severity.WARN,
        subject=drawing.name,
        message=f"The brief asks for {number_of(len(asked), 'word')}; lettering as outlines "
        f"cannot be read, so {'it is' if len(asked) == 1 else 'they are'} not compared.",
        remedy="Type what is drawn, letter by letter, as drawn_words in [artwork].",
    )

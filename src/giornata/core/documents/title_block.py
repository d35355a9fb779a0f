"""What stands at the foot of every sheet: job, place, date, scale, digest, page, and the bars."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from giornata.core.documents.drawing import (
    DARK,
    FINE,
    INK,
    MEDIUM,
    PAPER,
    Item,
    Label,
    box,
    segment,
)
from giornata.core.documents.letters import letters_missing, lines_of, shortened, text_width
from giornata.core.documents.scales import Scale, printer_bar
from giornata.core.foundation import Finding, Severity, System, digest, shown_day
from giornata.core.job import JobResults

__all__ = [
    "BAR_HEIGHT",
    "TITLE_HEIGHT",
    "Heading",
    "bars",
    "heading",
    "title_block",
    "title_findings",
]

TITLE_HEIGHT = 15.0
"""Room a title block takes. [mm]"""
SMALL = 9.0  # pt; the least size on a sheet
BAR_HEIGHT = 9.0
"""Room the bars take. [mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What every sheet of a job says of it."""

    job: str
    place: str
    client: str
    date: date
    datum: str
    digest: str


def heading(results: JobResults) -> Heading:
    """The heading of a job's sheets; its digest names the job they were made from."""
    title = results.inputs.title
    return Heading(
        job=title.name,
        place=title.place,
        client=title.client,
        date=title.date,
        datum=results.wall.datum,
        digest=digest(results.inputs)[:12],
    )


def title_block(
    head: Heading,
    name: str,
    under: str,
    page: tuple[int, int],
    left: float,
    right: float,
    lower: float,
) -> tuple[Item, ...]:
    """The block of fields along the foot of a sheet.

    Parameters
    ----------
    name : str
        Of the drawing.
    under : str
        What stands under it: the scale, for one.
    page : tuple of int
        Number of the page, and of how many.
    left, right, lower : float
        Where it stands; it is ``TITLE_HEIGHT`` high. [mm]
    """
    wide = right - left > 250.0
    shares = (0.25, 0.19, 0.23, 0.19, 0.14) if wide else (0.21, 0.21, 0.21, 0.21, 0.16)
    upper = lower - TITLE_HEIGHT
    items: list[Item] = [box(left, upper, right, lower, fill=PAPER, pen=MEDIUM)]
    x = left
    for share, (heads, rest) in zip(
        shares,
        (
            ((head.job,), (head.place,)),
            ((), (head.client, shown_day(head.date))),
            ((name,), (under,)),
            ((), (f"Datum: {head.datum}",)),
            ((f"Page {page[0]} of {page[1]}",), (f"Job {head.digest}",)),
        ),
        strict=True,
    ):
        if x > left:
            items.append(segment((x, upper), (x, lower), FINE))
        items += _field(heads, rest, x + 2.0, upper, share * (right - left) - 3.4, wide)
        x += share * (right - left)
    return tuple(items)


def _field(
    heads: tuple[str, ...], rest: tuple[str, ...], x: float, upper: float, room: float, wide: bool
) -> list[Item]:
    """Up to three lines: heads bold, the rest broken where it must."""
    size = 11.0 if wide else 10.0
    items: list[Item] = [
        Label(x=x, y=upper + 5.0, text=shortened(one or "–", room, size, bold=True), size=size,
              bold=True)
        for one in heads
    ]  # fmt: skip
    lines = [line for text in rest for line in lines_of(text, room, SMALL)]
    most = 3 - len(heads)
    if len(lines) > most:  # the last field is kept whole, the others are cut
        kept = lines_of(rest[-1], room, SMALL)[:1] if len(rest) > 1 else ()
        cut = most - len(kept)
        first = [line for text in rest[: len(rest) - len(kept)] for line in
                 lines_of(text, room, SMALL)]  # fmt: skip
        lines = [*first[: cut - 1], shortened(" ".join(first[cut - 1 :]), room, SMALL), *kept]
    start = 9.2 if heads else 4.6
    items += [
        Label(x=x, y=upper + start + 4.1 * k, text=shortened(line, room, SMALL), size=SMALL,
              colour=INK if heads else DARK)
        for k, line in enumerate(lines)
    ]  # fmt: skip
    return items


def bars(
    scale: Scale | None, system: System, left: float, right: float, lower: float, note: str
) -> tuple[Item, ...]:
    """The bar that checks the printer, the scale bar, and a note right of them.

    Parameters
    ----------
    scale : Scale or None
        None for a sheet that is not to scale: then there is no scale bar.
    left, right, lower : float
        Where they stand; they are ``BAR_HEIGHT`` high. [mm]
    note : str
        Cut off where the room ends.
    """
    length, name = printer_bar(system)
    y = lower - 2.0
    items: list[Item] = _bar(left, y, length, 4)
    says = f"This bar is {name} long; if not, print again at 100 %, without fitting to the page."
    items.append(Label(x=left, y=y - 3.0, text=says, size=SMALL))
    x = left + max(length, text_width(says, SMALL)) + 8.0
    if scale is not None:
        metres, steps, words = _scale_bar(scale, system)
        items += _bar(x, y, metres * scale.mm_per_metre, steps)
        items.append(Label(x=x, y=y - 3.0, text=f"{words} at {scale.name}", size=SMALL))
        wide = text_width(f"{words} at {scale.name}", SMALL)
        x += max(metres * scale.mm_per_metre, wide) + 8.0
    for k, line in enumerate(lines_of(note, right - x, SMALL)[:2]):
        items.append(Label(x=x, y=y - 3.0 + 4.0 * k, text=line, size=SMALL))
    return tuple(items)


def _bar(left: float, y: float, length: float, steps: int) -> list[Item]:
    """A bar of steps, black and white in turn."""
    step = length / steps
    return [
        box(left + k * step, y - 1.6, left + (k + 1) * step, y,
            fill=INK if k % 2 == 0 else PAPER, pen=FINE)
        for k in range(steps)
    ]  # fmt: skip


def _scale_bar(scale: Scale, system: System) -> tuple[float, int, str]:
    """Length of a scale bar [m], its steps and its name: 35 to 100 mm of paper."""
    if system is System.US:
        for feet in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000):
            if feet * 0.3048 * scale.mm_per_metre >= 35.0:
                return feet * 0.3048, 5 if feet % 5 == 0 else 2, f"{feet} ft"
    for metres in (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000):
        if metres * scale.mm_per_metre >= 35.0:
            return metres, 4 if metres in {2, 20, 200, 0.2} else 5, f"{metres:g} m"
    raise ValueError("no bar fits this scale")


def title_findings(head: Heading) -> tuple[Finding, ...]:
    """Names that the shipped letters cannot print."""
    found = {
        what: letters_missing(text)
        for what, text in (
            ("job", head.job), ("place", head.place), ("client", head.client),
            ("datum", head.datum),
        )
    }  # fmt: skip
    return tuple(
        Finding(
            code="documents.letters",
            severity=Severity.WARN,
            subject=f"name of the {what}",
            message=f"{len(letters)} of its letters cannot be printed: {letters}",
            remedy="Write it in Latin, Greek or Cyrillic letters.",
        )
        for what, letters in found.items()
        if letters
    )

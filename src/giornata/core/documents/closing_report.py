"""The closing report: how well the drawing's ends meet, what was wrong, where the rest went."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.closing import Closure, Meeting, Replan, TakenUp, doubt_named
from giornata.core.documents.closing_replan import replan_sections
from giornata.core.documents.display import bare, headed, small_text
from giornata.core.documents.scales import card_paper
from giornata.core.documents.title_block import heading
from giornata.core.documents.written import Section, TextTable, WrittenPaper
from giornata.core.foundation import Finding, System, finding_in_units, shown_day
from giornata.core.job import JobResults

__all__ = ["closing_report"]

_WORST = 12  # readings listed of those that are checked worst
_HOW = (
    (
        "Every set-up, every mark and every check measurement is in one least-squares "
        "adjustment, with the tape's scale unknown. What is printed as known holds 95 times of "
        "100, if the stated deviations are right; the chance above says whether they look it."
    ),
    (
        "A reading is named as wrong only where no other one explains the misfit nearly as well. "
        "The check is blind to errors smaller than the sizes in the last table."
    ),
)


def closing_report(
    results: JobResults,
    closure: Closure,
    findings: Sequence[Finding],
    system: System,
    *,
    limit: float,
    chained: float,
    taken: TakenUp | None = None,
    replan: Replan | None = None,
) -> WrittenPaper:
    """The report of a closure, finished or under way.

    Parameters
    ----------
    closure : Closure
        Of the job.
    findings : sequence of Finding
        Of the closure.
    system : System
        The reader's units.
    limit : float
        How far lines may miss; above 0. [m]
    chained : float
        How far the far end would be out, each set-up hung on the last; 0 or more. [m]
    taken : TakenUp or None
        What was done with the left-over.
    replan : Replan or None
        What is left to do; None where nothing is.
    """
    head, joint = heading(results), closure.joint
    return WrittenPaper(
        name="Closing report",
        head=head,
        facts=(
            ("Place", head.place),
            ("Date of the job", shown_day(head.date)),
            ("Set-ups", _counts(closure)),
            ("Readings", _readings(joint.freedom, joint.chance)),
            ("Tape", _tape(closure, system)),
            ("Both ends", _ends(closure, system)),
            ("Hung on one another", (f"far end out by about {small_text(chained, system)}, by "
                                    "common practice's own errors")),
        ),
        warning="",
        paper=card_paper(system),
        sections=(
            _wrong(closure, findings, system),
            *replan_sections(replan, system),
            Section(title="Seams", tables=(_seams(closure, limit, system),)),
            *_moves(taken, system),
            Section(title="Marks as adjusted", tables=(_marks(closure, system),)),
            Section(
                title="How this was worked out", points=_HOW, tables=(_blind(closure, system),)
            ),
        ),
    )  # fmt: skip


def _readings(freedom: int, chance: float) -> str:
    if not freedom:
        return "none more than needed, so nothing checks them"
    return f"{freedom} more than needed; chance of so much misfit {chance:.2f}"


def _tape(closure: Closure, system: System) -> str:
    scale, sigma = closure.joint.standing.scale, closure.widened * closure.joint.scale_sigma
    over, unit, run = (1200.0, "in", "100 ft") if system is System.US else (1000.0, "mm", "metre")
    off, known = f"{over * abs(scale):.2f}", f"{1.96 * over * sigma:.2f} {unit} per {run}"
    if not float(off):
        return f"reads true, known to {known}"
    return f"reads {'short' if scale > 0 else 'long'} by {off} {unit} per {run}, known to {known}"


def _small(name: str, system: System) -> str:
    return f"{name}, {'in' if system is System.US else 'mm'}"


def _bare_small(value: float | None, system: System) -> str:
    text = small_text(value, system).removesuffix(" mm").removesuffix(" in")
    return text if text.strip("-0.") else text.removeprefix("-") or "-"


def _counts(closure: Closure) -> str:
    readings = closure.readings
    return (
        f"{len(readings.pictures)} squared, {len(readings.drawn)} drawn, "
        f"{len(closure.remaining)} to draw"
    )


def _ends(closure: Closure, system: System) -> str:
    many = len(closure.fronts) > 1
    row_of = {seam.left: seam.row for seam in closure.readings.seams}
    said = [
        f"in row {row_of[one.left]} they {_end(one, system)}" if many else _end(one, system)
        for one in closure.closing
    ]
    return "; ".join(said) or "one run, so no ends to meet"


def _end(one: Meeting, system: System) -> str:
    where = f"at {bare(one.chainage, system)}{'' if system is System.US else ' m'}"
    if one.worst is not None:
        found, known = small_text(one.worst, system), small_text(one.known_to, system)
        return f"miss each other {where} by {found} at worst, known to {known}"
    return f"are expected to meet {where} within {small_text(one.expected, system)}"


def _wrong(closure: Closure, findings: Sequence[Finding], system: System) -> Section:
    if not findings:
        return Section(title="What is amiss", words=("Nothing that these readings can show.",))
    said = [finding_in_units(one, system) for one in findings]
    points = tuple(f"{one.subject}: {one.message} {one.remedy}" for one in said)
    tables: tuple[TextTable, ...] = ()
    if closure.sifted.one_of:
        tables = (
            TextTable(
                heads=("One of these is wrong", "By about"),
                rows=tuple(
                    (doubt_named(one), _off(one.source.kind, one.size, system))
                    for one in closure.sifted.one_of
                ),
                right=(1,),
            ),
        )
    return Section(title="What is amiss", points=points, tables=tables)


def _off(kind: str, size: float, system: System) -> str:
    return f"{size:.1f} px" if kind == "seen" else small_text(size, system)


def _seams(closure: Closure, limit: float, system: System) -> TextTable:
    closing = set(closure.closing)
    levels = any(one.level is not None for one in closure.meetings)
    rows = []
    for one in closure.meetings:
        verdict = "to draw"
        if one.worst is not None:
            verdict = "within" if one.worst <= limit else "over"
        rows.append(
            (
                f"{one.left}, {one.right}" + (" (closes)" if one in closing else ""),
                bare(one.chainage, system),
                *(("-" if one.level is None else bare(one.level, system),) if levels else ()),
                _bare_small(one.expected, system),
                _bare_small(one.along, system),
                _bare_small(one.up, system),
                _bare_small(one.worst, system),
                verdict,
            )
        )
    return TextTable(
        heads=(
            "Set-ups", headed("At", system), *((headed("Level", system),) if levels else ()),
            _small("Within, 95 of 100", system),
            _small("Second one to the right" if levels else "Right one to the right",
                   system), _small("Up", system),
            _small("Worst", system), f"{small_text(limit, system)} allowed",
        ),
        rows=tuple(rows),
        right=tuple(range(1, 7 if levels else 6)),
        wide=(0, 7 if levels else 6),
    )  # fmt: skip


def _moves(taken: TakenUp | None, system: System) -> tuple[Section, ...]:
    if taken is None:
        return ()
    title = "Where the left-over goes"
    if not taken.possible:
        return (Section(title=title, words=("No empty ground can take it up.",)),)
    many = len(taken.rows) > 1
    rows = tuple(
        (
            *((str(row.join.row),) if many else ()),
            bare(one.start, system),
            bare(one.end, system),
            str(one.shapes),
            _bare_small(one.along, system),
            _bare_small(one.up, system),
        )
        for row in taken.rows
        for one in row.moves or ()
        if not one.held
    )
    if not rows:
        words = ("No shape stands whole between the fronts; the ground alone gives.",)
        return (Section(title=title, words=words),)
    words = (
        (
            "Between the fronts shapes move along the wall and up or down, each whole, and empty "
            "ground gives. Above 0 is to the right and upwards."
        ),
    )
    table = TextTable(
        heads=(
            *(("Row",) if many else ()), headed("From", system), headed("To", system), "Shapes",
            _small("Right by", system), _small("Up by", system),
        ),
        rows=rows,
        right=tuple(range(6 if many else 5)),
    )  # fmt: skip
    return (Section(title=title, words=words, tables=(table,)),)


def _marks(closure: Closure, system: System) -> TextTable:
    return TextTable(
        heads=(
            "Mark", headed("Chainage", system), headed("Level", system), _small("Right by", system),
            _small("Up by", system), _small("Known to", system), "Seen in",
        ),
        rows=tuple(
            (
                one.name,
                bare(one.chainage, system, digits=3),
                bare(one.level, system, digits=3),
                _bare_small(one.along, system),
                _bare_small(one.up, system),
                _bare_small(one.known_to, system),
                ", ".join(map(str, one.seen_in)) or "-",
            )
            for one in closure.marks
        ),
        right=(1, 2, 3, 4, 5),
        wide=(0, 6),
    )  # fmt: skip


def _blind(closure: Closure, system: System) -> TextTable:
    """The readings that are checked worst; those that nothing checks in one row."""
    least = [one for one in closure.sifted.doubts if one.source.kind != "seen"]
    checked = sorted(
        (one.detectable, doubt_named(one)) for one in least if one.detectable is not None
    )
    unchecked = [doubt_named(one) for one in least if one.detectable is None]
    rows = [(name, small_text(size, system)) for size, name in checked[: -_WORST - 1 : -1]]
    if unchecked:
        named = ", ".join(unchecked[:2]) if len(unchecked) <= 2 else (
            f"{unchecked[0]}, and {len(unchecked) - 1} more"
        )  # fmt: skip
        rows.insert(0, (named, "nothing checks it" if len(unchecked) == 1 else
                        "nothing checks them"))  # fmt: skip
    if len(checked) > _WORST:
        rows.append((f"the other {len(checked) - _WORST}", "less"))
    return TextTable(
        heads=("Reading", "Smallest error that would be found, 8 times of 10"),
        rows=tuple(rows),
        right=(1,),
    )

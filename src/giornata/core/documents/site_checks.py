"""The site checks: whether and when the wall may be painted, and where somebody signs for it."""

from __future__ import annotations

from giornata.core.documents.display import bare, headed
from giornata.core.documents.scales import card_paper
from giornata.core.documents.title_block import heading
from giornata.core.documents.written import Section, SignBlock, TextTable, WrittenPaper
from giornata.core.foundation import INCH, System, number_of, shown, shown_day
from giornata.core.job import JobResults
from giornata.core.works import CAUSE_REMEDIES, SHEET_SIDE, SHEET_TIME, HeldBay, Preparation

__all__ = ["site_checks"]

_CAUTIONS = (
    "Old paint may hold lead: no dry sanding, no burning; testing and removal by local law.",
    "Grinding concrete or render raises silica dust: water or extraction, and a fitting mask.",
    "Wash water is kept, and goes where local rules say; never into a storm drain or onto soil.",
    "Weep holes and drains stay open. Nothing is sealed that water comes out of.",
    "Ladder, podium, lift: local code and the makers' manuals come first.",
    "The paint's data sheet goes before every limit printed here.",
)
_LINES = ("Name", "Place and date", "Signature")


def site_checks(results: JobResults, system: System) -> WrittenPaper | None:
    """The paper, or None where the job says nothing of the wall's readiness."""
    found = results.preparation
    if found is None:
        return None
    head = heading(results)
    earliest = "no date is known" if found.earliest is None else shown_day(found.earliest)
    return WrittenPaper(
        name="Site checks",
        head=head,
        facts=(
            ("Place", head.place),
            ("Client", head.client),
            ("Date", shown_day(head.date)),
            ("First day of painting", earliest),
            ("Bays on hold", _names(found.held)),
        ),
        warning="",
        paper=card_paper(system),
        sections=(
            Section(
                title="When",
                points=tuple(f"Until {shown_day(one.until)}: {one.why}." for one in found.waits)
                or ("No date was given for the wall's making or washing.",),
                words=_lost(found),
            ),
            *_holds(found.held),
            Section(
                title=f"Sheet tests: {int(found.sheets_needed.value)} to make",
                words=(
                    (
                        f"Clear polythene, {_side(system)} square, taped on "
                        f"all sides, on for {SHEET_TIME.value / 3600:g} to 24 h. Drops "
                        "below it or a darker wall: damp."
                    ),
                ),
                tables=(_places(found, system),),
            ),
            *_tests(found),
            Section(title="Take care", points=_CAUTIONS),
            Section(
                title="The wall is taken over for painting",
                new_page=True,
                words=(
                    (
                        "Photographs of every bay were taken before anything was touched. Bays on "
                        "hold are not taken over: " + _names(found.held) + "."
                    ),
                ),
                signing=(
                    SignBlock(ticks=("All bays", "All bays but those on hold", "No bay yet")),
                    SignBlock(ticks=("For the wall's owner",), lines=_LINES),
                    SignBlock(ticks=("The painter",), lines=_LINES),
                ),
            ),
        ),
    )


def _names(held: tuple[HeldBay, ...]) -> str:
    return ", ".join(one.bay for one in held) or "none"


def _lost(found: Preparation) -> tuple[str, ...]:
    if found.lost is None:
        return ()
    lost = found.lost
    days = number_of(lost.calendar, "day")
    return (
        (
            f"Later than planned by {days}, {lost.working} of them Monday to Friday: "
            f"{shown_day(lost.first)} to {shown_day(lost.last)}."
        ),
    )


def _side(system: System) -> str:
    """Side of a sheet, to the whole inch for US units: 460 mm are the 18 in of the test."""
    side = SHEET_SIDE.value
    return f"{side / INCH:.0f} in" if system is System.US else shown(side, "m", system)


def _holds(held: tuple[HeldBay, ...]) -> tuple[Section, ...]:
    if not held:
        return (Section(title="Bays on hold", words=("None by what was read so far.",)),)
    rows = []
    for one in held:
        do = [CAUSE_REMEDIES[cause] for cause in one.causes]
        if len(one.reasons) > len(one.causes):
            do.append("let it dry and read it again")
        rows.append((one.bay, "; ".join(one.reasons), "; ".join(do), ""))
    table = TextTable(
        heads=("Bay", "Why", "To do", "Freed on, by"), rows=tuple(rows), wide=(1, 2, 3)
    )
    return (Section(title="Bays on hold", tables=(table,)),)


def _places(found: Preparation, system: System) -> TextTable:
    return TextTable(
        heads=(
            "No.", "Bay", headed("Chainage", system), headed("Above ground", system), "On at",
            "Off at", "Dry or damp",
        ),
        rows=tuple(
            (
                str(number),
                place.bay,
                bare(place.chainage, system),
                bare(place.above_ground, system),
                "",
                "",
                "",
            )
            for number, place in enumerate(found.places, start=1)
        ),
        right=(2, 3),
        wide=(4, 5, 6),
    )  # fmt: skip


def _tests(found: Preparation) -> tuple[Section, ...]:
    if not found.verdicts:
        return ()
    words = {True: "passes", False: "fails", None: "does not count"}
    table = TextTable(
        heads=("Bay", "Test", "Reading", "Limit", "Verdict"),
        rows=tuple(
            (one.bay, one.what, one.reading, one.limit, words[one.passes]) for one in found.verdicts
        ),
        right=(2, 3),
        wide=(1, 4),
    )
    return (Section(title="Tests made", tables=(table,)),)

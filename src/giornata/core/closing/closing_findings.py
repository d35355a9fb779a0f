"""What is amiss with a closure, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from giornata.core.closing.closure import Closure
from giornata.core.closing.doubts import Doubt
from giornata.core.closing.equations import SourceKind
from giornata.core.closing.meeting import Meeting
from giornata.core.closing.taken_up import RowTaken, TakenUp
from giornata.core.foundation import Finding, Severity
from giornata.core.projection import numbers_named

__all__ = ["closing_findings", "doubt_named", "parted_findings"]

_SCALE_95 = 1.96


def doubt_named(one: Doubt) -> str:
    """A reading in words.

    Parameters
    ----------
    one : Doubt
        Of an adjustment.
    """
    if one.source.kind == SourceKind.SEEN:
        return f"{one.source.name} as seen in set-up {one.source.set_up}"
    if one.source.kind == SourceKind.SET:
        return f"{one.source.name} as set on the wall"
    if one.source.kind == SourceKind.LINE:
        return f"{one.source.name} as set for set-up {one.source.set_up}"
    return f"check measurement {one.source.name}"


def _off(one: Doubt) -> str:
    if one.source.kind == SourceKind.SEEN:
        return f"{one.size:.1f} px"
    return f"{1000 * one.size:.0f} mm"


def closing_findings(
    closure: Closure, *, limit: float, taken: TakenUp | None = None
) -> tuple[Finding, ...]:
    """Everything amiss.

    Parameters
    ----------
    closure : Closure
        The state.
    limit : float
        How far lines may miss one another; above 0. [m]
    taken : TakenUp or None
        What was done with the left-over; None where nothing was.
    """
    return (
        *_readings(closure),
        *_left_out(closure),
        *_unsquared(closure),
        *_tape(closure),
        *_seams(closure, limit),
        *_gap(closure, limit, taken),
    )


def _readings(closure: Closure) -> Iterator[Finding]:
    for one in closure.sifted.named:
        yield Finding(
            code="closing.wrong",
            severity=Severity.STOP,
            subject=doubt_named(one),
            message=f"It is out by about {_off(one)}; all other readings agree without it. It was "
            "set aside.",
            remedy=_remedy(one),
        )
    doubted = closure.sifted.one_of
    if doubted:
        listed = "; ".join(f"{doubt_named(one)} ({_off(one)})" for one in doubted[:5])
        more = f"; and {len(doubted) - 5} more" if len(doubted) > 5 else ""
        yield Finding(
            code="closing.one_of",
            severity=Severity.STOP,
            subject=f"one of {len(doubted)} readings",
            message=f"One of these is wrong, and they cannot be told apart: {listed}{more}. None "
            "was set aside.",
            remedy="Look at each of them again, the first one first; one more tape pulled to one "
            "of these marks tells them apart.",
        )
    joint = closure.joint
    if closure.widened > 1 and not doubted:
        yield Finding(
            code="closing.misfit",
            severity=Severity.WARN,
            subject="all readings together",
            message=f"They disagree {closure.widened:.1f} times as much as their stated "
            f"deviations say (chance {joint.chance:.4f}, {joint.freedom} to spare), and no single "
            "one is to blame. What is known here is widened by that.",
            remedy="Check the tape's pull and the level, whether the projector was moved, and "
            "whether the wall bends where the survey says that it is flat.",
        )
    if not joint.settled:
        yield Finding(
            code="closing.unsettled",
            severity=Severity.STOP,
            subject="the adjustment",
            message="It did not come to rest: some readings contradict one another grossly.",
            remedy="Look for a mark that was taken for another one, or a metre misread.",
        )


def _remedy(one: Doubt) -> str:
    if one.source.kind == SourceKind.SEEN:
        return (
            f"Aim set-up {one.source.set_up} again, or type that again; look whether the "
            "projector was bumped. What was drawn from it may be off: see the seams."
        )
    if one.source.kind == SourceKind.SET:
        return "Set the mark again from the datum, or square on the place given in the mark table."
    if one.source.kind == SourceKind.LINE:
        return (
            "Set the line again from the datum, the laser tried both ways round, and square "
            f"set-up {one.source.set_up} on it."
        )
    return "Measure it again, and take back the wrong one (giornata measure --undo)."


def _left_out(closure: Closure) -> Iterator[Finding]:
    joint = closure.joint
    if joint.open_set_ups:
        yield Finding(
            code="closing.few_marks",
            severity=Severity.WARN,
            subject=numbers_named(sorted(joint.open_set_ups)),
            message="Too few marks are seen there to say how the picture lies; it is left out of "
            "the closure.",
            remedy="Type more of its marks: giornata square SET-UP --seen 'MARK X Y'.",
        )


def _unsquared(closure: Closure) -> Iterator[Finding]:
    numbers = sorted(closure.readings.drawn_unsquared)
    if numbers:
        yield Finding(
            code="closing.drawn_unsquared",
            severity=Severity.WARN,
            subject=numbers_named(numbers),
            message="The log has them drawn, but no marks, or too few, say how the picture lay: "
            "their lines are in no seam and no front here, and nothing is planned for them.",
            remedy="Type or photograph the marks as they were seen: giornata square "
            f"{numbers[0]}. If the projector has gone, measure what is drawn from its marks.",
        )


def _tape(closure: Closure) -> Iterator[Finding]:
    joint = closure.joint
    scale, sigma = joint.standing.scale, joint.scale_sigma * closure.widened
    if abs(scale) > _SCALE_95 * sigma and sigma < closure.readings.scale_sigma / 2:
        way = "short" if scale > 0 else "long"
        yield Finding(
            code="closing.tape",
            severity=Severity.NOTE,
            subject="the tape",
            message=f"It reads {way} by {1000 * abs(scale):.2f} parts in a thousand (known to "
            f"{1000 * _SCALE_95 * sigma:.2f}); the closure has it out of all its lengths.",
            remedy="Mind its pull and the heat; lengths taped with it elsewhere are off alike.",
        )


def _seams(closure: Closure, limit: float) -> Iterator[Finding]:
    closing = {id(one) for one in closure.closing}
    for one in closure.meetings:
        if id(one) in closing or one.worst is None or not one.beyond_chance:
            continue
        if one.worst > limit:
            yield Finding(
                code="closing.seam",
                severity=Severity.WARN,
                subject=_place_of(one),
                message=f"Lines drawn from both miss by up to {1000 * one.worst:.0f} mm (known to "
                f"{1000 * (one.known_to or 0):.0f} mm); {1000 * limit:.0f} mm is allowed.",
                remedy="Draw the lines across the seam again by eye, from half a metre on either "
                "side, before paint goes on.",
            )


def _place_of(one: Meeting) -> str:
    if one.level is None:
        return f"seam of set-ups {one.left} and {one.right}, at {one.chainage:.2f} m"
    return f"level seam of set-ups {one.left} and {one.right}, at level {one.level:.2f} m"


def _gap(closure: Closure, limit: float, taken: TakenUp | None) -> Iterator[Finding]:
    for one in closure.closing:
        yield from _closing_seam(closure, one, limit)
    if taken is None:
        return
    for row in taken.rows:
        yield from _row(row, closure, many=len(taken.rows) > 1)
    yield from parted_findings(taken, closure.remaining, limit=limit)


def parted_findings(taken: TakenUp, remaining: Sequence[int], *, limit: float) -> Iterator[Finding]:
    """Where shapes are drawn in two rows already, and the rows do not agree.

    Parameters
    ----------
    taken : TakenUp
        What was done with the left-over.
    remaining : sequence of int
        Numbers of the set-ups still to be drawn. [-]
    limit : float
        How far lines may miss; above 0. [m]
    """
    if taken.parted > limit:
        yield Finding(
            code="closing.parted",
            severity=Severity.WARN,
            subject=numbers_named(remaining),
            message=f"Shapes that reach into two rows are drawn in both already, and the rows' "
            f"fronts differ there: they are parted by {1000 * taken.parted:.0f} mm at the seam "
            "between the rows.",
            remedy="Bend their lines together by eye over half a metre on either side of that "
            "seam.",
        )


def _row(row: RowTaken, closure: Closure, *, many: bool) -> Iterator[Finding]:
    join = row.join
    where = f"between {join.left.chainage:.2f} and {join.right.chainage:.2f} m"
    where += f" of row {join.row}" if many else ""
    way = "apart" if join.apart > 0 else "into each other"
    step = "higher" if join.up > 0 else "lower"
    miss = (
        f"The fronts have come {1000 * abs(join.apart):.0f} mm {way} (known to "
        f"{1000 * join.known_to:.0f} mm), and the right one stands {1000 * abs(join.up):.0f} mm "
        f"{step} (known to {1000 * join.up_known_to:.0f} mm)"
    )
    if row.moves is None:
        yield Finding(
            code="closing.no_room",
            severity=Severity.WARN,
            subject=numbers_named(closure.remaining),
            message=f"{miss}, and no empty ground {where} can take it up.",
            remedy="Let a band be stretched there (bands in [artwork.fit]), allow narrower gaps, "
            "or draw the set-ups next to the fronts again.",
        )
        return
    free = [move for move in row.moves if not move.held]
    along = max((abs(move.along) for move in free), default=0.0)
    up = max((abs(move.up) for move in free), default=0.0)
    yield Finding(
        code="closing.taken_up",
        severity=Severity.NOTE,
        subject=numbers_named(closure.remaining),
        message=f"{miss}. Empty ground {where} takes it up: shapes there move by up to "
        f"{1000 * along:.0f} mm along the wall and {1000 * up:.0f} mm up or down, each whole.",
        remedy="Draw what is left by the moves that giornata close lists; giornata close "
        "--pictures writes the pictures of squared set-ups by them.",
    )


def _closing_seam(closure: Closure, one: Meeting, limit: float) -> Iterator[Finding]:
    where = f"closing seam of set-ups {one.left} and {one.right}, at {one.chainage:.2f} m"
    if one.worst is not None:
        if one.beyond_chance and one.worst > limit:
            yield Finding(
                code="closing.gap",
                severity=Severity.WARN,
                subject=where,
                message=f"The two ends miss each other by {1000 * one.worst:.0f} mm at worst "
                f"(known to {1000 * (one.known_to or 0):.0f} mm; {1000 * limit:.0f} mm allowed).",
                remedy="Both ends are drawn: bend the lines together by eye over a metre on "
                "either side, where ground is empty.",
            )
        return
    if one.expected > limit:
        best = closure.worth[0] if closure.worth else None
        helps = ""
        if best is not None and best.after < 0.95 * best.before:
            helps = (
                f" What helps most: the {best.kind} {_of(best.marks)}, after which the gap along "
                f"the wall is known to {2000 * best.after:.1f} mm instead of "
                f"{2000 * best.before:.1f} mm."
            )
        yield Finding(
            code="closing.unsure",
            severity=Severity.NOTE,
            subject=where,
            message=f"The two ends are expected to meet within {1000 * one.expected:.1f} mm, 95 "
            f"times of 100; {1000 * limit:.0f} mm is allowed.{helps}",
            remedy="Measure once more before the last set-ups: giornata measure.",
        )


def _of(marks: Sequence[str]) -> str:
    return f"of {marks[0]}" if len(marks) == 1 else f"from {marks[0]} to {marks[1]}"

"""Findings of photos of a pattern: what is wrong with the set, and what to do."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.foundation import Finding, Severity, number_of

__all__ = [
    "ambiguous", "by_plan", "by_targets", "few_crosses", "hand_held", "mirrored", "moved_apart",
    "no_crosses", "no_pattern", "no_white", "other_set_up", "several_folds", "sizes_differ",
    "some_missed", "tapped_twice", "taps_at_one_place", "too_coarse",
]  # fmt: skip

_PHOTOS = "photos"


def sizes_differ(sizes: Sequence[tuple[int, int]]) -> Finding:
    """Photos of one set that are not of one size.

    Parameters
    ----------
    sizes : sequence of (int, int)
        Widths and heights. [px]
    """
    said = " and ".join(f"{wide} × {high}" for wide, high in sizes)
    return Finding(
        code="boards.sizes_differ",
        severity=Severity.STOP,
        subject=_PHOTOS,
        message=f"The photos are not of one size: {said} px.",
        remedy="Take all of them with one phone at one setting, held the same way up, and do not "
        "crop them.",
    )


def several_folds(folds: int) -> Finding:
    """More than one fold inside a picture.

    Parameters
    ----------
    folds : int
        At least 2. [-]
    """
    return Finding(
        code="boards.several_folds",
        severity=Severity.STOP,
        subject=_PHOTOS,
        message=f"The wall bends {folds} times inside the picture; photos can be read over one "
        "bend.",
        remedy="Mark and square each part by a set-up of its own, with at most one bend inside "
        "its picture, or type where the marks fell.",
    )


def no_pattern(tags: int) -> Finding:
    """No pattern found.

    Parameters
    ----------
    tags : int
        Coded tags found, too few or in no order. [-]
    """
    return Finding(
        code="boards.no_pattern",
        severity=Severity.STOP,
        subject="photo of the pattern",
        message=f"The coded pattern is not found in it; {tags} of its tags are seen, 6 in their "
        "places are the least.",
        remedy="Look at the photo: is the pattern in it, whole and sharp? Stand the phone on a "
        "tripod, square before the wall, take positive and negative, and switch lamps off; or "
        "show the pattern of large tags.",
    )


def other_set_up(shown: int, wanted: int) -> Finding:
    """The pattern of another set-up.

    Parameters
    ----------
    shown, wanted : int
        Numbers of set-ups. [-]
    """
    return Finding(
        code="boards.other_set_up",
        severity=Severity.STOP,
        subject="photo of the pattern",
        message=f"It shows the pattern of set-up {shown}, not of set-up {wanted}.",
        remedy=f"Give it to set-up {shown}, or show the pattern of set-up {wanted} and take the "
        "photos again.",
    )


def mirrored() -> Finding:
    """A photo that is left side right."""
    return Finding(
        code="boards.mirrored",
        severity=Severity.STOP,
        subject="photo of the pattern",
        message="It shows the pattern mirrored.",
        remedy="Use the phone's rear camera, and switch off mirroring in the projector (rear or "
        "ceiling projection).",
    )


def hand_held(far: float | None, noise: float | None, limit: float, *, used: bool) -> Finding:
    """Positive and negative from two places.

    Parameters
    ----------
    far : float or None
        How far they are apart; None where it cannot be told. [px]
    noise : float or None
        Of a saddle in the positive alone; None where the pattern is not found in it. [px]
    limit : float
        Up to which they may be subtracted. [px]
    used : bool
        Whether they were.
    """
    if used:
        return Finding(
            code="boards.hand_held",
            severity=Severity.NOTE,
            subject="positive and negative",
            message=f"The phone moved{_by(far)} between them; the negative was laid upon the "
            "positive.",
            remedy="Nothing, if the errors are small enough; a tripod makes them smaller.",
        )
    told = (
        "the pattern is not found in the positive alone"
        if noise is None
        else f"its saddles are read to {noise:.1f} px in the positive alone"
    )
    return Finding(
        code="boards.hand_held_far",
        severity=Severity.STOP if noise is None else Severity.WARN,
        subject="positive and negative",
        message=f"The phone moved{_by(far)} between them and {told}; {limit:.0f} px is the "
        "most at which two shots from the hand may be subtracted. The negative is left out.",
        remedy="Stand the phone on a tripod and release it by the timer.",
    )


def _by(far: float | None) -> str:
    return "" if far is None else f" by {far:.1f} px"


def moved_apart() -> Finding:
    """A white shot that cannot be laid upon the positive."""
    return Finding(
        code="boards.moved_apart",
        severity=Severity.STOP,
        subject="white shot",
        message="The phone moved between pattern and white shot, and they cannot be laid upon each "
        "other.",
        remedy="Take all photos again from a tripod, without zooming or turning in between. From "
        "the hand, nothing may stand before the wall: posts and leaves move otherwise.",
    )


def too_coarse(longest: int, least: int) -> Finding:
    """Photos too coarse to lay one upon another.

    Parameters
    ----------
    longest, least : int
        Longer side of the photos, and what it should be. [px]
    """
    return Finding(
        code="boards.too_coarse",
        severity=Severity.STOP,
        subject=_PHOTOS,
        message=f"The photos are {longest} px on their longer side, too coarse to lay the white "
        f"shot upon the pattern; {least} px are the least.",
        remedy="Take and send them at the phone's full size, from a tripod, with positive and "
        "negative.",
    )


def no_white() -> Finding:
    """No photo to find the crosses in."""
    return Finding(
        code="boards.no_white",
        severity=Severity.STOP,
        subject=_PHOTOS,
        message="There is no photo in plain white light, in which the chalk crosses are looked "
        "for.",
        remedy="Show plain white and take one more photo from the same place: --white FILE.",
    )


def no_crosses(seen: int, wanted: int) -> Finding:
    """No crosses that stand like the marks.

    Parameters
    ----------
    seen, wanted : int
        Places that look like crosses, and marks of the set-up. [-]
    """
    return Finding(
        code="boards.no_crosses",
        severity=Severity.STOP,
        subject="white shot",
        message=f"{number_of(seen, 'place looks', 'places look')} like chalk crosses, but too few "
        f"of them stand to each other as the set-up's {wanted} marks do.",
        remedy="Check that the crosses are drawn, with arms of 75 mm in light chalk, and that the "
        "projector stands where the plan has it; or point at some: --tap 'M03 lower @ 812,344'. "
        "Where chalk does not show, hang printed targets: giornata targets.",
    )


def ambiguous(count: int) -> Finding:
    """Crosses that stand like the marks in more than one way.

    Parameters
    ----------
    count : int
        Marks that fit either way. [-]
    """
    return Finding(
        code="boards.crosses_ambiguous",
        severity=Severity.STOP,
        subject="white shot",
        message=f"{number_of(count, 'mark')} could be these crosses or those: they stand to each "
        "other alike.",
        remedy="Point at two of them: --tap 'M03 lower @ 812,344', or type where the marks fell. "
        "If the projector stands a metre or more beside its plan, move it there first.",
    )


def tapped_twice(name: str) -> Finding:
    """A mark that is pointed at in two places.

    Parameters
    ----------
    name : str
        Of the mark.
    """
    return Finding(
        code="boards.tapped_twice",
        severity=Severity.STOP,
        subject=name,
        message=f"{name} is pointed at twice; it stands in one place of the photo.",
        remedy="Take out the tap that is wrong, or give it the name of the mark that is there.",
    )


def taps_at_one_place(names: Sequence[str]) -> Finding:
    """Two marks that stand in one place, by their taps or by the plan.

    Parameters
    ----------
    names : sequence of str
        Of the two.
    """
    said = " and ".join(names)
    return Finding(
        code="boards.taps_at_one_place",
        severity=Severity.STOP,
        subject=said,
        message=f"{said} stand in one place of the picture, less than a pixel apart, so that "
        "taps at both do not say how the picture stands.",
        remedy="Point at one of them, and at another mark a good way off. If each has a cross of "
        "its own, one of the taps is at the wrong cross.",
    )


def by_plan(count: int) -> Finding:
    """Crosses named by where the plan has the picture.

    Parameters
    ----------
    count : int
        Marks that fit. [-]
    """
    return Finding(
        code="boards.named_by_plan",
        severity=Severity.WARN,
        subject="white shot",
        message=f"{number_of(count, 'mark')} and those of other set-ups stand evenly, so that each "
        "could be its neighbour; the crosses are named as if the picture stood near its plan.",
        remedy="Compare one name on the picture kept in photos-seen with the name at its cross on "
        "the wall; if it is another one, point at two: --tap 'M03 lower @ 812,344'.",
    )


def few_crosses(found: int, wanted: int, least: int) -> Finding:
    """Too few crosses.

    Parameters
    ----------
    found, wanted, least : int
        Crosses found, marks of the set-up, and the least that square a picture. [-]
    """
    return Finding(
        code="boards.few_crosses",
        severity=Severity.STOP,
        subject="white shot",
        message=f"{found} of {wanted} crosses {'is' if found == 1 else 'are'} found; {least} are "
        "the least.",
        remedy="Take the photos from a place from which more are seen, draw the crosses afresh "
        "or hang printed targets (giornata targets), or type where the marks fell.",
    )


def some_missed(missed: Sequence[tuple[str, str]]) -> Finding:
    """Crosses that were not found, and why.

    Parameters
    ----------
    missed : sequence of (str, str)
        Names of marks and reasons; at least one.
    """
    return Finding(
        code="boards.crosses_missed",
        severity=Severity.NOTE,
        subject="white shot",
        message="Not found: " + "; ".join(f"{name}, {why}" for name, why in missed) + ".",
        remedy="Nothing, if the marks that are left hold the picture well enough; else hang a "
        "printed target on each (giornata targets) and take the photos again.",
    )


def by_targets(names: Sequence[str]) -> Finding:
    """Marks read at printed targets.

    Parameters
    ----------
    names : sequence of str
        Of the marks; at least one.
    """
    return Finding(
        code="boards.by_targets",
        severity=Severity.NOTE,
        subject="white shot",
        message="Read at printed targets: " + ", ".join(names) + ".",
        remedy="See that each has its own mark's name on it and its middle on the mark, flat "
        "against the wall; take tape and paper off when the set-up is done.",
    )

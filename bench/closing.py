"""Closing a made wall of 180 m with fifteen set-ups: accuracy, honesty, slips named, time.

The world of `tests/worlds/made_closing.py`; truth is known, seeds are fixed. Printed beside what
comes of hanging each set-up on the last (common practice, no source). Processor seconds.

    python bench/closing.py [trials] [seed]
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests/worlds"))

import made_rows
from made_closing import (
    EACH,
    MM,
    World,
    chained_end,
    made_world,
    mark_errors,
    seam_errors,
    slipped,
)

from giornata.core import closing, setting_out
from giornata.core.projection import INSIDE_95

KINDS = {
    "tape from one end": {"late": False, "far_end": False, "pictures": False},
    "tape, both ends": {"late": False, "pictures": False},
    "+ dragged, 1.5 px": {"late": False, "px": 1.5},
    "+ photo, 0.3 px": {"late": False, "px": 0.3},
    "+ late mark every 24 m": {"px": 0.3},
}
COUNT = 15


LAYOUTS = {
    "1.0 m, two columns of three": {},
    "1.5 m, two columns of three": {"overlap": 1.5, "beside": (-0.65, 0.65)},
    "2.0 m, two columns of three": {"overlap": 2.0, "beside": (-0.9, 0.9)},
    "2.0 m, three columns of three": {"overlap": 2.0, "beside": (-0.9, 0.0, 0.9)},
    "2.0 m, two columns of four": {
        "overlap": 2.0, "beside": (-0.9, 0.9), "levels": (0.2, 1.07, 1.93, 2.8),
    },
}  # fmt: skip


def layouts(trials: int, seed: int) -> None:
    """Seams by photo, by overlap and by marks in it; the projector's pixels are spread wider."""
    for name, how in LAYOUTS.items():
        rng, seams, inside = np.random.default_rng(seed), [], []
        for _ in range(trials):
            world = made_world(rng, set_ups=COUNT, **how)
            found = world.adjusted()
            seams.append(seam_errors(world, found))
            inside.append(mark_errors(world, found)[1] < INSIDE_95)
        median, most = np.percentile(np.concatenate(seams) / MM, [50, 95])
        print(f"  {name:31s} {world.pitch / MM:4.2f} mm/px {median:6.1f} {most:5.2f}, in ellipse "
              f"{100 * np.mean(np.concatenate(inside)):.1f} %")  # fmt: skip


def rows(trials: int, seed: int) -> None:
    """Level seams of two rows of three set-ups, by the marks that both rows see."""
    for px in (1.5, 1.0, 0.3):
        made = made_rows.planned(3, px)
        shared = made_rows.row_marks(made, shared=True)
        limit = 0.6 * max(m.expected for m in setting_out.level_misses(made.level_seams, shared))
        held = setting_out.marks_for_level_seams(
            shared, made.level_seams, made.images, limit=limit, **made.wall
        )
        for name, marks in (
            ("own marks only", made_rows.row_marks(made, shared=False)),
            ("those between shared", shared),
            ("and more, for 0.6 of that", [*shared, *held]),
        ):
            rng = np.random.default_rng(seed)
            off = [made_rows.missed(rng, made, marks, px) for _ in range(trials)]
            missed = np.hypot(*np.moveaxis(np.concatenate(off), -1, 0)) / MM
            expected = max(m.expected for m in setting_out.level_misses(made.level_seams, marks))
            median, most = np.percentile(missed, [50, 95])
            print(f"  {px:3.1f} px, {name:26s} {len(marks):3d} marks {median:5.1f} {most:5.1f}, "
                  f"worst place expected within {expected / MM:.1f}")  # fmt: skip


def accuracy(name: str, trials: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    off, inside, ends, middles, seams, spent = [], [], [], [], [], 0.0
    for _ in range(trials):
        world = made_world(rng, set_ups=COUNT, **KINDS[name])
        start = time.process_time()
        found = world.adjusted()
        spent += time.process_time() - start
        missed, square = mark_errors(world, found)
        off.append(np.hypot(*missed.T))
        inside.append(square < INSIDE_95)
        ends.append(off[-1][-2:])
        at = np.array([world.places[n][0] for n in found.names])
        middles.append(off[-1][np.abs(at - EACH * COUNT / 2) < EACH])
        if world.pictures:
            seams.append(seam_errors(world, found))
    millimetres = np.concatenate(off) / MM
    middle, end = (
        float(np.sqrt(np.mean(np.square(np.concatenate(one))))) / MM for one in (middles, ends)
    )
    seam = (
        "{:5.1f} {:5.1f}".format(*np.percentile(np.concatenate(seams) / MM, [50, 95]))
        if seams
        else "    -     -"
    )
    median, most = np.percentile(millimetres, [50, 95])
    print(
        f"{name:24s} {median:7.1f} {most:6.1f} {middle:7.1f} {end:8.1f} "
        f"{100 * np.mean(np.concatenate(inside)):7.1f} %   {seam}  {spent / trials:6.2f} s"
    )


def found_in(world: World) -> closing.Sifted:
    made = closing.sifted(lambda aside: world.adjusted(without=aside))
    assert made is not None
    return made


def slips(trials: int) -> None:
    """Slips of a reading that others check well enough to find one of 50 mm."""
    rng = np.random.default_rng(21)
    size = 50 * MM
    for what in ("none", "measured", "seen", "set"):
        right = wrong = unsure = hidden = tried = 0
        for _ in range(trials):
            world, source = made_world(rng, set_ups=4, as_set=True), None
            if what != "none":
                world, source = slipped(rng, world, what, size)
            joint = world.adjusted()
            doubt = next((d for d in closing.doubts(joint) if d.source == source), None)
            least = 0.0 if doubt is None else doubt.detectable
            if what == "seen" and least is not None:
                least *= world.pitch
            if least is None or least > size:
                hidden += 1
                continue
            made = found_in(world)
            tried += 1
            named = [one.source for one in made.named]
            right += named == ([] if source is None else [source]) and not made.one_of
            wrong += any(one != source for one in named)
            unsure += bool(made.one_of)
        right, wrong, unsure = (100 * one / tried for one in (right, wrong, unsure))
        print(
            f"  {what:9s} right {right:5.1f} %, wrong {wrong:4.1f} %, one of several "
            f"{unsure:4.1f} %; in {hidden} of {trials} nothing checks it so well"
        )


def main() -> None:
    trials = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 20
    rng = np.random.default_rng(22)
    ends = [np.hypot(*chained_end(rng, COUNT)) for _ in range(2000)]
    print(f"{COUNT} set-ups on {EACH * COUNT:.0f} m, {trials} trials, marks in mm:")
    print("                          median  95 %  middle  far end  in ellipse  seam 50, 95 %  CPU")
    worked = 1000 * closing.chained_end([EACH] * COUNT)
    print(f"each hung on the last      far end rms {np.sqrt(np.mean(np.square(ends))) / MM:.0f} "
          f"(by the formula {worked:.0f})")  # fmt: skip
    for name in KINDS:
        accuracy(name, trials, seed)
    print(f"seams by photo with late marks, by overlap and the marks in it, {trials} trials, mm:")
    layouts(trials, seed)
    print(f"level seams of two rows of three, {trials} trials, median and 95 % in mm:")
    rows(trials, seed)
    print(f"one reading out by 50 mm, {4 * EACH:.0f} m, {2 * trials} trials each:")
    slips(2 * trials)
    world = made_world(np.random.default_rng(23), set_ups=COUNT)
    longer = made_world(np.random.default_rng(23), set_ups=4 * COUNT)
    for one in (world, replace(longer)):
        start = time.process_time()
        found = one.adjusted()
        print(f"{found.equations.unknowns} unknowns: {time.process_time() - start:.2f} s")


if __name__ == "__main__":
    main()

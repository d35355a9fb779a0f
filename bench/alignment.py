"""Pictures squared on their marks, in made worlds: errors, ellipses, bad marks, kinds of wall.

The worlds of `made_projection.py`: a picture 6.4 m wide from 9 m, the projector
turned up to 8 degrees and a tenth too near or far. Each row is so many trials of one seed; errors
are where light falls against where it should, over the whole picture with its rim.

    python bench/alignment.py [trials]
"""

from __future__ import annotations

import sys
import time

from made_projection import BY_HAND, BY_PHOTO, USUAL, Outcome, taped_trials, trials

MM = 1000.0
WORLDS = (
    "flat", "folded", "folded, unmeasured", "curved", "curved, unmeasured", "bent lens",
    "shift by eye", "shift by eye, curved", "shift by eye, taken as planned",
)  # fmt: skip
GRIDS = ((4, 2), (5, 2), (3, 3), (4, 3))
MORE = 3  # times as many for two rows of four: a share near 94 % is known to 1.7 % by 200, 1 by 600


def line(name: str, made: Outcome) -> None:
    doubted = sum(chance < 0.05 for chance in made.chances) / len(made.chances)
    kinds = ", ".join(f"{kind} {count}" for kind, count in made.kinds.most_common())
    print(
        f"{name:30} {MM * made.middle:5.1f} {MM * made.most:5.1f} mm  {100 * made.inside:5.1f} %  "
        f"{100 * doubted:4.1f} %  {100 * (1 - made.share('none')):4.1f} %   {kinds}"
    )


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    start = time.process_time()
    print(f"{count} trials each; marks 3 mm, picture 1.5 px, twelve marks unless said otherwise")
    print("world                          half  95 %      in their  misfit   a mark    kind")
    print("                               of the picture  ellipse   doubted  blamed    drawn by")
    flat = trials("flat", count, 11, USUAL)
    line("flat", flat)
    for kind in WORLDS[1:]:
        made = trials(kind, count, 11, USUAL)
        line(kind, made)
        print(f"{'':30} {made.most / flat.most:.2f} times the flat wall's error")
    line("flat, projector unknown", trials("flat", count, 11, USUAL, known=False))
    line("flat, 2 mm and 1 px by hand", trials("flat", count, 7, BY_HAND))
    line("flat, 2 mm and 0.3 px by photo", trials("flat", count, 7, BY_PHOTO))
    line("flat, 2 mm, misses by a tape", taped_trials(count, 7))
    print(f"\n4 by 2: {MORE * count} trials each")
    print("one mark off by 50 mm                     named right   wrong   none")
    for noise, words in ((BY_HAND, "2 mm, 1 px"), (USUAL, "3 mm, 1.5 px")):
        for known in (True, False):
            who = f"{words}, projector {'known' if known else 'unknown'}"
            for across, down in GRIDS:
                many = MORE * count if (across, down) == (4, 2) else count
                made = trials(
                    "flat", many, 5, noise, across=across, down=down, slip=0.05, known=known
                )
                print(
                    f"{f'{across} by {down}, {who}':43} {100 * made.share('right'):6.1f} %  "
                    f"{100 * made.share('wrong'):5.1f} % {100 * made.share('none'):5.1f} %"
                )
            made = trials("flat", MORE * count, 9, noise, across=4, down=2, known=known)
            print(f"{'4 by 2, all right: blamed':43} {100 * (1 - made.share('none')):6.1f} %")
    for kind in WORLDS[1:8]:
        made = trials(kind, MORE * count, 5, BY_HAND, across=4, down=2, slip=0.05)
        right = trials(kind, MORE * count, 9, BY_HAND, across=4, down=2)
        print(
            f"{f'4 by 2, 2 mm, 1 px, {kind}':43} {100 * made.share('right'):6.1f} %  "
            f"{100 * made.share('wrong'):5.1f} % {100 * made.share('none'):5.1f} %   "
            f"all right: blamed {100 * (1 - right.share('none')):.1f} %"
        )
    print(f"\n{time.process_time() - start:.0f} s of processor time")


if __name__ == "__main__":
    main()

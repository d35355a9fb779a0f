"""Pictures squared by made photos: accuracy in each kind of light, printed.

The scenes are those of tests/worlds/test_photo_square_worlds.py, more of them: 12 chalk crosses
2 mm off their measure, positive, negative and white from a tripod. For each world: share of the
crosses found, wrong finds (over 15 mm), median and 95 % error of crosses, of the pattern alone and
of the squared picture.

    python bench/photo_square.py [scenes]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

TESTS = Path(__file__).resolve().parents[1] / "tests"
sys.path[:0] = [str(TESTS), str(TESTS / "worlds")]

import made_night  # noqa: E402
from test_photo_square_worlds import FAR, NEAR, squaring  # noqa: E402

WORLDS = {
    "near": NEAR,
    "near, posts and leaves": {**NEAR, "hidden": 0.08},
    "far, 5 lx beside": FAR,
    "far, 100 lx beside": {**FAR, "ambient": 100.0},
    "near, from the hand": {**NEAR, "held": 4.0},
    "near, from the hand, no negative": {**NEAR, "held": 4.0, "pair": False},
    "near, 50 degrees": {**NEAR, "oblique": 45.0, "parts": 3},
}
WRONG = 0.015  # m


def main(scenes: int) -> None:
    print(f"{scenes} scenes of each, seeds from 100; mm")
    for name, world in WORLDS.items():
        begun = time.process_time()
        made = [squaring(made_night, 100 + seed, **world) for seed in range(scenes)]
        used = [one for one in made if one.seen.refused is None]
        took = (time.process_time() - begun) / scenes
        if not used:
            print(f"{name}: all refused")
            continue
        crosses = 1000 * np.concatenate([one.crosses for one in used])
        pattern = 1000 * np.concatenate([one.pattern for one in used])
        picture = 1000 * np.concatenate([one.picture.ravel() for one in used])
        print(
            f"{name}: {scenes - len(used)} refused; {len(crosses)} of {12 * len(used)} crosses, "
            f"{int((crosses > 1000 * WRONG).sum())} wrong, {np.median(crosses):.2f} / "
            f"{np.percentile(crosses, 95):.2f}; pattern {np.median(pattern):.2f} / "
            f"{np.percentile(pattern, 95):.2f}; picture {np.median(picture):.2f} / "
            f"{np.percentile(picture, 95):.2f}; {took:.1f} s of processor a scene, making included",
            flush=True,
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)

"""How often any rule can name a mark that is 50 mm off: bounds, worked out apart from our code.

The pictures of `made_projection.py` as linear models with normal noise, whose kind of wall is
known. Three rules are tried on the same residuals: leaving out the mark that takes most off the
misfit, the likelihood averaged over slips of any size and direction, as `core/projection` has it
(both know nothing of the slip), and the likelihood of a slip of exactly that size in any direction,
averaged, which knows what nobody knows: no rule names better than that one. All have their limits
set so that right marks are blamed in 1.5 % of trials.

    python bench/naming_bound.py [trials]
"""

from __future__ import annotations

import math
import sys
from dataclasses import replace

import numpy as np
from made_projection import (
    BY_HAND,
    COLUMNS,
    NOMINAL,
    ROWS,
    USUAL,
    Noise,
    made_marks,
    made_world,
)

from giornata.core.foundation import Floats
from giornata.core.projection import MapKind, Sightings, fit_of_kind

SLIP, FALSE_ALARM, POSES = 0.050, 0.015, 20
TURNS = np.linspace(0, 2 * math.pi, 48, endpoint=False)
WAYS = SLIP * np.array([np.cos(TURNS), np.sin(TURNS)])


def models(
    world: str, noise: Noise, across: int, down: int, known: bool
) -> list[tuple[Floats, Floats]]:
    """Of some poses: what is left of noise after the fit, and how a slip shows, whitened."""
    rng = np.random.default_rng(1)
    made = []
    for _ in range(POSES):
        pose, shape = made_world(world, rng)
        marks, _ = made_marks(pose, Noise(mark=1e-9, px=1e-6), rng, across=across, down=down)
        seen = Sightings(
            [type(m)(name=m.name, chainage=m.chainage, level=m.level, x_px=m.x_px, y_px=m.y_px,
                     mark_sigma=noise.mark, px_sigma=noise.px) for m in marks]
        )  # fmt: skip
        kind = MapKind.POSE if known else MapKind.FLAT
        if shape.hinge is not None:
            kind = MapKind.POSE_FOLD if known else MapKind.HINGE
        begun = NOMINAL if not shape.fold else replace(NOMINAL, origin=30.3, fold=shape.fold)
        fit = fit_of_kind(kind, seen.marks, COLUMNS, ROWS, pose=begun if known else None,
                          hinge=shape.hinge)  # fmt: skip
        if fit is None:
            continue
        weights = np.linalg.inv(np.linalg.cholesky(seen.covariance(fit.on_wall)))
        design = weights @ seen.slopes(fit.on_wall)
        by_wall, _ = fit.on_wall.slopes(seen.places)
        count = len(seen.marks)
        shows = np.stack([weights[:, 2 * k : 2 * k + 2] @ by_wall[k] for k in range(count)])
        beliefs = fit.on_wall.prior_slopes
        covariance = np.linalg.inv(design.T @ design + beliefs.T @ beliefs)
        made.append((np.eye(2 * count) - design @ covariance @ design.T, shows))
    return made


def judged(checked: Floats, shows: Floats, errors: Floats) -> tuple[Floats, Floats, Floats]:
    """For every mark: half of the drop without it; log likelihood of any slip, and of 50 mm."""
    of_drop, of_any, of_size = [], [], []
    for way in shows:
        pull = -way.T @ (checked @ errors)
        much = way.T @ checked @ way
        of_drop.append(pull @ np.linalg.solve(much, pull) / 2)
        of_any.append(of_drop[-1] - np.linalg.slogdet(much)[1] / 2)
        ways = pull @ WAYS - np.einsum("ik,ij,jk->k", WAYS, much, WAYS) / 2
        of_size.append(np.logaddexp.reduce(ways) - math.log(len(TURNS)))
    return np.array(of_drop), np.array(of_any), np.array(of_size)


def bound(world: str, noise: Noise, across: int, down: int, known: bool, trials: int) -> None:
    rng = np.random.default_rng(2)
    all_models = models(world, noise, across, down, known)
    right, slipped = [], []
    for number in range(2 * trials):
        checked, shows = all_models[number % len(all_models)]
        errors = rng.normal(size=checked.shape[0])
        which = int(rng.integers(len(shows)))
        if number % 2 == 0:
            right.append(judged(checked, shows, errors))
            continue
        way = WAYS[:, int(rng.integers(len(TURNS)))]
        slipped.append((which, judged(checked, shows, errors - shows[which] @ way)))
    words = []
    for rule in range(3):
        limit = np.quantile([one[rule].max() for one in right], 1 - FALSE_ALARM)
        named = [(which, one[rule]) for which, one in slipped if one[rule].max() > limit]
        good = sum(int(np.argmax(one)) == which for which, one in named)
        words.append(f"{100 * good / trials:6.1f} {100 * (len(named) - good) / trials:6.1f}")
    who = f"{world}, {across} by {down}, {1000 * noise.mark:.0f} mm, {noise.px} px"
    print(f"{who:48} {'known' if known else 'unknown':8} {'    '.join(words)}")


def main() -> None:
    trials = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    print(
        f"{trials} trials; right and wrong, in %: marks left out in turn, averaged over slips of "
        "any size, told the size"
    )
    for noise in (BY_HAND, USUAL):
        for across, down in ((4, 2), (3, 3)):
            for known in (True, False):
                bound("flat", noise, across, down, known, trials)
        for world in ("folded", "folded, unmeasured"):
            bound(world, noise, 4, 2, True, trials)


if __name__ == "__main__":
    main()

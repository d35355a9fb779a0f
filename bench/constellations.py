"""Marks told apart by how they stand to each other: good sets stopped and wrong names, counted.

No pictures are made: places of crosses come from poses of projector and phone, posts and leaves
cover some, others are lost or stand out weakly, and false ones are strewn, all as often as in the
made photos of tests/worlds (162 crosses and 222 false candidates of 16 scenes with posts, leaves:
likeness of a cross 0.90 at the median, 0.63 at 5 %, of a false candidate 0.71 at 99 %; up to 42
false ones in a scene; places off by 0.5 px at the median). Twelve marks each:

- even in the picture: they lie evenly in the picture as it stands, up to 2.5 m beside its plan (the
  scenes of tests/worlds);
- even on the wall: they lie evenly on the wall; the projector is turned by up to 8 degrees, its
  picture up to 0.3 m (aimed) or 2.5 m (astray) beside its plan; others beside: the marks of the
  set-ups on either side go on as evenly;
- folded: the first kind on a wall that folds by 2 to 30 degrees, read 1 degree and 50 mm wrong.

"Stopped" are those told right that were stopped as ambiguous; "none": too few crosses.

    python bench/constellations.py [scenes of each] [first seed]
"""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import cv2
import numpy as np

TESTS = Path(__file__).resolve().parents[1] / "tests"
sys.path[:0] = [str(TESTS)]

import made_night  # noqa: E402

from giornata.core.boards.constellation import constellation  # noqa: E402

SIZE = (1920.0, 1080.0)
LOST = 0.08  # of the crosses that nothing hides
WEAK = 0.15  # of those that are found
RIM = 20.0  # px that a cross needs about it
AWAY = 9.0  # m


@dataclass(frozen=True, kw_only=True)
class Made:
    """Marks as planned and the true place of each; those of other set-ups too."""

    planned: Any  # (n, 3)
    true: Any  # (n, 2)
    others: Any  # (k, 3)
    others_true: Any  # (k, 2)
    hidden: Any  # outlines in the picture


def even_in_picture(rng: np.random.Generator, hidden: float, **shape: Any) -> Made:
    """As in the made photos, but nothing is drawn."""
    drawn = made_night.Wall.drawn
    made_night.Wall.drawn = classmethod(lambda cls, *_, **__: SimpleNamespace())  # type: ignore[method-assign,assignment]
    try:
        scene = made_night.scene(rng, away=AWAY, width=2000, hidden=hidden, **shape)
    finally:
        made_night.Wall.drawn = drawn  # type: ignore[method-assign]
    board = np.array([(x, y) for x in np.linspace(0, 1920, 9) for y in np.linspace(0, 1080, 9)])
    photo = scene.night.phone.photo_from_wall(scene.night.lamp.places(board))
    # What hides is known in the photo; it is taken to the picture as a plane would be.
    back, _ = cv2.findHomography(photo, board)
    outlines = [made_night.mapped(back, one) for one, _ in scene.night.hidden]
    return Made(
        planned=np.column_stack([scene.planned, scene.relief]), true=scene.px,
        others=np.zeros((0, 3)), others_true=np.zeros((0, 2)), hidden=outlines,
    )  # fmt: skip


def even_on_wall(rng: np.random.Generator, hidden: float, *, beside: bool, astray: float) -> Made:
    """Four columns of three that go on over the wall, seen by a projector put up anyhow."""
    pitch = AWAY / 1.4 / SIZE[0]
    lamp = made_night.Lamp.aimed(rng, away=AWAY)
    x, y = lamp.places([(SIZE[0] / 2, SIZE[1] / 2)])[0].tolist()
    moved = np.eye(3)  # its picture's middle so far beside the plan's
    moved[0, 2] = x - rng.uniform(-astray, astray)
    moved[1, 2] = y - (1.4 + SIZE[1] / 2 * pitch) - rng.uniform(-0.15, 0.15)
    lamp = replace(lamp, px_from_wall=lamp.px_from_wall @ moved)
    x = np.linspace(0.08, 0.92, 4) * SIZE[0]
    y = np.linspace(0.12, 0.88, 3) * SIZE[1]
    step = x[1] - x[0]
    own = np.array([(a, b) for b in y for a in x])
    more = np.array([(x[0] + k * step, b) for b in y for k in (-3, -2, -1, 4, 5, 6)])

    def wall(px: Any) -> Any:
        return np.column_stack(
            [(px[:, 0] - SIZE[0] / 2) * pitch, 1.4 + (SIZE[1] - px[:, 1]) * pitch]
        )

    posts = made_night.leaves_and_posts(rng, 1920, 1080, hidden) if hidden else ()
    others = more if beside else more[:0]
    return Made(
        planned=np.column_stack([own, np.zeros(len(own))]), true=lamp.px(wall(own)),
        others=np.column_stack([others, np.zeros(len(others))]),
        others_true=lamp.px(wall(others)) if beside else others,
        hidden=[one for one, _ in posts],
    )  # fmt: skip


def crosses(made: Made, rng: np.random.Generator) -> tuple[Any, Any, Any]:
    """Candidates, their likeness, and which mark each is: -1 for none of the set-up's."""
    places, alike, names = [], [], []
    for name, at in [*enumerate(made.true), *((-1, one) for one in made.others_true)]:
        inside = (at > RIM).all() and (at < np.array(SIZE) - RIM).all()
        ends = at + 20 * np.array([(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)])
        covered = any(
            cv2.pointPolygonTest(np.float32(ring).reshape(-1, 1, 2), (float(a), float(b)), False)
            >= 0
            for ring in made.hidden
            for a, b in ends
        )
        if not inside or covered or rng.random() < LOST:
            continue
        places.append(at + rng.normal(0, 0.5, 2))
        weak = rng.random() < WEAK
        alike.append(rng.uniform(0.46, 0.85) if weak else min(rng.normal(0.9, 0.02), 0.96))
        names.append(name)
    for _ in range(int(rng.integers(0, 29))):
        places.append(rng.uniform(0, 1, 2) * SIZE)
        alike.append(rng.triangular(0.45, 0.52, 0.72))
        names.append(-1)
    order = np.argsort(-np.array(alike), kind="stable")
    return np.array(places)[order], np.array(alike)[order], np.array(names)[order]


def told(made: Made, rng: np.random.Generator) -> str:
    """What comes of it."""
    seen, alike, names = crosses(made, rng)
    found = constellation(made.planned, seen, alike, SIZE, made.others)
    if found is None:
        return "none"
    right = all(names[candidate] in (mark, -1) for mark, candidate in found.matched)
    true = sum(names[candidate] == mark for mark, candidate in found.matched)
    good = right and true >= len(found.matched) - 2
    if found.ambiguous:
        return "stopped" if good else "stopped, not right"
    return ("right" if good else "WRONG") + (" by the plan, and said" if found.by_plan else "")


def fold(rng: np.random.Generator, hidden: float, least: float = 2.0, most: float = 30.0) -> Made:
    turn = math.radians(rng.uniform(least, most)) * rng.choice([-1, 1])
    return even_in_picture(rng, hidden, fold=turn, bent_at=rng.uniform(-1.5, 1.5))


KINDS = {
    "even in the picture": lambda rng: even_in_picture(rng, 0.0),
    "even in the picture, posts and leaves": lambda rng: even_in_picture(rng, 0.08),
    "even on the wall, aimed": lambda rng: even_on_wall(rng, 0.08, beside=False, astray=0.3),
    "even on the wall, astray": lambda rng: even_on_wall(rng, 0.08, beside=False, astray=2.5),
    "the same, others beside, aimed": lambda rng: even_on_wall(rng, 0.08, beside=True, astray=0.3),
    "the same, others beside, astray": lambda rng: even_on_wall(rng, 0.08, beside=True, astray=2.5),
    "folded": lambda rng: fold(rng, 0.0),
    "folded by 25 to 30 degrees": lambda rng: fold(rng, 0.0, 25.0),
    "folded, posts and leaves": lambda rng: fold(rng, 0.08),
}


def main(scenes: int, first: int = 1000) -> None:
    print(f"{scenes} scenes of each, seeds from {first}")
    for name, kind in KINDS.items():
        count: dict[str, int] = {}
        for seed in range(first, first + scenes):
            rng = np.random.default_rng(seed)
            what = told(kind(rng), rng)
            count[what] = count.get(what, 0) + 1
        said = "; ".join(f"{number} {what}" for what, number in sorted(count.items()))
        print(f"{name}: {said}", flush=True)


if __name__ == "__main__":
    main(*(int(one) for one in sys.argv[1:3] or ("300",)))

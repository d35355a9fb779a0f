"""Things that are not flat, as plain values and one block of bytes."""

from __future__ import annotations

from typing import Any

import shapely

from giornata.files.artwork.display import Flat, Matrix, Run, Thing

__all__ = ["Blocks", "flat_from_plain", "flat_to_plain", "thing_from_plain", "thing_to_plain"]


class Blocks:
    """Bytes written one after another, and read back in the same order."""

    def __init__(self, data: bytes = b"") -> None:
        self.parts: list[bytes] = []
        self.data = data
        self.at = 0

    def put(self, part: bytes) -> int:
        """Keep a part; its length."""
        self.parts.append(part)
        return len(part)

    def take(self, length: int) -> bytes:
        """The next part.

        Raises
        ------
        ValueError
            If there is not so much left.
        """
        if length < 0 or self.at + length > len(self.data):
            raise ValueError("the reading is cut short")
        self.at += length
        return self.data[self.at - length : self.at]


def flat_to_plain(shape: Flat, blocks: Blocks) -> list[Any]:
    """A shape; its area goes into the blocks."""
    length = blocks.put(shapely.to_wkb(shape.area))
    return [length, shape.colour, shape.opacity, shape.names, shape.veils, shape.thing]


def flat_from_plain(plain: list[Any], blocks: Blocks) -> Flat:
    """A shape; its area comes from the blocks."""
    length, colour, opacity, names, veils, thing = plain
    return Flat(
        area=shapely.from_wkb(blocks.take(length)),
        colour=colour,
        opacity=opacity,
        names=tuple(names),
        veils=tuple((int(number), float(veil)) for number, veil in veils),
        thing=int(thing),
    )


def thing_to_plain(thing: Thing, blocks: Blocks) -> dict[str, Any]:
    """A thing; areas and content go into the blocks."""
    run = thing.run
    return {
        "kind": thing.kind,
        "source": thing.source,
        "doubt": thing.doubt,
        "run": None
        if run is None
        else [run.stops, run.start, run.end, run.matrix, run.spread, run.extend],
        "drawn": None
        if thing.drawn is None
        else [flat_to_plain(shape, blocks) for shape in thing.drawn],
        "box": thing.box,
        "frame": None if thing.frame is None else blocks.put(shapely.to_wkb(thing.frame)),
        "matrix": thing.matrix,
        "content": None if thing.content is None else blocks.put(thing.content),
        "fit": thing.fit,
        "room": thing.room,
        "words": thing.words,
        "before": thing.before,
        "names": thing.names,
        "veils": thing.veils,
        "line": thing.line,
        "finding": thing.finding,
    }


def _matrix(plain: list[float]) -> Matrix:
    a, b, c, d, e, f = (float(value) for value in plain)
    return (a, b, c, d, e, f)


def _run(plain: list[Any]) -> Run:
    stops, start, end, matrix, spread, extend = plain
    return Run(
        stops=tuple(
            (float(s[0]), float(s[1]), float(s[2]), float(s[3]), float(s[4])) for s in stops
        ),
        start=(float(start[0]), float(start[1]), float(start[2])),
        end=(float(end[0]), float(end[1]), float(end[2])),
        matrix=_matrix(matrix),
        spread=str(spread),
        extend=(bool(extend[0]), bool(extend[1])),
    )


def thing_from_plain(plain: dict[str, Any], blocks: Blocks) -> Thing:
    """A thing; areas and content come from the blocks, in the order they went in."""
    drawn, frame, content = plain["drawn"], plain["frame"], plain["content"]
    box = plain["box"]
    return Thing(
        kind=str(plain["kind"]),
        source=str(plain["source"]),
        doubt=str(plain["doubt"]),
        run=None if plain["run"] is None else _run(plain["run"]),
        drawn=None if drawn is None else tuple(flat_from_plain(each, blocks) for each in drawn),
        box=None if box is None else (box[0], box[1], box[2], box[3]),
        frame=None if frame is None else shapely.from_wkb(blocks.take(frame)),
        matrix=None if plain["matrix"] is None else _matrix(plain["matrix"]),
        content=None if content is None else blocks.take(content),
        fit=str(plain["fit"]),
        room=None if plain["room"] is None else (plain["room"][0], plain["room"][1]),
        words=str(plain["words"]),
        before=int(plain["before"]),
        names=tuple(plain["names"]),
        veils=tuple((int(number), float(veil)) for number, veil in plain["veils"]),
        line=int(plain["line"]),
        finding=int(plain["finding"]),
    )

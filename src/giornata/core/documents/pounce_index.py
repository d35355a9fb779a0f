"""Index of a pounce pattern: the stretch with its tiles and their names."""

from __future__ import annotations

import shapely

from giornata.core.documents.dimensions import DIMENSION, plate
from giornata.core.documents.display import bare, size_text
from giornata.core.documents.drawing import DARK, FINE, INK, Item, Label, Line, Pen, Sheet, box
from giornata.core.documents.pounce_tiling import OVERLAP_LINE, PounceTiling, tile_name
from giornata.core.documents.regions_on_paper import paper_regions
from giornata.core.documents.scales import MARGIN
from giornata.core.documents.title_block import TITLE_HEIGHT, Heading, title_block
from giornata.core.documents.wall_parts import feature_items, outline_items
from giornata.core.documents.wall_strip import STRIP_HEIGHT, Stretch, wall_strip
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import System, number_of
from giornata.core.job import JobResults

__all__ = ["pounce_index"]

_TILE = Pen(width=0.25, colour=DARK)


def pounce_index(
    results: JobResults,
    tiling: PounceTiling,
    drawn: list[tuple[int, int]],
    head: Heading,
    system: System,
) -> Sheet:
    """The stretch with its tiles and their names, not to scale.

    Parameters
    ----------
    drawn : list of (int, int)
        Columns and rows of the tiles that are printed, from 0. [-]
    """
    size, margin = tiling.size, 1000 * MARGIN.value
    left, right, lower = margin, size.long - margin, size.short - margin
    upper = margin + STRIP_HEIGHT + 18.0
    floor = lower - TITLE_HEIGHT - 10.0
    end = tiling.window.start + (tiling.columns - 1) * tiling.across + tiling.wide
    top = tiling.window.base + (tiling.rows - 1) * tiling.up + tiling.high
    scale = min(
        (right - left) / (end - tiling.window.start), (floor - upper) / (top - tiling.window.base)
    )
    view = WallView(
        start=tiling.window.start, end=end, base=tiling.window.base, head=top, left=left,
        lower=upper + (top - tiling.window.base) * scale, mm_per_metre=scale,
    )  # fmt: skip
    wall = results.wall
    here = Stretch(start=tiling.window.start, end=min(end, wall.length), name="pounce", here=True)
    regions = paper_regions(results.design.placed.coverage, scale)
    items: list[Item] = list(
        wall_strip(wall, [here], left=left, right=right, upper=margin, system=system)
    )
    items.append(Label(x=left, y=upper - 9.0, text="Pounce pattern", size=18.0, bold=True))
    unit = "" if system is System.US else " m"
    items.append(
        Label(
            x=left,
            y=upper - 3.5,
            size=DIMENSION,
            text=f"{number_of(len(drawn), 'tile')} of {tiling.columns} × {tiling.rows}, each "
            f"{size_text(tiling.wide, tiling.high, system)}, on {size.title}; from chainage "
            f"{bare(tiling.window.start, system, digits=3)} to "
            f"{bare(tiling.window.end, system, digits=3)}{unit}. A tile without an edge is not "
            "printed.",
        )
    )
    items += [
        Line(points=view.on_sheet(shapely.get_coordinates(line)), pen=FINE)
        for line in regions.lines(view).tolist()
    ]
    items += feature_items(wall, view)
    items += outline_items(wall, view)
    type_size = min(16.0, max(9.0, tiling.across * scale * 0.8))
    for column in range(tiling.columns):
        for row in range(tiling.rows):
            tile = tiling.view(column, row)
            items.append(
                box(view.x(tile.start), view.y(tile.head), view.x(tile.end), view.y(tile.base),
                    pen=_TILE if (column, row) in drawn else OVERLAP_LINE)
            )  # fmt: skip
            if (column, row) in drawn:
                label = Label(
                    x=view.x((tile.start + tile.end) / 2), y=view.y((tile.base + tile.head) / 2),
                    text=tile_name((column, row)), size=type_size, anchor="middle", bold=True,
                    colour=INK,
                )  # fmt: skip
                items += [plate(label), label]
    items.append(
        Label(x=left, y=floor + 6.0, size=DIMENSION,
              text="Print at 100 %, without fitting to the page; measure each tile's two bars. "
              "Hang the pattern to the marks: each cross has its chainage and level. Not in wind.")
    )  # fmt: skip
    items += title_block(head, "Index of the tiles", "Not to scale", (1, len(drawn) + 1), left,
                         right, lower)  # fmt: skip
    return Sheet(name="Pounce index", width=size.long, height=size.short, items=tuple(items))

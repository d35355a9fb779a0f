// Look: what drawings are drawn with just now; strip and pane share one.

import type { Inks } from "./inks.ts";
import type { Colours, WallDrawing } from "./records.ts";

export class Look {
  readonly wall: WallDrawing;
  inks: Inks;
  colourway: string;

  constructor(wall: WallDrawing, inks: Inks, colourway: string) {
    this.wall = wall;
    this.inks = inks;
    this.colourway = colourway;
  }

  /** Colour of a paint; by night a red as light as the paint. */
  colour(paint: number): string {
    const ways = this.inks.night ? this.wall.night : this.wall.colourways;
    const colours: Colours = ways[this.colourway] ?? {};
    return colours[String(paint)] ?? this.inks.paper;
  }

  /** Name of a paint by its number. */
  paint(number: number): string {
    const found = this.wall.paints.find(([one]) => one === number);
    return found === undefined ? "" : `${found[0]} ${found[2]}`;
  }
}

/** Level of a line of the wall at a chainage; at a step the one to its right. */
export function levelAt(line: readonly (readonly [number, number])[], at: number): number {
  for (let n = line.length - 2; n >= 0; n -= 1) {
    const [x0, y0] = line[n] ?? [0, 0];
    const [x1, y1] = line[n + 1] ?? [0, 0];
    if (x0 <= at && at <= x1 && x1 > x0) return y0 + ((y1 - y0) * (at - x0)) / (x1 - x0);
  }
  const end = at <= 0 ? line[0] : line[line.length - 1];
  return end?.[1] ?? 0;
}

// What the program says of the wall: the same records as in web/wall_drawing.py.

export type Point = readonly [number, number];
export type Box = readonly [number, number, number, number];
export type Ring = readonly Point[];

export interface DrawnSpan {
  readonly name: string;
  readonly start: number;
  readonly end: number;
  readonly rings: readonly Ring[];
  readonly cross: readonly Ring[];
}

export interface DrawnSetUp {
  readonly number: number;
  readonly box: Box;
  readonly centre: Point;
  readonly text: string;
  readonly passes: boolean;
  readonly by: string; // what else than the projector its part is put on by; "" for nothing
  readonly projected: boolean;
}

export interface Spot {
  readonly name: string;
  readonly at: Point;
  readonly text: string;
}

export type Colours = Readonly<Record<string, string>>;

export interface WallDrawing {
  readonly length: number;
  readonly low: number;
  readonly high: number;
  readonly units: "metric" | "us";
  readonly outline: readonly Ring[];
  readonly top: Ring;
  readonly ground: Ring;
  readonly bays: readonly DrawnSpan[];
  readonly joints: readonly number[];
  readonly piers: readonly DrawnSpan[];
  readonly bends: readonly Spot[];
  readonly curves: readonly DrawnSpan[];
  readonly openings: readonly DrawnSpan[];
  readonly obstacles: readonly DrawnSpan[];
  readonly lamps: readonly DrawnSpan[];
  readonly set_ups: readonly DrawnSetUp[];
  readonly marks: readonly Spot[];
  readonly paints: readonly (readonly [number, string, string])[];
  readonly colourways: Readonly<Record<string, Colours>>;
  readonly night: Readonly<Record<string, Colours>>;
}

export interface ArtworkDrawing {
  readonly option: string;
  readonly paint: readonly number[];
  readonly regions: readonly (readonly (readonly number[])[])[];
  readonly narrow: readonly Spot[];
  readonly clashes: readonly DrawnSpan[];
}

/** A region's rings in metres, from its first point and steps in millimetres. */
export function unpacked(rings: readonly (readonly number[])[]): number[][][] {
  return rings.map((steps) => {
    const ring: number[][] = [];
    let x = 0;
    let y = 0;
    for (let at = 0; at + 1 < steps.length; at += 2) {
      x += steps[at] ?? 0;
      y += steps[at + 1] ?? 0;
      ring.push([x / 1000, y / 1000]);
    }
    const first = ring[0];
    if (first !== undefined) ring.push(first);
    return ring;
  });
}

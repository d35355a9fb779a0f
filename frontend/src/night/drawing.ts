// One set-up's picture on a canvas, each vertex by the map: sharp for flat, folded and curved walls.

import type { Point, WallMap } from "./maps.ts";
import type { SetUpDrawing, Shown } from "./records.ts";

const UNIT = 1e-5; // m a step
const BEND = 0.1; // m between vertices where straight lines bend
const LINE = 2; // px
const THICK = 7;
const RIM = "#707070";

type Ring = readonly number[];

/** Places of a ring given as steps, as pairs of chainage and level. */
function unrolled(steps: Ring): number[] {
  const places = new Array<number>(steps.length);
  let [x, y] = [0, 0];
  for (let i = 0; i < steps.length; i += 2) {
    x += steps[i]!;
    y += steps[i + 1]!;
    places[i] = x * UNIT;
    places[i + 1] = y * UNIT;
  }
  return places;
}

interface Shape {
  readonly paint: number;
  readonly rings: number[][];
}

/** A set-up's picture: its geometry unrolled once, then drawn by any map. */
export class Picture {
  readonly of: SetUpDrawing;
  readonly #shapes: Shape[];
  readonly #net: number[][];
  readonly #between: number[][];
  readonly #rim: number[][];

  constructor(of: SetUpDrawing) {
    this.of = of;
    this.#shapes = of.regions.map((rings, i) => ({ paint: of.paint[i]!, rings: rings.map(unrolled) }));
    this.#net = of.net.map(unrolled);
    this.#between = of.between.map(unrolled);
    this.#rim = of.rim.map(unrolled);
  }

  /** Draw what is to be shown. */
  draw(
    pen: CanvasRenderingContext2D, map: WallMap, shown: Shown, flash: string, marks: SetUpDrawing["marks"],
  ): void {
    const { columns, rows } = this.of;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.fillStyle = shown.view === "white" ? "#ffffff" : "#000000";
    pen.fillRect(0, 0, columns, rows);
    if (shown.view === "blank" || shown.view === "white") return;
    if (shown.view === "check") {
      this.#check(pen);
      return;
    }
    if (shown.view === "outline") this.#outline(pen, map, shown.thick);
    else this.#fill(pen, map, shown);
    if (shown.crosses) this.#crosses(pen, map, flash, marks);
    else if (flash !== "") this.#crosses(pen, map, flash, marks.filter((one) => one.name === flash));
    this.#word(pen, map, `set-up ${this.of.number}`, this.of.label_at);
  }

  /** Columns and rows of single pixels, on and off: any scaling between shows as stripes. */
  #check(pen: CanvasRenderingContext2D): void {
    const { columns, rows } = this.of;
    const image = pen.createImageData(columns, rows);
    const words = new Uint32Array(image.data.buffer);
    for (let y = 0, i = 0; y < rows; y++) {
      for (let x = 0; x < columns; x++, i++) words[i] = ((x + y) & 1) === 0 ? 0xffffffff : 0xff000000;
    }
    pen.putImageData(image, 0, 0);
  }

  #path(pen: CanvasRenderingContext2D, map: WallMap, places: number[], closed: boolean): void {
    const n = places.length;
    if (n < 2) return;
    const first = map.px(places[0]!, places[1]!);
    pen.moveTo(first[0], first[1]);
    const last = closed ? n + 2 : n;
    for (let i = 2; i < last; i += 2) {
      const [x, y] = [places[i % n]!, places[(i + 1) % n]!];
      if (!map.straight) this.#bent(pen, map, places[i - 2]!, places[i - 1]!, x, y);
      const [u, v] = map.px(x, y);
      pen.lineTo(u, v);
    }
    if (closed) pen.closePath();
  }

  #bent(
    pen: CanvasRenderingContext2D, map: WallMap, x0: number, y0: number, x1: number, y1: number,
  ): void {
    const cuts = Math.ceil(Math.hypot(x1 - x0, y1 - y0) / BEND);
    const shares = Array.from({ length: cuts - 1 }, (_, i) => (i + 1) / cuts);
    const hinge = this.of.hinge;
    if (hinge !== null && (x0 - hinge) * (x1 - hinge) < 0) shares.push((hinge - x0) / (x1 - x0));
    for (const t of shares.sort((a, b) => a - b)) {
      const [u, v] = map.px(x0 + t * (x1 - x0), y0 + t * (y1 - y0));
      pen.lineTo(u, v);
    }
  }

  #fill(pen: CanvasRenderingContext2D, map: WallMap, shown: Shown): void {
    const one = this.of.paints.find(([, key]) => key === shown.paint)?.[0];
    const colours = shown.view === "contrast" ? this.of.contrast : this.of.fill;
    for (const { paint, rings } of this.#shapes) {
      let colour = colours[String(paint)] ?? "#000000";
      if (shown.view === "one") colour = paint === one ? "#ffffff" : "#000000";
      pen.beginPath();
      for (const ring of rings) this.#path(pen, map, ring, true);
      pen.fillStyle = colour;
      pen.fill("evenodd");
      if (colour === "#000000") continue;
      // Neighbours share an edge: a hair of stroke closes the seam that smoothing leaves.
      pen.strokeStyle = colour;
      pen.lineWidth = shown.thick ? THICK : 0.6;
      pen.stroke();
    }
  }

  #outline(pen: CanvasRenderingContext2D, map: WallMap, thick: boolean): void {
    pen.save();
    pen.beginPath();
    for (const ring of this.#net) this.#path(pen, map, ring, true);
    pen.clip("evenodd");
    pen.lineJoin = "round";
    pen.lineCap = "round";
    const width = thick ? THICK : LINE;
    for (const [lines, colour, wide] of [
      [this.#rim, RIM, 2 * width], [this.#between, "#ffffff", width],
    ] as const) {
      pen.beginPath();
      for (const line of lines) this.#path(pen, map, line, false);
      pen.strokeStyle = colour;
      pen.lineWidth = wide;
      pen.stroke();
    }
    pen.restore();
  }

  #crosses(pen: CanvasRenderingContext2D, map: WallMap, flash: string, marks: SetUpDrawing["marks"]): void {
    const arm = Math.max(this.of.arm / this.of.pitch, 12);
    for (const { name, at } of marks) {
      const [u, v] = map.px(at[0], at[1]);
      const lit = name === flash;
      const reach = lit ? 2.5 * arm : arm;
      for (const [colour, half, more] of [["#000000", lit ? 7 : 4, 3], ["#ffffff", lit ? 4 : 1, 0]] as const) {
        pen.fillStyle = colour;
        pen.fillRect(u - reach - more, v - half, 2 * (reach + more), 2 * half);
        pen.fillRect(u - half, v - reach - more, 2 * half, 2 * (reach + more));
      }
      if (lit) {
        pen.strokeStyle = "#ffffff";
        pen.lineWidth = 5;
        pen.beginPath();
        pen.arc(u, v, 3 * arm, 0, 2 * Math.PI);
        pen.stroke();
      }
      const gap = 0.4 * this.of.arm;
      const right = at[0] + gap + 0.62 * this.of.letter * name.length < this.of.window[2];
      this.#word(pen, map, name, [at[0] + (right ? gap : -gap), at[1] + gap], right);
    }
  }

  /** Letters that lie along the wall, however the projector lies. */
  #word(pen: CanvasRenderingContext2D, map: WallMap, text: string, at: Point, right = true): void {
    const [u, v] = map.px(at[0], at[1]);
    const [u1, v1] = map.px(at[0] + 0.1, at[1]);
    pen.save();
    pen.translate(u, v);
    pen.rotate(Math.atan2(v1 - v, u1 - u));
    pen.font = `700 ${Math.max(this.of.letter / this.of.pitch, 14)}px "IBM Plex Sans", sans-serif`;
    pen.textAlign = right ? "left" : "right";
    pen.lineJoin = "round";
    pen.lineWidth = Math.max(this.of.letter / this.of.pitch, 14) / 4;
    pen.strokeStyle = "#000000";
    pen.strokeText(text, 0, 0);
    pen.fillStyle = "#ffffff";
    pen.fillText(text, 0, 0);
    pen.restore();
  }
}

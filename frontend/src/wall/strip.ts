// The strip: the whole wall to scale, and on it a window on what the pane shows.

import type { Look } from "./look.ts";
import { placed, ticks } from "./measures.ts";
import type { Sight } from "./pane.ts";
import type { ArtworkDrawing, Box, Ring } from "./records.ts";
import { unpacked } from "./records.ts";

const SIDE = 14; // px left free at either end
const RULER = 22; // px
const BAYS = 18; // px
const HIGHEST = 150; // px of wall

export interface StripWishes {
  readonly moveTo: (chainage: number) => void;
  readonly zoomBy: (factor: number) => void;
}

export class Strip {
  readonly #canvas: HTMLCanvasElement;
  readonly #window: HTMLElement;
  readonly #look: Look;
  readonly #wishes: StripWishes;
  #paths: [number, Path2D][] = [];
  #places: readonly Box[] = [];
  #sight: Sight = { start: 0, end: 1 };
  #scale = 1; // px to a metre

  constructor(canvas: HTMLCanvasElement, window: HTMLElement, look: Look, wishes: StripWishes) {
    this.#canvas = canvas;
    this.#window = window;
    this.#look = look;
    this.#wishes = wishes;
    new ResizeObserver(() => this.draw()).observe(canvas.parentElement ?? canvas);
    this.#letDrag();
    window.addEventListener("keydown", (event) => this.#key(event));
    void document.fonts.ready.then(() => this.draw());
  }

  showArtwork(artwork: ArtworkDrawing): void {
    const byPaint = new Map<number, Path2D>();
    artwork.regions.forEach((rings, at) => {
      const paint = artwork.paint[at] ?? 0;
      const path = byPaint.get(paint) ?? new Path2D();
      byPaint.set(paint, path);
      for (const ring of unpacked(rings)) addRing(path, ring);
    });
    this.#paths = [...byPaint];
    this.draw();
  }

  showPlaces(places: readonly Box[]): void {
    this.#places = places;
    this.draw();
  }

  /** Put the window where the pane stands. */
  follow(sight: Sight): void {
    this.#sight = sight;
    const { length, units } = this.#look.wall;
    const start = Math.max(sight.start, 0);
    const end = Math.min(sight.end, length);
    const left = SIDE + start * this.#scale;
    const width = Math.max((end - start) * this.#scale, 10);
    this.#window.style.left = `${left}px`;
    this.#window.style.width = `${width}px`;
    const middle = (sight.start + sight.end) / 2;
    this.#window.setAttribute("aria-valuemax", length.toFixed(2));
    this.#window.setAttribute("aria-valuenow", Math.min(Math.max(middle, 0), length).toFixed(2));
    this.#window.setAttribute(
      "aria-valuetext", `from ${placed(start, units)} to ${placed(Math.max(end, start), units)}`,
    );
  }

  draw(): void {
    const { wall, inks } = this.#look;
    const across = this.#canvas.parentElement?.clientWidth ?? 0;
    const pen = this.#canvas.getContext("2d");
    if (across < 2 * SIDE + 10 || pen === null) return;
    const tall = wall.high - wall.low;
    this.#scale = Math.min((across - 2 * SIDE) / wall.length, HIGHEST / tall);
    const height = RULER + Math.ceil(tall * this.#scale) + 10 + BAYS;
    const density = devicePixelRatio;
    this.#canvas.width = Math.round(across * density);
    this.#canvas.height = Math.round(height * density);
    this.#canvas.style.height = `${height}px`;
    pen.scale(density, density);
    pen.font = '12px "IBM Plex Sans", sans-serif';
    this.#drawRuler(pen);
    const top = RULER + 6;
    pen.save();
    pen.translate(SIDE, top + wall.high * this.#scale);
    pen.scale(this.#scale, -this.#scale);
    this.#drawWall(pen);
    pen.restore();
    pen.fillStyle = inks.warning;
    for (const [x0, , x1] of this.#places) {
      const x = SIDE + ((x0 + x1) / 2) * this.#scale;
      pen.fill(new Path2D(`M${x - 4} ${top - 7}h8l-4 6z`));
    }
    this.#drawBays(pen, top + tall * this.#scale + 4);
    this.follow(this.#sight);
  }

  #drawRuler(pen: CanvasRenderingContext2D): void {
    const { wall, inks } = this.#look;
    const found = ticks(0, wall.length, 52 / this.#scale, wall.units);
    const end = SIDE + wall.length * this.#scale;
    pen.fillStyle = inks.ink;
    pen.fillRect(SIDE, RULER - 7, end - SIDE, 1);
    pen.fillRect(SIDE, RULER - 2, end - SIDE, 1);
    pen.textBaseline = "alphabetic";
    found.forEach((tick, at) => {
      const x = SIDE + tick.at * this.#scale;
      const next = SIDE + (found[at + 1]?.at ?? wall.length) * this.#scale;
      pen.fillRect(x, RULER - 9, 1, 8);
      if (at % 2 === 0) pen.fillRect(x, RULER - 6, next - x, 4);
      const wide = pen.measureText(tick.text).width;
      pen.fillText(tick.text, Math.min(Math.max(x - wide / 2, 2), end - wide + SIDE - 2), 11);
    });
    pen.fillRect(end, RULER - 9, 1, 8);
  }

  #drawWall(pen: CanvasRenderingContext2D): void {
    const { wall, inks } = this.#look;
    const hair = 1 / this.#scale;
    const outline = new Path2D();
    for (const ring of wall.outline) addRing(outline, ring);
    pen.fillStyle = inks.paper;
    pen.fill(outline, "evenodd");
    pen.lineWidth = hair * 0.6;
    for (const [paint, path] of this.#paths) {
      pen.fillStyle = pen.strokeStyle = this.#look.colour(paint);
      pen.fill(path, "evenodd");
      pen.stroke(path);
    }
    const holes = new Path2D();
    for (const opening of wall.openings) for (const ring of opening.rings) addRing(holes, ring);
    pen.fillStyle = inks.surround;
    pen.fill(holes, "evenodd");
    pen.strokeStyle = inks.ink;
    pen.lineWidth = hair;
    pen.stroke(holes);
    pen.stroke(outline);
  }

  #drawBays(pen: CanvasRenderingContext2D, y: number): void {
    const { wall, inks } = this.#look;
    pen.fillStyle = inks.ink;
    pen.textBaseline = "top";
    let free = 0;
    for (const bay of wall.bays) {
      const from = SIDE + bay.start * this.#scale;
      const to = SIDE + bay.end * this.#scale;
      pen.fillRect(from, y, 1, 5);
      pen.fillRect(to, y, 1, 5);
      const wide = pen.measureText(bay.name).width;
      const left = (from + to - wide) / 2;
      if (wide > to - from - 2 || left < free) continue;
      pen.fillText(bay.name, left, y + 4);
      free = left + wide + 4;
    }
  }

  #letDrag(): void {
    const strip = this.#canvas.parentElement ?? this.#canvas;
    let held: number | null = null; // m between pointer and middle of the window
    const at = (event: PointerEvent): number =>
      (event.clientX - strip.getBoundingClientRect().left - SIDE) / this.#scale;
    strip.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      strip.setPointerCapture(event.pointerId);
      const middle = (this.#sight.start + this.#sight.end) / 2;
      held = event.target === this.#window ? middle - at(event) : 0;
      if (held === 0) this.#wishes.moveTo(at(event));
      this.#window.focus({ preventScroll: true });
      event.preventDefault();
    });
    strip.addEventListener("pointermove", (event) => {
      if (held !== null) this.#wishes.moveTo(at(event) + held);
    });
    for (const end of ["pointerup", "pointercancel"] as const) {
      strip.addEventListener(end, () => {
        held = null;
      });
    }
  }

  #key(event: KeyboardEvent): void {
    const { start, end } = this.#sight;
    const middle = (start + end) / 2;
    const step = end - start;
    const moves: Record<string, number> = {
      ArrowLeft: middle - step / 10,
      ArrowDown: middle - step / 10,
      ArrowRight: middle + step / 10,
      ArrowUp: middle + step / 10,
      PageDown: middle - step,
      PageUp: middle + step,
      Home: 0,
      End: this.#look.wall.length,
    };
    const wish = moves[event.key];
    if (wish !== undefined) this.#wishes.moveTo(wish);
    else if (event.key === "+" || event.key === "=") this.#wishes.zoomBy(1.25);
    else if (event.key === "-") this.#wishes.zoomBy(0.8);
    else return;
    event.preventDefault();
  }
}

function addRing(path: Path2D, ring: Ring | readonly (readonly number[])[]): void {
  ring.forEach(([x = 0, y = 0], at) => {
    if (at === 0) path.moveTo(x, y);
    else path.lineTo(x, y);
  });
  path.closePath();
}

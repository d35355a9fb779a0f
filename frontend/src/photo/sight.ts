// Sight: the part of the photo that is on the screen, moved and zoomed without leaving the photo.

import type { Pixel } from "./records.ts";

const NEAREST = 24; // px of the photo across the narrower side of the stage, at the least

export class Sight {
  readonly #stage: SVGSVGElement;
  readonly #width: number;
  readonly #height: number;
  #x = 0;
  #y = 0;
  #scale = 1; // px of the screen to a pixel of the photo
  #changed: () => void = () => {};

  constructor(stage: SVGSVGElement, width: number, height: number) {
    this.#stage = stage;
    this.#width = width;
    this.#height = height;
    this.whole();
    new ResizeObserver(() => this.#show()).observe(stage);
  }

  onChange(changed: () => void): void {
    this.#changed = changed;
  }

  /** Pixels of the photo to one of the screen. */
  get unit(): number {
    return 1 / this.#scale;
  }

  whole(): void {
    const { clientWidth, clientHeight } = this.#stage;
    this.#scale = Math.min(clientWidth / this.#width, clientHeight / this.#height);
    this.#x = this.#width / 2;
    this.#y = this.#height / 2;
    this.#show();
  }

  zoomBy(factor: number, about: Pixel = [this.#x, this.#y]): void {
    const { clientWidth, clientHeight } = this.#stage;
    const least = Math.min(clientWidth / this.#width, clientHeight / this.#height);
    const most = Math.min(clientWidth, clientHeight) / NEAREST;
    const scale = Math.min(Math.max(this.#scale * factor, least), Math.max(most, least));
    const kept = this.#scale / scale;
    this.#x = about[0] + (this.#x - about[0]) * kept;
    this.#y = about[1] + (this.#y - about[1]) * kept;
    this.#scale = scale;
    this.#show();
  }

  moveBy(dx: number, dy: number): void {
    this.#x -= dx / this.#scale;
    this.#y -= dy / this.#scale;
    this.#show();
  }

  /** Bring a place into sight, if it is not there. */
  reach([x, y]: Pixel): void {
    const { clientWidth, clientHeight } = this.#stage;
    const across = (clientWidth / this.#scale) * 0.45;
    const up = (clientHeight / this.#scale) * 0.45;
    if (Math.abs(x - this.#x) > across) this.#x = x;
    if (Math.abs(y - this.#y) > up) this.#y = y;
    this.#show();
  }

  /** The photo's pixel under a place of the screen. */
  pixelAt(clientX: number, clientY: number): Pixel {
    const box = this.#stage.getBoundingClientRect();
    const x = this.#x + (clientX - box.left - box.width / 2) / this.#scale;
    const y = this.#y + (clientY - box.top - box.height / 2) / this.#scale;
    return this.inside([x, y]);
  }

  inside([x, y]: Pixel): Pixel {
    return [Math.min(Math.max(x, 0), this.#width), Math.min(Math.max(y, 0), this.#height)];
  }

  #show(): void {
    const { clientWidth, clientHeight } = this.#stage;
    if (clientWidth === 0 || clientHeight === 0) return;
    this.#x = Math.min(Math.max(this.#x, 0), this.#width);
    this.#y = Math.min(Math.max(this.#y, 0), this.#height);
    const wide = clientWidth / this.#scale;
    const high = clientHeight / this.#scale;
    this.#stage.setAttribute(
      "viewBox", `${this.#x - wide / 2} ${this.#y - high / 2} ${wide} ${high}`,
    );
    this.#changed();
  }
}

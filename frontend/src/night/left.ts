// What is left of the night, counted down on the page between two words from the laptop.

import type { Left } from "./records.ts";

const AGAIN = 5000; // ms

function hours(ms: number): string {
  const minutes = Math.floor(ms / 60_000);
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")}`;
}

/** Of darkness; "" where nobody knows. */
export function darkWords(left: Left, now: number): string {
  const span = left.dark.find((one) => now < Date.parse(one.ends));
  if (span !== undefined) {
    const wait = Date.parse(span.begins) - now;
    return wait > 0
      ? `Dark from ${span.begin} to ${span.end}, in ${hours(wait)}`
      : `Dark for another ${hours(Date.parse(span.ends) - now)}, till ${span.end}`;
  }
  return left.dark.length > 0 ? "No more darkness tonight" : left.never;
}

/** Of darkness, set-ups and batteries, as far as the job says enough to tell. */
export function leftWords(left: Left, now: number): string {
  const words = [darkWords(left, now)];
  if (left.dark.some((one) => now < Date.parse(one.ends))) words.push(left.fits);
  if (left.battery !== "") {
    const rest = Date.parse(left.battery) - now;
    words.push(rest > 0 ? `Batteries by the plan ${hours(rest)}` : "Batteries empty by the plan");
  }
  return words.filter((one) => one !== "").map((one) => (one.endsWith(".") ? one : `${one}.`)).join(" ");
}

/** A line that goes on by itself. */
export class LeftFace {
  readonly #face: HTMLElement;
  #left: Left | null = null;
  #ahead = 0;

  constructor(face: HTMLElement) {
    this.#face = face;
    setInterval(() => this.#tick(), AGAIN);
  }

  /** Count from a time of the laptop's: a phone's own may be wrong. */
  show(left: Left | null, now: number): void {
    this.#left = left;
    this.#ahead = now - Date.now();
    this.#tick();
  }

  #tick(): void {
    const words = this.#left === null ? "" : leftWords(this.#left, Date.now() + this.#ahead);
    if (this.#face.textContent !== words) this.#face.textContent = words;
    this.#face.hidden = words === "";
  }
}

// How long the set-up has taken, by the laptop's clock: a phone's own may be wrong.

export class Clock {
  readonly #face: HTMLElement;
  #begun = 0;
  #ahead = 0;

  constructor(face: HTMLElement) {
    this.#face = face;
    setInterval(() => this.#tick(), 1000);
  }

  /** Count from a time of the laptop's; "" for none. */
  show(begun: string, now: string): void {
    this.#begun = begun === "" ? 0 : Date.parse(begun);
    this.#ahead = Date.parse(now) - Date.now();
    this.#tick();
  }

  #tick(): void {
    if (this.#begun === 0) {
      this.#face.textContent = "";
      return;
    }
    const seconds = Math.max(0, Math.floor((Date.now() + this.#ahead - this.#begun) / 1000));
    const [h, m, s] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
    const two = (n: number): string => String(n).padStart(2, "0");
    this.#face.textContent = h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
  }
}

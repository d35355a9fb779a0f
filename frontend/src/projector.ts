// The projector's window: the set-up's picture at the projector's own pixels, and nothing else.

import { Picture } from "./night/drawing.ts";
import { AGAIN, drawingOf, listen, pressName } from "./night/link.ts";
import { asStands, shownMap } from "./night/placing.ts";
import type { Drag, NightState } from "./night/records.ts";

const FLASH = 4000; // ms that a mark is seen
const BLINK = 250; // ms
const HELD = 6000; // ms that a cross is shown where it was dragged; the page that drags says it again
const NAME = pressName();

function element(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no ${id}`);
  return found;
}

/** Why the pixels of this window are not the projector's own; none where they are. */
function windowFaults(columns: number, rows: number): string[] {
  const faults: string[] = [];
  const ratio = window.devicePixelRatio;
  const pinch = window.visualViewport?.scale ?? 1;
  if (Math.abs(ratio - 1) > 1e-6) {
    faults.push(
      `The picture is scaled by ${ratio.toFixed(2)}: set the browser's zoom to 100 % (Ctrl 0) and the display's scale to 100 %.`,
    );
  }
  if (Math.abs(pinch - 1) > 1e-6) faults.push("The picture is pinched larger: pinch it back.");
  const wide = Math.round(window.innerWidth * ratio);
  const high = Math.round(window.innerHeight * ratio);
  if (wide !== columns || high !== rows) {
    faults.push(
      `The window has ${wide} × ${high} pixels, the projector ${columns} × ${rows}: put the window on the projector's display, set that to ${columns} × ${rows}, and press F for full screen.`,
    );
  }
  return faults;
}

class Projector {
  readonly #canvas = element("picture") as HTMLCanvasElement;
  readonly #pen: CanvasRenderingContext2D;
  readonly #notice = element("faults");
  #picture: Picture | null = null;
  #state: NightState | null = null;
  #drag: Drag | null = null;
  #forget = 0;
  #unsaid = true; // whether the laptop is yet to be told of this window
  #flash = { number: 0, until: 0 };
  #asked = "";
  #board: HTMLImageElement | null = null;
  #waiting = false;

  constructor() {
    const pen = this.#canvas.getContext("2d", { alpha: false, desynchronized: true });
    if (pen === null) throw new Error("no canvas");
    this.#pen = pen;
    window.addEventListener("resize", () => this.#check());
    window.visualViewport?.addEventListener("resize", () => this.#check());
    document.addEventListener("fullscreenchange", () => this.#check());
    document.addEventListener("keydown", (event) => {
      if (event.key === "f" || event.key === "F") void this.#fullScreen();
    });
    element("whole").addEventListener("click", () => void this.#fullScreen());
    listen({
      night: (state) => void this.#night(state),
      drag: (drag) => {
        this.#drag = drag;
        window.clearTimeout(this.#forget);
        this.#forget = window.setTimeout(() => {
          this.#drag = null; // nobody says it again: that page is gone, and the log is right
          this.#soon();
        }, HELD);
        this.#soon();
      },
      linked: (linked) => {
        document.documentElement.dataset["linked"] = String(linked);
        if (!linked) this.#unsaid = true; // a stream that is opened again is another listener
      },
    }, NAME);
  }

  async #fullScreen(): Promise<void> {
    await document.documentElement.requestFullscreen({ navigationUI: "hide" });
    try {
      await navigator.wakeLock.request("screen");
    } catch {
      // The display may go dark by the machine's own settings; the page says so on the laptop.
    }
  }

  async #night(state: NightState): Promise<void> {
    this.#state = state;
    // What was let go is in the log now, or was taken back: the log is right.
    this.#drag = null;
    if (state.flash !== null && state.flash.number !== this.#flash.number) {
      this.#flash = { number: state.flash.number, until: performance.now() + FLASH - 1000 * state.flash.age };
    }
    const wanted = `${state.version} ${state.design} ${state.set_up}`;
    if (state.set_up > 0 && state.version !== "" && wanted !== this.#asked) {
      this.#asked = wanted;
      const drawing = await drawingOf(state.set_up);
      await document.fonts.load('700 20px "IBM Plex Sans"').catch(() => undefined);
      if (this.#asked !== wanted) return;
      if (drawing !== null) {
        this.#picture = new Picture(drawing);
        this.#canvas.width = drawing.columns;
        this.#canvas.height = drawing.rows;
      } else {
        this.#asked = "";
        setTimeout(() => void this.#night(this.#state!), AGAIN);
      }
    }
    this.#check();
    this.#soon();
  }

  #check(): void {
    if (this.#picture === null) return;
    const { columns, rows } = this.#picture.of;
    const ratio = window.devicePixelRatio;
    this.#canvas.style.width = `${columns / ratio}px`;
    this.#canvas.style.height = `${rows / ratio}px`;
    const faults = windowFaults(columns, rows);
    const said = faults.join("\n");
    if (this.#unsaid || said !== this.#notice.dataset["said"]) this.#say(faults);
    if (said === this.#notice.dataset["said"]) return;
    this.#notice.dataset["said"] = said;
    this.#notice.replaceChildren(...faults.map((text) => {
      const line = document.createElement("p");
      line.textContent = text;
      return line;
    }));
    this.#dress();
  }

  /** Tell the laptop what this window shows; where that fails, with the next word from it. */
  #say(faults: readonly string[]): void {
    this.#unsaid = false;
    fetch("/api/night/window", {
      method: "POST", headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ window: NAME, faults }),
    }).catch(() => {
      this.#unsaid = true;
    });
  }

  /** Warnings and the button keep off a black wall and a picture in full screen without faults. */
  #dress(): void {
    const blank = this.#state?.shown.view === "blank";
    this.#notice.hidden = blank || this.#notice.childElementCount === 0;
    element("whole").hidden = blank || document.fullscreenElement !== null || this.#notice.hidden;
  }

  /** The pattern for the photo, never warped; null for other pictures. */
  #boards({ set_up, version, shown: { view } }: NightState): HTMLImageElement | null {
    if (view !== "pattern" && view !== "negative") return null;
    const of = `number=${set_up}&negative=${view === "negative"}`;
    const where = `/api/night/pattern?${of}&version=${version}`; // another job's may be of another size
    if (this.#board?.dataset["where"] !== where) {
      const board = new Image();
      board.dataset["where"] = where;
      board.addEventListener("load", () => this.#soon());
      board.addEventListener("error", () => {
        if (this.#board === board) this.#board = null;
        setTimeout(() => this.#soon(), AGAIN);
      });
      board.src = where;
      this.#board = board;
    }
    return this.#board;
  }

  #soon(): void {
    if (this.#waiting) return;
    this.#waiting = true;
    requestAnimationFrame(() => {
      this.#waiting = false;
      this.#draw();
    });
  }

  #draw(): void {
    const [picture, state] = [this.#picture, this.#state];
    this.#dress();
    if (picture === null || state === null) return;
    if (picture.of.number !== state.set_up) return; // the next one's drawing is on its way
    const drag = this.#drag !== null && this.#drag.set_up === state.set_up ? this.#drag : null;
    const began = performance.now();
    const of = asStands(picture.of, state.stands);
    const map = shownMap(of, state.square, state.placed, drag, [state.by_hand.right, state.by_hand.up]);
    const left = this.#flash.until - performance.now();
    const lit = left > 0 && Math.floor(left / BLINK) % 2 === 0;
    const board = this.#boards(state);
    if (board !== null) {
      if (board.naturalWidth === 0) return; // drawn when it is there
      this.#pen.setTransform(1, 0, 0, 1, 0, 0);
      this.#pen.drawImage(board, 0, 0);
    } else picture.draw(this.#pen, map, state.shown, lit ? (state.flash?.mark ?? "") : "", of.marks);
    if (left > 0) setTimeout(() => this.#soon(), BLINK);
    const root = document.documentElement;
    root.dataset["squared"] = state.square?.kind ?? "";
    root.dataset["drawn"] = `${state.set_up} ${state.shown.view} ${state.number}`;
    if (drag !== null) {
      root.dataset["drag"] = `${drag.by} ${drag.seq}`;
      document.dispatchEvent(new CustomEvent("giornata:dragged", { detail: { seq: drag.seq, took: performance.now() - began } }));
    }
  }
}

new Projector();

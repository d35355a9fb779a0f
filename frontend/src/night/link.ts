// The link to the laptop: one stream of what is so, and what is done sent back with a name of its own.

import type { Drag, NightState, SetUpDrawing } from "./records.ts";

/** After which what failed is tried again. [ms] */
export const AGAIN = 1500;
const SILENT = 15_000; // ms without a word after which a stream is dead: the laptop speaks every 4 s
const PATIENCE = 20_000; // ms for an answer; a network that has gone may never say so
const DRAGGED = 3000; // ms
const LONG = 180_000; // ms for photos: on their way, and looked at

/** A name for one press, so that a retry counts once; plain http has no randomUUID. */
export function pressName(): string {
  const words = crypto.getRandomValues(new Uint32Array(4));
  return [...words].map((one) => one.toString(16).padStart(8, "0")).join("");
}

export interface Heard {
  night(state: NightState): void;
  drag(drag: Drag): void;
  linked(linked: boolean): void;
}

/** Listen for good: a stream that breaks, or falls silent, is opened again. */
export function listen(heard: Heard, window = ""): void {
  const source = new EventSource(`/api/night/stream${window === "" ? "" : `?window=${window}`}`);
  let last = Date.now();
  const again = (): void => {
    clearInterval(watch);
    source.close();
    heard.linked(false);
    setTimeout(() => listen(heard, window), AGAIN);
  };
  const watch = setInterval(() => {
    if (Date.now() - last > SILENT) again();
  }, 1000);
  source.addEventListener("here", () => {
    last = Date.now();
  });
  source.addEventListener("night", (event) => {
    last = Date.now();
    heard.linked(true);
    heard.night(JSON.parse((event as MessageEvent<string>).data) as NightState);
  });
  source.addEventListener("drag", (event) => {
    heard.drag(JSON.parse((event as MessageEvent<string>).data) as Drag);
  });
  source.addEventListener("error", () => {
    if (source.readyState === EventSource.CLOSED) again();
    else heard.linked(false); // it tries again by itself
  });
}

/** What a set-up's pictures are drawn from; null where that is not there, or not to be had now. */
export async function drawingOf(setUp: number): Promise<SetUpDrawing | null> {
  try {
    const signal = AbortSignal.timeout(PATIENCE);
    const answer = await fetch(`/api/night/set-up?number=${setUp}`, { signal });
    return answer.ok ? ((await answer.json()) as SetUpDrawing) : null;
  } catch {
    return null;
  }
}

export interface Answer {
  readonly state: NightState | null;
  readonly said: string;
}

/** Do something; a press whose answer is lost is sent again under the same name. */
export async function act(what: Readonly<Record<string, unknown>>): Promise<Answer> {
  const body = JSON.stringify({ ...what, key: pressName() });
  const patience = what["do"] === "photos" ? LONG : PATIENCE;
  return sent("/api/night/act", { body, headers: { "Content-Type": "application/json" } }, patience);
}

/** Send a photo. */
export async function photo(file: File, of: string, setUp: number): Promise<Answer> {
  const body = new FormData();
  body.append("set_up", String(setUp));
  body.append("of", of);
  body.append("key", pressName());
  body.append("file", file);
  return sent("/api/night/photo", { body }, LONG);
}

const NO_LINK =
  "No link to the laptop. When it is back, look whether this was done before you press again.";

async function sent(to: string, what: RequestInit, patience: number): Promise<Answer> {
  for (let tries = 0; ; tries++) {
    try {
      const answer = await fetch(to, { method: "POST", ...what, signal: AbortSignal.timeout(patience) });
      if (answer.status === 413) return { state: null, said: "The photo is too large: 64 MB at most." };
      const read = (await answer.json()) as NightState & { message?: string; remedy?: string; detail?: unknown };
      if (answer.ok) return { state: read, said: "" };
      if (answer.status === 403) return { state: null, said: "This phone is not paired any more." };
      const said = read.message ?? (typeof read.detail === "string" ? read.detail : "Not done.");
      return { state: null, said: `${said} ${read.remedy ?? ""}`.trim() };
    } catch {
      if (tries >= 4) return { state: null, said: NO_LINK };
      await new Promise((then) => setTimeout(then, 400 * (tries + 1)));
    }
  }
}

/** Sends places while a cross is dragged: one on its way at a time, always the latest. */
export class DragSender {
  #waiting: Drag | null = null;
  #busy = false;

  send(drag: Drag): void {
    this.#waiting = drag;
    if (!this.#busy) void this.#go();
  }

  /** Nothing more of this drag is to be sent. */
  end(): void {
    this.#waiting = null;
  }

  async #go(): Promise<void> {
    this.#busy = true;
    while (this.#waiting !== null) {
      const drag = this.#waiting;
      this.#waiting = null;
      try {
        await fetch("/api/night/drag", {
          method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(drag),
          signal: AbortSignal.timeout(DRAGGED),
        });
      } catch {
        break; // the next move or the release says it again
      }
    }
    this.#busy = false;
  }
}

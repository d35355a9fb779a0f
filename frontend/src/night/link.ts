// The link to the laptop: one stream of what is so, and what is done sent back with a name of its own.

import type { Drag, NightState } from "./records.ts";

const AGAIN = 1500; // ms

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

/** Listen for good: a stream that breaks is opened again. */
export function listen(heard: Heard, window = ""): void {
  const source = new EventSource(`/api/night/stream${window === "" ? "" : `?window=${window}`}`);
  source.addEventListener("night", (event) => {
    heard.linked(true);
    heard.night(JSON.parse((event as MessageEvent<string>).data) as NightState);
  });
  source.addEventListener("drag", (event) => {
    heard.drag(JSON.parse((event as MessageEvent<string>).data) as Drag);
  });
  source.addEventListener("error", () => {
    heard.linked(false);
    if (source.readyState !== EventSource.CLOSED) return; // it tries again by itself
    setTimeout(() => listen(heard, window), AGAIN);
  });
}

export interface Answer {
  readonly state: NightState | null;
  readonly said: string;
}

/** Do something; a press whose answer is lost is sent again under the same name. */
export async function act(what: Readonly<Record<string, unknown>>): Promise<Answer> {
  const body = JSON.stringify({ ...what, key: pressName() });
  return sent("/api/night/act", { body, headers: { "Content-Type": "application/json" } });
}

/** Send a photo. */
export async function photo(file: File, of: string, setUp: number): Promise<Answer> {
  const body = new FormData();
  body.append("set_up", String(setUp));
  body.append("of", of);
  body.append("key", pressName());
  body.append("file", file);
  return sent("/api/night/photo", { body });
}

async function sent(to: string, what: RequestInit): Promise<Answer> {
  for (let tries = 0; ; tries++) {
    try {
      const answer = await fetch(to, { method: "POST", ...what });
      if (answer.status === 413) return { state: null, said: "The photo is too large: 64 MB at most." };
      const read = (await answer.json()) as NightState & { message?: string; remedy?: string; detail?: unknown };
      if (answer.ok) return { state: read, said: "" };
      if (answer.status === 403) return { state: null, said: "This phone is not paired any more." };
      const said = read.message ?? (typeof read.detail === "string" ? read.detail : "Not done.");
      return { state: null, said: `${said} ${read.remedy ?? ""}`.trim() };
    } catch {
      if (tries >= 4) return { state: null, said: "No link to the laptop: nothing was written. Press again." };
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
        });
      } catch {
        break; // the next move or the release says it again
      }
    }
    this.#busy = false;
  }
}

// The page of photos: a cross on the photo becomes a known point or a corner; changes are posted.

import { askPage } from "./page/asking.ts";
import { Drawn } from "./photo/drawn.ts";
import type { PhotoRecord, Pixel, Refusal } from "./photo/records.ts";
import { outlineForm, pointForm } from "./photo/records.ts";
import { Sight } from "./photo/sight.ts";

const DRAGGED = 6; // px of the screen from which a touch is a drag, not a tap
const STEPS: Record<string, Pixel> = {
  ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1],
};

function element<T extends Element>(selector: string): T {
  const found = document.querySelector<T>(selector);
  if (found === null) throw new Error(`the page has no ${selector}`);
  return found;
}

function recordOf(page: Document): PhotoRecord {
  const holder = page.querySelector<HTMLElement>("#record");
  return JSON.parse(holder?.dataset["record"] ?? "null") as PhotoRecord;
}

class PhotoPage {
  readonly #stage = element<SVGSVGElement>("#stage");
  readonly #sight: Sight;
  readonly #drawn = new Drawn(element<SVGGElement>("#drawn"));
  #photo = recordOf(document);
  #cross: Pixel | null = null;
  #corners: Pixel[] = [];
  #busy = false;

  constructor() {
    this.#sight = new Sight(this.#stage, this.#photo.width, this.#photo.height);
    this.#sight.onChange(() => this.#draw());
    this.#letPoint();
    this.#stage.addEventListener("keydown", (event) => this.#key(event));
    this.#stage.addEventListener("wheel", (event) => {
      event.preventDefault();
      const about = this.#sight.pixelAt(event.clientX, event.clientY);
      this.#sight.zoomBy(event.deltaY < 0 ? 1.25 : 0.8, about);
    }, { passive: false });
    const about = (): Pixel | undefined => this.#cross ?? undefined;
    element("#nearer").addEventListener("click", () => this.#sight.zoomBy(2, about()));
    element("#farther").addEventListener("click", () => this.#sight.zoomBy(0.5, about()));
    element("#whole").addEventListener("click", () => this.#sight.whole());
    element("#errors").addEventListener("change", () => this.#draw());
    element("#corner").addEventListener("click", () => this.#corner());
    element("#uncorner").addEventListener("click", () => {
      this.#corners.pop();
      this.#sayCorners();
    });
    element("#pointing").addEventListener("submit", (event) => this.#addPoint(event));
    element("#drawing").addEventListener("submit", (event) => this.#addOutline(event));
    document.addEventListener("click", (event) => this.#click(event));
    this.#draw();
    document.documentElement.dataset["drawn"] = this.#photo.name;
  }

  #draw(): void {
    const withErrors = element<HTMLInputElement>("#errors").checked;
    this.#drawn.show(this.#photo, this.#cross, this.#corners, this.#sight.unit, withErrors);
  }

  // ---------------------------------------------------------------- the cross
  #put(place: Pixel): void {
    const [x, y] = this.#sight.inside(place);
    this.#cross = [Math.round(x * 10) / 10, Math.round(y * 10) / 10];
    element("#cross-at").textContent =
      `Cross at ${this.#cross[0].toFixed(1)}, ${this.#cross[1].toFixed(1)} px`;
    this.#draw();
  }

  #nudge(step: Pixel, times: number): void {
    const [x, y] = this.#cross ?? [this.#photo.width / 2, this.#photo.height / 2];
    this.#put([x + times * step[0], y + times * step[1]]);
    if (this.#cross !== null) this.#sight.reach(this.#cross);
  }

  #key(event: KeyboardEvent): void {
    const step = STEPS[event.key];
    if (step !== undefined) this.#nudge(step, event.shiftKey ? 10 : event.altKey ? 0.1 : 1);
    else if (event.key === "+" || event.key === "=") this.#sight.zoomBy(1.5, this.#cross ?? undefined);
    else if (event.key === "-") this.#sight.zoomBy(1 / 1.5, this.#cross ?? undefined);
    else if (event.key === "Enter") this.#corner();
    else return;
    event.preventDefault();
  }

  /** A tap puts the cross, a drag moves the photo, two fingers zoom it. */
  #letPoint(): void {
    const down = new Map<number, Pixel>();
    let moved = false;
    this.#stage.addEventListener("pointerdown", (event) => {
      this.#stage.setPointerCapture(event.pointerId);
      moved = down.size > 0;
      down.set(event.pointerId, [event.clientX, event.clientY]);
    });
    this.#stage.addEventListener("pointermove", (event) => {
      const from = down.get(event.pointerId);
      if (from === undefined) return;
      const [dx, dy] = [event.clientX - from[0], event.clientY - from[1]];
      if (!moved && Math.hypot(dx, dy) < DRAGGED) return;
      moved = true;
      const other = [...down].find(([id]) => id !== event.pointerId)?.[1];
      if (other !== undefined) {
        const before = Math.hypot(from[0] - other[0], from[1] - other[1]);
        const now = Math.hypot(event.clientX - other[0], event.clientY - other[1]);
        if (before > 0) this.#sight.zoomBy(now / before, this.#sight.pixelAt(...other));
      } else {
        this.#sight.moveBy(dx, dy);
      }
      down.set(event.pointerId, [event.clientX, event.clientY]);
    });
    const up = (event: PointerEvent): void => {
      if (!down.delete(event.pointerId) || moved || event.type === "pointercancel") return;
      this.#put(this.#sight.pixelAt(event.clientX, event.clientY));
    };
    this.#stage.addEventListener("pointerup", up);
    this.#stage.addEventListener("pointercancel", up);
  }

  // ---------------------------------------------------------------- points and outlines
  #addPoint(event: Event): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const told = new FormData(form);
    const [place, at, level] = ["place", "at", "level"].map((key) => String(told.get(key) ?? "").trim());
    if (this.#cross === null) return this.#say("Tap the photo where the point is, first.");
    if ((place === "") === (at === "" && level === "")) {
      return this.#say("Give a place by its name, or at and level.");
    }
    const [x, y] = this.#cross;
    const points = [...this.#photo.points.map(pointForm), { place, at, level, x, y }];
    void this.#post("points", { points }).then((done) => {
      if (done) form.reset();
    });
  }

  #corner(): void {
    if (this.#cross === null) return this.#say("Tap the photo where the corner is, first.");
    this.#corners.push(this.#cross);
    this.#sayCorners();
  }

  #sayCorners(): void {
    const count = this.#corners.length;
    element("#corners").textContent =
      count === 0 ? "No corners yet." : `${count} corner${count === 1 ? "" : "s"} so far.`;
    this.#draw();
  }

  #addOutline(event: Event): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const told = new FormData(form);
    const name = String(told.get("name") ?? "").trim();
    const kind = String(told.get("kind") ?? "opening");
    const least = kind === "opening" || kind === "obstacle" ? 3 : 2;
    if (name === "") return this.#say("Say what it is called.");
    if (this.#corners.length < least) return this.#say(`Add ${least} corners or more, one by one.`);
    const kept = this.#photo.outlines.filter((one) => one.name !== name).map(outlineForm);
    const outlines = [...kept, { name, kind, corners: this.#corners }];
    void this.#post("outlines", { outlines }).then((done) => {
      if (!done) return;
      this.#corners = [];
      form.reset();
      this.#sayCorners();
    });
  }

  #click(event: Event): void {
    const button = (event.target as Element).closest<HTMLButtonElement>("button");
    if (button === null) return;
    const { nudge, point, move, strike, keep, erase } = button.dataset;
    const { points, outlines } = this.#photo;
    if (nudge !== undefined) {
      const [dx = 0, dy = 0] = nudge.split(" ").map(Number);
      this.#nudge([dx, dy], 1);
    } else if (point !== undefined) {
      const chosen = points[Number(point)];
      if (chosen === undefined) return;
      this.#put([chosen.x, chosen.y]);
      this.#sight.reach([chosen.x, chosen.y]);
      this.#stage.focus();
    } else if (move !== undefined) {
      if (this.#cross === null) return this.#say("Put the cross where the point is, first.");
      const [x, y] = this.#cross;
      const at = Number(move);
      void this.#post("points", {
        points: points.map((one, index) => pointForm(index === at ? { ...one, x, y } : one)),
      });
    } else if (strike !== undefined) {
      const left = points.filter((_, index) => index !== Number(strike));
      void this.#post("points", { points: left.map(pointForm) });
    } else if (erase !== undefined) {
      const left = outlines.filter((_, index) => index !== Number(erase));
      void this.#post("outlines", { outlines: left.map(outlineForm) });
    } else if (keep !== undefined) {
      void this.#post("keep", { outline: keep }, `${keep} is written into the job.`);
    }
  }

  // ---------------------------------------------------------------- posting
  /** Post a change with the digest that was seen, then show the page as it is now. */
  async #post(what: string, told: Record<string, unknown>, done = ""): Promise<boolean> {
    if (this.#busy) return false;
    this.#busy = true;
    try {
      const seen = element<HTMLElement>("main").dataset["digest"] ?? "";
      const answer = await fetch(`/api/photos/${what}`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ photo: this.#photo.name, seen, ...told }),
      });
      if (!answer.ok) {
        this.#refused((await answer.json()) as Refusal);
        return false;
      }
      await this.#renew();
      this.#say(done);
      return true;
    } catch {
      this.#say("giornata does not answer; is it still running?");
      return false;
    } finally {
      this.#busy = false;
    }
  }

  #refused(refusal: Refusal): void {
    const inner = (refusal.findings ?? []).flatMap((group) => group.entries.map((one) => one.message));
    const words = inner.length > 0 ? inner : [refusal.message ?? "This was not understood."];
    this.#say([...words, refusal.stale === true ? "Reload the page." : ""].join(" ").trim());
  }

  async #renew(): Promise<void> {
    const address = `/photos?${new URLSearchParams({ photo: this.#photo.name }).toString()}`;
    const fresh = await askPage(address);
    for (const old of document.querySelectorAll<HTMLElement>("[data-swap]")) {
      const name = old.dataset["swap"] ?? "";
      const now = fresh.querySelector<HTMLElement>(`[data-swap="${name}"]`);
      if (now === null) continue;
      if (name === "digest") old.dataset["digest"] = now.dataset["digest"] ?? "";
      else old.replaceWith(document.adoptNode(now));
    }
    this.#photo = recordOf(document);
    this.#draw();
    const count = Number(document.documentElement.dataset["posted"] ?? "0");
    document.documentElement.dataset["posted"] = String(count + 1);
  }

  #say(words: string): void {
    const place = element<HTMLElement>("#said");
    place.textContent = words;
    place.hidden = words === "";
  }
}

if (document.getElementById("stage") !== null) new PhotoPage();

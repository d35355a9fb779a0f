// The console of the night: on the phone at the wall, and the same on the laptop.

import { Clock } from "./night/clock.ts";
import { LeftFace } from "./night/left.ts";
import { act, AGAIN, DragSender, drawingOf, listen, photo, pressName } from "./night/link.ts";
import type { Answer } from "./night/link.ts";
import { Lines } from "./night/lines.ts";
import { Squaring } from "./night/squaring.ts";
import type { NightState, SetUpDrawing } from "./night/records.ts";

function element(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no ${id}`);
  return found;
}

class Console {
  #state: NightState | null = null;
  #drawing: SetUpDrawing | null = null;
  #run = "";
  readonly #ended = new Set<string>(); // programs before that one
  #latest = 0; // reading that is shown
  #asked = "";
  #looking = false; // for crosses in photos
  #sending = 0; // photos
  #before = "outline"; // what comes back after black
  readonly #clock = new Clock(element("timer"));
  readonly #left = new LeftFace(element("left"));
  readonly #squaring: Squaring;
  readonly #lines: Lines;
  readonly #said = element("said");
  readonly #jump = element("jump") as HTMLSelectElement;
  readonly #paint = element("paint") as HTMLSelectElement;

  constructor() {
    const sender = new DragSender();
    this.#squaring = new Squaring(
      (what) => this.#do(what), (drag) => sender.send(drag), () => sender.end(), pressName(),
    );
    this.#lines = new Lines((what) => this.#do(what));
    this.#tabs();
    this.#buttons();
    listen({
      night: (state) => void this.#night(state),
      drag: (drag) => this.#squaring.follow(drag),
      linked: (linked) => {
        document.documentElement.dataset["linked"] = String(linked);
        element("link").textContent = linked ? "" : "No link to the laptop";
      },
    });
  }

  #tabs(): void {
    for (const tab of document.querySelectorAll<HTMLButtonElement>("[role=tab]")) {
      tab.addEventListener("click", () => this.#open(tab));
      tab.addEventListener("keydown", (event) => {
        const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
        if (step === undefined) return;
        const all = [...document.querySelectorAll<HTMLButtonElement>("[role=tab]")];
        const next = all[(all.indexOf(tab) + step + all.length) % all.length]!;
        this.#open(next);
        next.focus();
      });
    }
  }

  #open(tab: HTMLButtonElement): void {
    for (const one of document.querySelectorAll<HTMLButtonElement>("[role=tab]")) {
      const open = one === tab;
      one.setAttribute("aria-selected", String(open));
      one.tabIndex = open ? 0 : -1;
      element(one.getAttribute("aria-controls")!).hidden = !open;
    }
    this.#squaring.redraw();
  }

  #buttons(): void {
    element("before").addEventListener("click", () => this.#go(this.#beside(-1)));
    element("next").addEventListener("click", () => this.#go(this.#beside(1)));
    element("undo").addEventListener("click", () => {
      const undo = this.#state?.undo;
      if (undo) void this.#do({ do: "undo", number: undo.number });
    });
    element("black").addEventListener("click", () => {
      const view = this.#state?.shown.view === "blank" ? this.#before : "blank";
      this.#show({ view });
    });
    for (const button of document.querySelectorAll<HTMLButtonElement>("[data-view]")) {
      button.addEventListener("click", () => this.#show({ view: button.dataset["view"]! }));
    }
    this.#jump.addEventListener("change", () => this.#go(Number(this.#jump.value)));
    this.#paint.addEventListener("change", () => this.#show({ view: "one" }));
    element("thick").addEventListener("click", () => this.#show({ thick: !this.#state?.shown.thick }));
    element("crosses").addEventListener("click", () => this.#show({ crosses: !this.#state?.shown.crosses }));
    for (const field of document.querySelectorAll<HTMLInputElement>("[data-photo]")) {
      field.addEventListener("change", () => void this.#photo(field));
    }
    element("by-photos").addEventListener("click", () => void this.#byPhotos());
    element("finish").addEventListener("click", () => {
      if (this.#state !== null) void this.#do({ do: "done", set_up: this.#state.set_up });
    });
    element("noting").addEventListener("submit", (event) => {
      event.preventDefault();
      const field = element("note") as HTMLTextAreaElement;
      const text = field.value.trim();
      if (text === "" || this.#state === null) return;
      void this.#do({ do: "note", set_up: this.#state.set_up, text }).then((done) => {
        if (done) field.value = "";
      });
    });
  }

  /** The set-up before or after this one, in the order of work; null for none. */
  #beside(step: number): number | null {
    const state = this.#state;
    if (state === null) return null;
    if (state.set_up === 0) return step > 0 ? (state.order[0] ?? null) : null;
    return state.order[state.order.indexOf(state.set_up) + step] ?? null;
  }

  #go(to: number | null): void {
    if (to !== null) void this.#do({ do: "begin", set_up: to });
  }

  #show(change: Partial<{ view: string; thick: boolean; crosses: boolean }>): void {
    const state = this.#state;
    if (state === null || state.set_up === 0) return;
    const { view, thick, crosses } = { ...state.shown, ...change };
    const paint = view === "one" ? this.#paint.value : "";
    void this.#do({ do: "show", set_up: state.set_up, view, paint, thick, crosses });
  }

  async #photo(field: HTMLInputElement): Promise<void> {
    const file = field.files?.[0];
    if (file === undefined || this.#state === null) return;
    const told = element("photos-said");
    told.textContent = "Sending…";
    this.#sending += 1;
    const answer = await photo(file, field.dataset["photo"]!, this.#state.set_up);
    this.#sending -= 1;
    const done = await this.#told(answer);
    field.value = "";
    if (!done) told.textContent = "Not sent.";
  }

  async #byPhotos(): Promise<void> {
    if (this.#state === null) return;
    const button = element("by-photos") as HTMLButtonElement;
    this.#looking = true;
    button.disabled = true;
    element("photos-said").textContent = "Looking for the pattern and the crosses…";
    await this.#do({ do: "photos", set_up: this.#state.set_up });
    this.#looking = false;
    this.#tell();
  }

  async #do(what: Readonly<Record<string, unknown>>): Promise<boolean> {
    return this.#told(await act(what));
  }

  async #told({ state, said }: Answer): Promise<boolean> {
    this.#said.textContent = said;
    this.#said.hidden = said === "";
    if (state !== null) await this.#night(state);
    const root = document.documentElement;
    root.dataset["acts"] = String(Number(root.dataset["acts"] ?? 0) + 1);
    return state !== null;
  }

  async #night(state: NightState): Promise<void> {
    if (state.run !== this.#run) {
      if (this.#ended.has(state.run)) return; // a late answer of a program that has ended
      this.#ended.add(this.#run);
      [this.#run, this.#latest] = [state.run, 0]; // a program begun anew counts anew
    }
    if (state.read < this.#latest) return; // overtaken by the stream, or by another answer
    this.#latest = state.read;
    this.#state = state;
    if (state.shown.view !== "blank") this.#before = state.shown.view;
    const wanted = `${state.version} ${state.design} ${state.set_up}`;
    if (state.set_up > 0 && state.version !== "" && wanted !== this.#asked) {
      this.#asked = wanted;
      const drawing = await drawingOf(state.set_up);
      if (this.#asked !== wanted) return;
      if (drawing !== null) this.#drawing = drawing;
      else {
        this.#asked = "";
        setTimeout(() => void this.#night(this.#state!), AGAIN);
      }
    }
    this.#tell();
  }

  #tell(): void {
    const state = this.#state!;
    const drawing = this.#drawing?.number === state.set_up ? this.#drawing : null;
    element("where").textContent = state.where;
    element("moved").textContent = state.moved;
    element("moved").hidden = state.moved === "";
    element("is-done").hidden = !state.done.includes(state.set_up);
    this.#clock.show(state.begun, state.now);
    this.#left.show(state.left, Date.parse(state.now));
    const ways = [state.way];
    if (!state.projector.open) ways.push("No projector window is open on the laptop.");
    ways.push(...state.projector.faults);
    const way = ways.filter((one) => one !== "").join(" ");
    element("way").textContent = way;
    element("way").hidden = way === "";
    for (const button of document.querySelectorAll<HTMLButtonElement>("[data-view]")) {
      button.setAttribute("aria-pressed", String(button.dataset["view"] === state.shown.view));
    }
    const black = element("black");
    black.setAttribute("aria-pressed", String(state.shown.view === "blank"));
    element("thick").setAttribute("aria-pressed", String(state.shown.thick));
    element("crosses").setAttribute("aria-pressed", String(state.shown.crosses));
    (element("by-photos") as HTMLButtonElement).disabled =
      this.#looking || !state.photos.includes("pattern");
    if (!this.#looking && this.#sending === 0) element("photos-said").textContent =
      state.photos.length === 0 ? "No photo yet." : `Kept: ${state.photos.join(", ")}.`;
    const undo = element("undo") as HTMLButtonElement;
    undo.disabled = state.undo === null;
    element("undo-words").textContent = state.undo?.words ?? "";
    (element("before") as HTMLButtonElement).disabled = this.#beside(-1) === null;
    (element("next") as HTMLButtonElement).disabled = this.#beside(1) === null;
    element("begin-first").hidden = state.set_up !== 0;
    this.#jumps(state);
    const first = state.order[0];
    element("begin-first").textContent =
      first === undefined ? "" : `Press ▶ when the projector stands for set-up ${first}.`;
    const last = element("last-note");
    last.textContent = state.note === "" ? "" : `Last: ${state.note}`;
    if (drawing !== null) {
      this.#paints(drawing, state.shown.paint);
      this.#squaring.show(drawing, state);
      this.#lines.show(drawing, state);
    }
    const root = document.documentElement;
    root.dataset["shown"] = `${state.set_up} ${state.shown.view}`;
    root.dataset["at"] = String(state.number);
    if (drawing !== null) root.dataset["drawn"] = String(drawing.number);
  }

  #jumps(state: NightState): void {
    const words = state.order.map((n) => `${n}${state.done.includes(n) ? ", done" : ""}`);
    const of = words.join(" ");
    if (this.#jump.dataset["of"] !== of) {
      this.#jump.dataset["of"] = of;
      this.#jump.replaceChildren(...words.map((text, i) => new Option(`Set-up ${text}`, String(state.order[i]))));
    }
    if (document.activeElement !== this.#jump) this.#jump.value = String(state.set_up);
  }

  #paints(drawing: SetUpDrawing, chosen: string): void {
    if (this.#paint.dataset["of"] !== drawing.version) {
      this.#paint.dataset["of"] = drawing.version;
      this.#paint.replaceChildren(...drawing.paints.map(([, key, name]) => new Option(name, key)));
    }
    if (chosen !== "") this.#paint.value = chosen;
  }
}

new Console();

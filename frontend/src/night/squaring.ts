// Squaring the picture: a cross is chosen, then moved by the pad until it sits on its mark.

import { asStands, placedByHand, placing, shownMap, withDrag, worstError } from "./placing.ts";
import { smallLength, typedNumber } from "./typed.ts";
import type { Alignment } from "./fit.ts";
import type { Drag, NightState, Placed, SetUpDrawing, Squared } from "./records.ts";
import type { Point, WallMap } from "./maps.ts";

type Do = (what: Readonly<Record<string, unknown>>) => Promise<boolean>;

const FINE = 0.5; // projector pixels a pixel of the finger's way
const COARSE = 4;
const REPEAT = 120; // ms between nudges while an arrow is held
const HELD = 400; // ms before it repeats
const BEAT = 2000; // ms after which a cross that is held still is told again
const GONE = 6000; // ms without which another page's drag is over

function element(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no ${id}`);
  return found;
}

function fitWords(drawing: SetUpDrawing, fit: Alignment | null): string {
  if (fit === null) return "From four marks on the picture is fitted; eight find a bad one.";
  const spare = fit.freedom > 0
    ? `misfit ${fit.misfit.toFixed(1)} with ${fit.freedom} to spare` : "nothing to spare";
  return `Expected within ${smallLength(worstError(drawing, fit), drawing.small_unit)} (95 %), ${spare}`;
}

function squaredWords(squared: Squared): string {
  const bad = squared.bad.length === 0 ? ""
    : squared.named ? ` ${squared.bad[0]} is wrong and was left out.` : ` One of these is wrong: ${squared.bad.join(", ")}.`;
  return `Squared as ${squared.kind}: within ${squared.most} at 95 of 100 places, ${squared.worst} at the worst (95 %).${bad}`;
}

export class Squaring {
  readonly #do: Do;
  readonly #send: (drag: Drag) => void;
  readonly #end: () => void;
  readonly #name: string;
  readonly #pad = element("pad") as HTMLCanvasElement;
  #drawing: SetUpDrawing | null = null;
  #state: NightState | null = null;
  #chosen = "";
  #fine = false;
  #drag: Drag | null = null;
  #other: Drag | null = null; // what another page drags
  #forget = 0;
  #seq = 0;
  #hold = 0;
  #table = "";
  #step = 0; // m, of the whole picture

  constructor(todo: Do, send: (drag: Drag) => void, end: () => void, name: string) {
    this.#do = todo;
    this.#send = send;
    this.#end = end;
    this.#name = name;
    element("mark-before").addEventListener("click", () => this.#choose(-1));
    element("mark-next").addEventListener("click", () => this.#choose(1));
    element("flash").addEventListener("click", () => {
      if (this.#drawing !== null) {
        void this.#do({ do: "flash", set_up: this.#drawing.number, mark: this.#chosen });
      }
    });
    const fine = element("fine");
    fine.addEventListener("click", () => {
      this.#fine = !this.#fine;
      fine.setAttribute("aria-pressed", String(this.#fine));
    });
    for (const button of document.querySelectorAll<HTMLButtonElement>("[data-nudge]")) {
      this.#nudges(button);
    }
    for (const button of document.querySelectorAll<HTMLButtonElement>("[data-whole]")) {
      button.addEventListener("click", () => {
        const [right, up] = button.dataset["whole"]!.split(" ").map(Number) as [number, number];
        const [drawing, step] = [this.#drawing, this.#step];
        if (drawing === null || step === 0) return;
        void this.#do({ do: "nudge", set_up: drawing.number, right: right * step, up: up * step });
      });
    }
    this.#pad.addEventListener("pointerdown", (event) => this.#down(event));
    this.#pad.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (way === undefined) return;
      event.preventDefault();
      const step = event.shiftKey ? 10 : 1;
      this.#move(way[0]! * step, way[1]! * step);
      this.#letGoSoon();
    });
    element("typing").addEventListener("submit", (event) => {
      event.preventDefault();
      void this.#typed();
    });
    setInterval(() => {
      if (this.#drag !== null) this.#send(this.#drag);
    }, BEAT);
    new ResizeObserver(() => this.redraw()).observe(this.#pad);
  }

  show(drawing: SetUpDrawing, state: NightState): void {
    this.#drawing = asStands(drawing, state.stands);
    this.#state = state;
    this.#other = null;
    if (!drawing.marks.some((one) => one.name === this.#chosen)) {
      this.#chosen = drawing.marks[0]?.name ?? "";
    }
    const which = `${drawing.version} ${drawing.number}`;
    if (which !== this.#table) {
      this.#table = which;
      this.#fields(drawing);
      this.#steps(drawing);
    }
    this.redraw();
  }

  /** How far a press moves the whole picture. */
  #steps(drawing: SetUpDrawing): void {
    if (!drawing.steps.some(([, step]) => step === this.#step)) this.#step = drawing.steps[1]?.[1] ?? 0;
    element("steps").replaceChildren(...drawing.steps.map(([name, step]) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = name;
      button.setAttribute("aria-pressed", String(step === this.#step));
      button.addEventListener("click", () => {
        this.#step = step;
        this.#steps(drawing);
      });
      return button;
    }));
  }

  /** Another page drags a cross. */
  follow(drag: Drag): void {
    if (drag.by === this.#name || drag.set_up !== this.#drawing?.number) return;
    this.#other = drag;
    window.clearTimeout(this.#forget);
    this.#forget = window.setTimeout(() => {
      this.#other = null;
      this.redraw();
    }, GONE);
    this.redraw();
  }

  #choose(step: number): void {
    const marks = this.#drawing?.marks ?? [];
    const at = marks.findIndex((one) => one.name === this.#chosen);
    this.#chosen = marks[(at + step + marks.length) % marks.length]?.name ?? "";
    this.redraw();
  }

  /** Where the marks lie in the picture as it was moved by hand. */
  #placed(drawing: SetUpDrawing, state: NightState): readonly Placed[] {
    return placedByHand(drawing, state.square, state.placed, [state.by_hand.right, state.by_hand.up]);
  }

  #map(drawing: SetUpDrawing, state: NightState): WallMap {
    const by = [state.by_hand.right, state.by_hand.up] as const;
    return shownMap(drawing, state.square, state.placed, this.#drag ?? this.#other, by);
  }

  /** Where a mark's cross is drawn now. */
  #at(name: string): Point | null {
    const [drawing, state] = [this.#drawing, this.#state];
    if (drawing === null || state === null) return null;
    const mark = drawing.marks.find((one) => one.name === name);
    return mark === undefined ? null : this.#map(drawing, state).px(mark.at[0], mark.at[1]);
  }

  #move(dx: number, dy: number): void {
    const at = this.#drag === null ? this.#at(this.#chosen) : ([this.#drag.x, this.#drag.y] as const);
    if (at === null || this.#drawing === null) return;
    this.#seq += 1;
    const held = (value: number, most: number): number => Math.min(Math.max(value, -most), 2 * most);
    this.#drag = {
      set_up: this.#drawing.number, mark: this.#chosen, by: this.#name, seq: this.#seq,
      x: held(at[0] + dx, this.#drawing.columns), y: held(at[1] + dy, this.#drawing.rows),
    };
    this.#send(this.#drag);
    this.redraw();
  }

  async #letGo(): Promise<void> {
    const drag = this.#drag;
    if (drag === null) return;
    window.clearTimeout(this.#hold);
    this.#end();
    const { set_up, by, seq } = drag;
    await this.#do({ do: "lay", set_up, marks: this.#laid(drag), by, seq });
    if (this.#drag === drag) this.#drag = null; // else the next one is being dragged already
    this.redraw();
  }

  /** The cross that was laid; where the picture was moved by hand, the others as they lie since. */
  #laid(drag: Drag): { name: string; x: number; y: number }[] {
    const [drawing, state] = [this.#drawing, this.#state];
    const own = { name: drag.mark, x: drag.x, y: drag.y };
    if (drawing === null || state === null || state.set_up !== drag.set_up) return [own];
    const { right, up } = state.by_hand;
    if (right === 0 && up === 0) return [own];
    const others = this.#placed(drawing, state).filter((one) => one.name !== drag.mark);
    return [own, ...others.map(({ name, x, y }) => ({ name, x, y }))];
  }

  /** What is moved by keys and arrows is written when they rest for a moment. */
  #letGoSoon(): void {
    window.clearTimeout(this.#hold);
    this.#hold = window.setTimeout(() => void this.#letGo(), 500);
  }

  #nudges(button: HTMLButtonElement): void {
    const [dx, dy] = button.dataset["nudge"]!.split(" ").map(Number) as [number, number];
    let timer = 0;
    const stop = (): void => {
      window.clearInterval(timer);
      window.clearTimeout(timer);
    };
    button.addEventListener("pointerdown", () => {
      timer = window.setTimeout(() => {
        timer = window.setInterval(() => {
          this.#move(dx, dy);
          this.#letGoSoon();
        }, REPEAT);
      }, HELD);
    });
    for (const kind of ["pointerup", "pointercancel", "pointerleave"]) button.addEventListener(kind, stop);
    button.addEventListener("contextmenu", (event) => event.preventDefault());
    button.addEventListener("click", () => {
      this.#move(dx, dy);
      this.#letGoSoon();
    });
  }

  #down(event: PointerEvent): void {
    if (this.#chosen === "") return;
    this.#pad.setPointerCapture(event.pointerId);
    let [x, y] = [event.clientX, event.clientY];
    const moved = (next: PointerEvent): void => {
      const gain = this.#fine ? FINE : COARSE;
      this.#move((next.clientX - x) * gain, (next.clientY - y) * gain);
      [x, y] = [next.clientX, next.clientY];
    };
    const up = (): void => {
      this.#pad.removeEventListener("pointermove", moved);
      this.#pad.removeEventListener("pointerup", up);
      this.#pad.removeEventListener("pointercancel", up);
      void this.#letGo();
    };
    this.#pad.addEventListener("pointermove", moved);
    this.#pad.addEventListener("pointerup", up);
    this.#pad.addEventListener("pointercancel", up);
  }

  #fields(drawing: SetUpDrawing): void {
    element("typed-unit").textContent = drawing.small_unit[0] === "in" ? "inches" : drawing.small_unit[0];
    element("pairs").replaceChildren(...drawing.marks.map((mark) => {
      const row = document.createElement("div");
      row.className = "pair";
      row.dataset["mark"] = mark.name;
      const name = document.createElement("b");
      name.textContent = mark.name;
      const fields = ["right", "up"].map((way) => {
        const field = document.createElement("input");
        field.name = way;
        field.inputMode = "text"; // a keyboard of digits alone has no minus on many phones
        field.autocomplete = "off";
        field.placeholder = way;
        field.setAttribute("aria-label", `${mark.name}, ${way} of its mark, ${drawing.small_unit[0]}`);
        return field;
      });
      row.append(name, ...fields);
      return row;
    }));
  }

  async #typed(): Promise<void> {
    const drawing = this.#drawing;
    if (drawing === null) return;
    const marks: unknown[] = [];
    for (const row of element("pairs").querySelectorAll<HTMLElement>(".pair")) {
      const texts = [...row.querySelectorAll("input")].map((one) => one.value.trim());
      if (texts.every((one) => one === "")) continue;
      const [right, up] = texts.map(typedNumber);
      const [unit, size] = drawing.small_unit;
      const at = this.#at(row.dataset["mark"]!);
      const wrong = !Number.isFinite(right) || !Number.isFinite(up) || at === null;
      row.classList.toggle("wrong", wrong);
      if (wrong) {
        element("typed-said").textContent = `${row.dataset["mark"]}: two numbers in ${unit}, as in ${unit === "mm" ? "34 and -12" : "1 3/8 and -1/2"}.`;
        return;
      }
      marks.push({ name: row.dataset["mark"], x: at[0], y: at[1], right: right! * size, up: up! * size });
    }
    if (marks.length === 0) return;
    const done = await this.#do({ do: "fell", set_up: drawing.number, marks });
    element("typed-said").textContent = done ? `${marks.length} written.` : "";
    if (done) this.#fields(drawing);
  }

  redraw(): void {
    const [drawing, state] = [this.#drawing, this.#state];
    if (drawing === null || state === null) return;
    const drag = this.#drag ?? this.#other;
    const placed = withDrag(this.#placed(drawing, state), drag, drawing.aiming);
    const map = this.#map(drawing, state);
    const hand = state.by_hand.words;
    element("by-hand").textContent = hand === ""
      ? "Not moved since the marks were read." : `Moved ${hand} since the marks were read.`;
    element("chosen").textContent = this.#chosen;
    const known = new Set(placed.map((one) => one.name));
    let words = `${known.size} of ${drawing.marks.length} on their marks`;
    if (known.has(this.#chosen)) words += `; ${this.#chosen} is`;
    element("placed").textContent = words;
    element("fit").textContent = drag === null && state.square !== null && state.square.kind !== ""
      ? squaredWords(state.square)
      : fitWords(drawing, placing(drawing, placed).fit);
    const findings = drag === null ? (state.square?.findings ?? []) : [];
    element("square-findings").replaceChildren(...findings.map(([severity, message, remedy]) => {
      const item = document.createElement("li");
      item.textContent = `${severity.toUpperCase()}: ${message} ${remedy}`;
      return item;
    }));
    const width = this.#pad.clientWidth;
    if (width === 0) return;
    const ratio = window.devicePixelRatio;
    const scale = width / drawing.columns;
    const height = this.#pad.clientHeight;
    this.#pad.width = Math.round(width * ratio);
    this.#pad.height = Math.round(height * ratio);
    const pen = this.#pad.getContext("2d")!;
    const style = getComputedStyle(this.#pad);
    const [ink, line] = [style.getPropertyValue("--ink"), style.getPropertyValue("--line")];
    const high = drawing.rows * scale;
    pen.setTransform(ratio, 0, 0, ratio, 0, (ratio * (height - high)) / 2);
    pen.lineWidth = 1;
    pen.strokeStyle = line;
    pen.strokeRect(0.5, 0.5, width - 1, high - 1);
    for (const { name, at } of drawing.marks) {
      const [u, v] = map.px(at[0], at[1]);
      const arm = name === this.#chosen ? 14 : 7;
      pen.strokeStyle = ink;
      pen.lineWidth = name === this.#chosen ? 3 : 1.5;
      pen.beginPath();
      pen.moveTo(u * scale - arm, v * scale);
      pen.lineTo(u * scale + arm, v * scale);
      pen.moveTo(u * scale, v * scale - arm);
      pen.lineTo(u * scale, v * scale + arm);
      if (known.has(name)) pen.rect(u * scale - 5, v * scale - 5, 10, 10);
      pen.stroke();
    }
  }
}

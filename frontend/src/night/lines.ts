// The lines that a set-up draws, ticked as they are traced: a stretch of wall at one press, or pair by pair.

import type { Line, NightState, SetUpDrawing, Stretch } from "./records.ts";

type Do = (what: Readonly<Record<string, unknown>>) => Promise<boolean>;

function element(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no ${id}`);
  return found;
}

/** Whether a line is ticked, by its own key or by those that older logs have for it. */
export function isTraced(line: Line, traced: ReadonlySet<string>): boolean {
  return traced.has(line.key) || (line.once.length > 0 && line.once.every((key) => traced.has(key)));
}

/** What is written for a press on these lines: all traced, or all not where they were. */
export function ticked(lines: readonly Line[], traced: ReadonlySet<string>): { lines: string[]; traced: boolean } {
  const all = lines.every((line) => isTraced(line, traced));
  const keys = lines.flatMap((line) => (all ? [line.key, ...line.once] : [line.key]));
  return { lines: [...new Set(keys)], traced: !all };
}

const sum = (lines: readonly Line[]): number => lines.reduce((all, line) => all + line.metres, 0);

export class Lines {
  readonly #do: Do;
  readonly #of = element("lines-of") as HTMLSelectElement;
  readonly #open = new Set<string>();
  #drawn = "";
  #one = "";
  #drawing: SetUpDrawing | null = null;
  #state: NightState | null = null;

  constructor(todo: Do) {
    this.#do = todo;
    this.#of.addEventListener("change", () => this.#tell());
  }

  show(drawing: SetUpDrawing, state: NightState): void {
    [this.#drawing, this.#state] = [drawing, state];
    if (this.#of.dataset["of"] !== drawing.version) {
      this.#of.dataset["of"] = drawing.version;
      const paints = drawing.paints.map(([, key, name]) => new Option(name, key));
      this.#of.replaceChildren(new Option("all colours", ""), ...paints);
    }
    // With one colour alone on the wall its lines alone are traced.
    const one = state.shown.view === "one" ? state.shown.paint : "";
    if (one !== this.#one) this.#of.value = one;
    this.#one = one;
    this.#tell();
  }

  /** Stretches as they are asked for: with all lines, or with those of one colour. */
  #asked(drawing: SetUpDrawing): Stretch[] {
    const paint = this.#of.value;
    return drawing.stretches
      .map(({ where, lines }) => ({ where, lines: lines.filter((line) => paint === "" || line.paints.includes(paint)) }))
      .filter(({ lines }) => lines.length > 0);
  }

  #tell(): void {
    const [drawing, state] = [this.#drawing, this.#state];
    if (drawing === null || state === null) return;
    const asked = this.#asked(drawing);
    const which = `${drawing.version} ${drawing.number} ${this.#of.value}`;
    if (which !== this.#drawn) {
      this.#drawn = which;
      element("lines").replaceChildren(...asked.map((stretch) => this.#stretch(drawing, stretch)));
    }
    const traced = new Set(state.traced);
    const [unit, metres] = drawing.line_unit;
    const count = (length: number): string => String(Math.round(length / metres));
    const done = (lines: readonly Line[]): number => sum(lines.filter((line) => isTraced(line, traced)));
    [...element("lines").children].forEach((item, i) => {
      const { lines } = asked[i]!;
      const [some, all] = [done(lines), sum(lines)];
      const whole = lines.every((line) => isTraced(line, traced));
      const button = item.querySelector<HTMLButtonElement>(".stretch")!;
      button.setAttribute("aria-pressed", whole ? "true" : some > 0 ? "mixed" : "false");
      const words = whole ? `✓ all ${(all / metres).toFixed(1)} ${unit} traced`
        : some > 0 ? `${(some / metres).toFixed(1)} of ${(all / metres).toFixed(1)} ${unit} traced`
        : `${(all / metres).toFixed(1)} ${unit} to trace`;
      button.querySelector(".how")!.textContent = words;
      for (const [k, line] of lines.entries()) {
        item.querySelectorAll(".line")[k]!.setAttribute("aria-pressed", String(isTraced(line, traced)));
      }
    });
    const every = asked.flatMap(({ lines }) => lines);
    const most = sum(every);
    const whole = every.every((line) => isTraced(line, traced));
    element("traced").textContent = whole
      ? `All ${count(most)} ${unit} traced`
      : `${count(Math.min(done(every), most - 0.5 * metres))} of ${count(most)} ${unit} traced`;
    const bar = element("traced-bar") as HTMLProgressElement;
    [bar.max, bar.value] = [most, done(every)];
  }

  #stretch(drawing: SetUpDrawing, { where, lines }: Stretch): HTMLElement {
    const item = document.createElement("li");
    const all = this.#button("stretch", where, "", () => this.#tick(drawing, lines));
    const more = document.createElement("button");
    more.type = "button";
    more.className = "more";
    more.setAttribute("aria-label", `Lines of ${where} one by one`);
    const list = document.createElement("ul");
    list.replaceChildren(...lines.map((line) => {
      const one = document.createElement("li");
      const button = this.#button("line", line.name, line.length, () => this.#tick(drawing, [line]));
      button.dataset["line"] = line.key;
      one.append(button);
      return one;
    }));
    const key = `${drawing.number} ${where}`;
    const open = (is: boolean): void => {
      list.hidden = !is;
      more.textContent = is ? "▴" : "▾";
      more.setAttribute("aria-expanded", String(is));
      if (is) this.#open.add(key);
      else this.#open.delete(key);
    };
    more.addEventListener("click", () => open(list.hidden !== false));
    open(this.#open.has(key));
    item.append(all, more, list);
    return item;
  }

  #button(kind: string, name: string, more: string, press: () => void): HTMLButtonElement {
    const button = document.createElement("button");
    button.type = "button";
    button.className = kind;
    const [first, second] = [document.createElement("b"), document.createElement("span")];
    first.textContent = name;
    second.className = "how";
    second.textContent = more;
    button.append(first, second);
    button.addEventListener("click", press);
    return button;
  }

  #tick(drawing: SetUpDrawing, lines: readonly Line[]): void {
    const traced = new Set(this.#state?.traced ?? []);
    void this.#do({ do: "tick", set_up: drawing.number, ...ticked(lines, traced) });
  }
}

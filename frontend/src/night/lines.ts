// The lines that a set-up draws, ticked as they are traced.

import type { NightState, SetUpDrawing } from "./records.ts";

type Do = (what: Readonly<Record<string, unknown>>) => Promise<boolean>;

function element(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no ${id}`);
  return found;
}

export class Lines {
  readonly #do: Do;
  #drawn = "";

  constructor(todo: Do) {
    this.#do = todo;
  }

  show(drawing: SetUpDrawing, state: NightState): void {
    const list = element("lines");
    const which = `${drawing.version} ${drawing.number}`;
    if (which !== this.#drawn) {
      this.#drawn = which;
      list.replaceChildren(...drawing.lines.map((line) => {
        const button = document.createElement("button");
        button.type = "button";
        button.className = "line";
        button.dataset["line"] = line.key;
        const name = document.createElement("b");
        name.textContent = line.name;
        const more = document.createElement("span");
        more.textContent = `${line.length}, ${line.where}`;
        button.append(name, more);
        button.addEventListener("click", () => {
          const traced = button.getAttribute("aria-pressed") !== "true";
          void this.#do({ do: "tick", set_up: drawing.number, line: line.key, traced });
        });
        const item = document.createElement("li");
        item.append(button);
        return item;
      }));
    }
    const traced = new Set(state.traced);
    for (const button of list.querySelectorAll<HTMLButtonElement>("[data-line]")) {
      button.setAttribute("aria-pressed", String(traced.has(button.dataset["line"]!)));
    }
    const count = drawing.lines.filter((line) => traced.has(line.key)).length;
    element("traced").textContent = `${count} of ${drawing.lines.length} traced`;
  }
}

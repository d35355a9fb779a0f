// Unfolding: a figure shows what it was made from, in place.

import { askPage } from "./asking.ts";

let count = 0;

/** The element under a figure that holds its explanation, made where there is none yet. */
function place(button: HTMLElement): HTMLElement {
  const row = button.closest("td, th")?.closest("tr") ?? null;
  const panel = document.createElement("div");
  if (row !== null) {
    const under = document.createElement("tr");
    under.className = "unfolded";
    const cell = document.createElement("td");
    cell.colSpan = row.children.length;
    cell.append(panel);
    under.append(cell);
    row.after(under);
  } else {
    (button.closest("li, dl") ?? button).append(panel);
  }
  panel.id = `explanation-${(count += 1)}`;
  panel.className = "panel";
  button.setAttribute("aria-controls", panel.id);
  return panel;
}

function fold(button: HTMLElement): void {
  const panel = document.getElementById(button.getAttribute("aria-controls") ?? "");
  (panel?.closest("tr.unfolded") ?? panel)?.remove();
  button.setAttribute("aria-expanded", "false");
  button.removeAttribute("aria-controls");
}

async function unfold(button: HTMLElement, units: string): Promise<void> {
  // In a table or a list of figures one explanation stands open at a time; its parts stay with it.
  const within = button.closest(".panel") !== null;
  const row = within ? null : button.closest("tr:not(.unfolded), dl.summary");
  for (const open of row?.querySelectorAll<HTMLElement>('.figure[aria-expanded="true"]') ?? []) {
    fold(open);
  }
  button.setAttribute("aria-expanded", "true");
  const panel = place(button);
  const asked = new URLSearchParams({ name: button.dataset["figure"] ?? "", units });
  const path = button.dataset["path"];
  if (path !== undefined) asked.set("path", path);
  const piece = await askPage(`/figure?${asked.toString()}`);
  panel.replaceChildren(...piece.body.childNodes);
}

/** Let every figure on the page, now and later, unfold on a click. */
export function letFiguresUnfold(units: string): void {
  document.addEventListener("click", (event) => {
    const button = (event.target as Element).closest<HTMLElement>("button.figure");
    if (button === null) return;
    if (button.getAttribute("aria-expanded") === "true") fold(button);
    else void unfold(button, units);
  });
}
